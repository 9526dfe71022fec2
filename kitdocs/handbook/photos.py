"""The practice's photos, made fit for a card: upright, small, and without location or camera data."""

from __future__ import annotations

import hashlib
import io
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path

from PIL import Image, ImageOps

#: The longest side on a page or card; a telephone shows no more.
LONGEST_PX = 1200


@dataclass(frozen=True, slots=True, kw_only=True)
class Photo:
    """`digest` is of the file as the practice has it, so that it is the same on every machine."""

    jpeg: bytes = field(repr=False)
    digest: str
    width_px: int
    height_px: int


def upright_photo(path: Path) -> Photo:
    """The photo turned as it was taken, at most `LONGEST_PX` long, with nothing but its pixels."""
    about = path.stat()
    return _upright(path, about.st_mtime_ns, about.st_size)


@cache
def _upright(path: Path, _changed: int, _size: int) -> Photo:
    """Many rows show one photo, so it is made once; a file that was changed meanwhile is another."""
    original = path.read_bytes()
    with Image.open(io.BytesIO(original)) as opened:
        image = ImageOps.exif_transpose(opened).convert("RGB")
    image.thumbnail((LONGEST_PX, LONGEST_PX))
    out = io.BytesIO()
    image.save(out, "JPEG", quality=85, optimize=True)
    return Photo(
        jpeg=out.getvalue(),
        digest=hashlib.sha256(original).hexdigest()[:10],
        width_px=image.width,
        height_px=image.height,
    )
