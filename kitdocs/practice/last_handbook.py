"""``.last-handbook.json`` in a practice folder: the edition of each card of the handbook that was last made of it.

It lies in the folder, not in a cache, so that it goes where the folder goes. Nothing depends on it but a question.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from contextlib import suppress
from pathlib import Path

from kitdocs.practice.writing import write_whole

LAST_HANDBOOK = ".last-handbook.json"


def remember_handbook(folder: Path, editions: Mapping[str, str]) -> None:
    """Keep the editions of a handbook, by language and card: ``en r/chair-1``.

    A folder that cannot be written keeps none, and takes no record of printing either.
    """
    text = json.dumps(dict(sorted(editions.items())), indent=1) + "\n"
    with suppress(OSError):
        path = folder.resolve() / LAST_HANDBOOK
        if not path.exists() or path.read_text("utf-8") != text:
            write_whole(path, text.encode())


def editions_of_last_handbook(folder: Path) -> Mapping[str, str] | None:
    """Return the editions of the handbook that was last made of a folder; None where that is not known."""
    try:
        found = json.loads((folder / LAST_HANDBOOK).read_text("utf-8"))
    except (OSError, ValueError, RecursionError):
        return None
    return {str(card): str(edition) for card, edition in found.items()} if isinstance(found, dict) else None
