"""Change marks in a card's print data: templates draw a bar beside each. The card's content stays the same."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from typing import Any

from kitdocs.document.blocks import KINDS
from kitdocs.document.purpose import Purpose, fields_of


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
    """Yield the rows that have a bar of their own, each with its id, or, without one, its place."""
    for field in fields_of(KINDS[block["kind"]]):
        for place, row in enumerate(block[field.name] if Purpose.ROWS in field.purpose else ()):
            yield str(row.get("id", place) if isinstance(row, dict) else place), row
