"""What is new on a card, told to the templates: they draw a bar beside it. The card's content stays as it is."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from typing import Any

#: The fields of a block that hold its rows; an item is known by its id, everything else by its place.
_ROWS = ("items", "facts", "steps", "rows", "given")


def mark(card: dict[str, Any], marked: Collection[str]) -> None:
    """Set ``new`` on what is `marked` of a card as ``data.json`` has it: see `Replacement.marked`.

    What is marked below a row marks the row, and what is below no row that the block has marks the block.
    """
    card["changed"] = bool(marked)
    card["changed_back"] = any(path.startswith("back") for path in marked)
    for side in ("front", "back"):
        for place, block in enumerate(card[side]):
            below = [path.split(".")[2:] for path in marked if path.split(".")[:2] == [side, str(place)]]
            if below:
                _mark_block(block, [steps[0] if steps else "" for steps in below])


def _mark_block(block: dict[str, Any], names: Collection[str]) -> None:
    rows = dict(_rows(block))
    for name in names:
        row = rows.get(name, block)
        # A row of a table is a list of cells.
        (row[0] if isinstance(row, list) and row else row)["new"] = True


def _rows(block: dict[str, Any]) -> Iterator[tuple[str, Any]]:
    for field in _ROWS:
        rows = block.get(field)
        # A form's `rows` are only how many.
        for place, row in enumerate(rows if isinstance(rows, list) else ()):
            yield str(row.get("id", place) if isinstance(row, dict) else place), row
