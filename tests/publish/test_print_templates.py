"""What must be true to size is measured in the pixels of the finished page."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from pdf_pages import page_sizes_mm, page_texts, pixels
from sample_handbook import sample_handbook, template_card

from kitdocs.handbook.blocks import Illustration, Items
from kitdocs.publish.print import sheets

pytestmark = pytest.mark.whole

MM = 300 / 25.4


def templates(card, paper="letter") -> bytes:
    return sheets(sample_handbook(card, paper=paper), [card], title="Set templates")


def black_runs(line, least_mm: float) -> list[float]:
    """The lengths in mm of the unbroken black stretches of a row or column of pixels."""
    edges = np.flatnonzero(np.diff(np.concatenate(([0], (line < 60).astype(int), [0]))))
    return [run for run in (edges[1::2] - edges[::2]) / MM if run >= least_mm]


@pytest.mark.parametrize("paper", ["letter", "a4"])
@pytest.mark.parametrize(("width", "height"), [(170, 75), (190, 75), (190, 142)])
def test_a_true_size_drawing_is_printed_at_its_size(paper, width, height):
    image = pixels(templates(template_card("t/core", width, height), paper), 0)[:, :, 0]
    across = [run for row in image[::8] for run in black_runs(row, 110)]
    down = [run for column in image.T[::8] for run in black_runs(column, 60)]
    assert max(across) == pytest.approx(width, abs=0.15)
    assert max(down) == pytest.approx(height, abs=0.15)


def test_the_ruler_is_100_mm_long():
    image = pixels(templates(template_card("t/core", 170, 75)), 0)[:, :, 0]
    rulers = [run for row in image for run in black_runs(row, 80) if run < 120]
    assert rulers
    assert rulers == pytest.approx([100] * len(rulers), abs=0.15)


def test_a_wide_drawing_turns_the_page():
    assert page_sizes_mm(templates(template_card("t/core", 170, 75)))[0] == pytest.approx((215.9, 279.4), abs=0.1)
    assert page_sizes_mm(templates(template_card("t/core", 190, 75)))[0] == pytest.approx((279.4, 215.9), abs=0.1)


def test_a_drawing_taller_than_the_paper_is_printed_in_equal_strips():
    """Two rails of a cassette, drawn one below the other, part between the rails."""
    pdf = templates(template_card("t/core", 194, 300))
    images = [pixels(pdf, page)[:, :, 0] for page in (0, 1)]
    for image in images:
        down = [run for column in image.T[::8] for run in black_runs(column, 100)]
        assert max(down) == pytest.approx(150, abs=0.15)
    texts = page_texts(pdf)
    assert "(1/2)" in texts[0]
    assert "(2/2)" in texts[1]


def test_a_sheet_with_one_layer_says_which_it_is_and_lists_what_lies_on_it():
    """Two sheets that look like two cassettes would be packed as two."""
    card = template_card("t/core", 194, 300)
    front = tuple(
        replace(block, layers=2)
        if isinstance(block, Illustration)
        else replace(block, items=tuple(replace(i, layer=1 if i.number == 1 else 2) for i in block.items))
        if isinstance(block, Items)
        else block
        for block in card.front
    )
    names = [i.name for block in card.front if isinstance(block, Items) for i in block.items]
    lower, upper = page_texts(templates(replace(card, front=front)))[:2]
    assert "Layer 1 of 2" in lower
    assert "Layer 2 of 2" in upper
    assert [names[0] in lower, names[0] in upper] == [True, False]
    assert all(name in upper and name not in lower for name in names[1:])


def test_a_drawing_wider_than_the_paper_asks_for_a_larger_sheet():
    pdf = templates(template_card("t/core", 300, 140))
    assert page_sizes_mm(pdf)[0][0] == pytest.approx(2 * 215.9, abs=0.1)
    assert "larger than the practice's paper" in page_texts(pdf)[0]


def test_the_list_has_the_numbers_of_the_drawing_in_order():
    text = page_texts(templates(template_card("t/core", 190, 142)))[0]
    at = [text.index(name) for name in ("bird beak plier", "three prong plier", "weingart plier", "ligature cutter")]
    assert at == sorted(at)
