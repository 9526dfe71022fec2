"""The files that a workbook was made from, carried in it for the comparison when it comes back."""

from __future__ import annotations

import base64
import binascii
import json
import zlib
from collections.abc import Mapping, Sequence

#: The hidden sheet, and what its first cell says.
CARRIED_SHEET = "kitdocs"
MARK = "kitdocs practice workbook 1"

#: A cell holds at most 32,767 letters.
_LETTERS = 30_000
#: No practice folder's data files are larger together; what claims to be is not unpacked.
_LARGEST = 20 * 1024 * 1024


def carried(texts: Mapping[str, str]) -> list[str]:
    """Return the texts of a folder's files, by stem, as the cells of one column."""
    data = json.dumps(texts, ensure_ascii=False, sort_keys=True).encode()
    packed = base64.b64encode(zlib.compress(data, 9)).decode()
    return [MARK, *(packed[start : start + _LETTERS] for start in range(0, len(packed), _LETTERS))]


def unpacked(cells: Sequence[str]) -> dict[str, str]:
    """Return the texts that `carried` packed. Raise `ValueError` where that is not what the cells hold."""
    if not cells or cells[0] != MARK:
        raise ValueError("no practice workbook")
    try:
        machine = zlib.decompressobj()
        data = machine.decompress(base64.b64decode("".join(cells[1:]), validate=True), _LARGEST)
        texts = json.loads(data)
    except (zlib.error, binascii.Error, ValueError):
        raise ValueError("the hidden sheet is damaged") from None
    if not machine.eof or not isinstance(texts, dict) or not all(isinstance(text, str) for text in texts.values()):
        raise ValueError("the hidden sheet is damaged")
    return texts
