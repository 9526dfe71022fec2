"""Codes are read although a tenth of them is covered; the table is that of tests/bench/bench_codes.py."""

from __future__ import annotations

import random

import pytest
from covered_codes import LOOKS, READERS, TONES, covered, looks_needed, scanned

from kitdocs.document.blocks import Code
from kitdocs.document.card import Handbook
from kitdocs.drawings.codes import CodeDrawing, code

pytestmark = pytest.mark.whole

#: Patches on the code of each card, in each tone.
PATCHES = 4


def drawn(block: Code) -> CodeDrawing:
    """The code of a block, of the level that its picture has."""
    side = block.picture.width_mm
    return next(
        d
        for d in (code(block.encoded, level=level, side_mm=side) for level in ("H", "Q"))
        if d.svg.encode() == block.picture.data
    )


@pytest.mark.parametrize("reader", READERS)
def test_of_all_codes_of_the_binder_with_a_tenth_covered_99_percent_are_read(english: Handbook, reader: str) -> None:
    """Anywhere but on the finders, which no reader can do without. One picture alone is harder: 95 %."""
    patches, needed = random.Random(16), []
    for card in english.cards:
        for block in card.blocks:
            if isinstance(block, Code):
                drawing = drawn(block)
                image = scanned(drawing)
                for tone in TONES.values():
                    for _ in range(PATCHES):
                        picture = covered(image, drawing.modules, tone, patches)
                        needed.append(looks_needed(picture, block.encoded, reader))
    assert len(needed) == PATCHES * len(TONES) * sum(card.is_kept for card in english.cards) > 600
    assert sum(n <= len(LOOKS) for n in needed) >= 0.99 * len(needed)
    assert sum(n == 1 for n in needed) >= 0.95 * len(needed)


def test_the_level_is_h_where_the_symbol_is_no_larger_for_it(english: Handbook) -> None:
    """ISO/IEC 18004: level H restores about 30 % of the codewords, Q about 25 %."""
    higher = 0
    for card in english.cards:
        for block in card.blocks:
            if isinstance(block, Code):
                drawing = drawn(block)
                side = block.picture.width_mm
                room = 0.5 * code(block.encoded, level="H", side_mm=side).modules <= side
                assert (drawing == code(block.encoded, level="H", side_mm=side)) == room, card.id
                assert side / drawing.modules >= 0.5
                higher += room
    assert higher > 50
