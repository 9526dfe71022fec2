"""What must be true to size is measured in the pixels of the finished page."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from pdf_pages import page_sizes_mm, page_texts, pixels
from sample_handbook import sample_handbook, template_card

from kitdocs.document.blocks import Illustration, Items
from kitdocs.publish.print.documents import DOCUMENTS, SET_TEMPLATES, sheets
from kitdocs.publish.print.rendering import Rendering

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
    assert page_sizes_mm(templates(template_card("t/core", 190, 92)))[0] == pytest.approx((279.4, 215.9), abs=0.1)


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


def joined(card, paper) -> tuple[list, list[str]]:
    pdf = templates(card, paper)
    texts = page_texts(pdf)
    return [pixels(pdf, page)[:, :, 0] for page in range(len(texts))], texts


def line_in(image, least_mm: float) -> tuple[int, int]:
    """Column and first row of the joining line, which may be dashed: no other upright stroke is so long."""
    found = []
    for x in range(image.shape[1]):
        dark = np.flatnonzero(image[:, x] < 110)
        strokes = np.split(dark, np.flatnonzero(np.diff(dark) > 1.5 * MM) + 1)
        found += [(x, int(own[0])) for own in strokes if own.size and (own[-1] - own[0]) / MM >= least_mm]
    assert found, "no joining line"
    columns = [x for x, _ in found]
    assert max(columns) - min(columns) < 1 * MM
    return round((min(columns) + max(columns)) / 2), min(y for _, y in found)


@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_a_drawing_wider_than_the_paper_is_right_when_its_two_sheets_are_laid_line_on_line(paper):
    width, height = 300, 140
    (left, right), texts = joined(template_card("t/core", width, height), paper)
    # With its two ends the line is 9 mm longer than the drawing is high.
    (x1, y1), (x2, y2) = (line_in(image, height + 7) for image in (left, right))
    tall = round((height + 9) * MM)
    stitched = np.hstack([left[y1 : y1 + tall, :x1], right[y2 : y2 + tall, x2:]])
    across = [run for row in stitched[::4] for run in black_runs(row, 250)]
    assert max(across) == pytest.approx(width, abs=0.3)
    # The upper edge goes on without a step, and the sides are as high as the drawing.
    edge = [int(np.flatnonzero(stitched[round(2 * MM) :, x] < 60)[0]) for x in (x1 - round(9 * MM), x1 + round(9 * MM))]
    assert abs(edge[0] - edge[1]) / MM <= 0.3
    down = [run for x in (4, -5) for run in black_runs(side_of(stitched, x), 100)]
    assert max(down) == pytest.approx(height, abs=0.3)
    for text in texts:
        assert text.count(" A") >= 2
    assert "Lay sheet 2 on line A" in texts[0]
    assert "Cut along line A and lay it on line A of sheet 1" in texts[1]


def side_of(stitched, x: int):
    """A column of pixels through the left or the right rule of a drawing."""
    dark = np.flatnonzero((stitched < 60).sum(axis=0) / MM > 100)
    return stitched[:, dark[x]]


def test_a_joined_part_goes_on_behind_the_line_so_that_there_is_something_to_glue_on():
    (left, _), _ = joined(template_card("t/core", 300, 140), "letter")
    line, top = line_in(left, 147)
    edge = max(left[top : top + round(150 * MM) : 8], key=lambda row: max(black_runs(row, 100), default=0))
    reaches = np.flatnonzero(edge < 60)
    assert (reaches[-1] - line) / MM == pytest.approx(6, abs=0.3)


def test_the_list_has_the_numbers_of_the_drawing_in_order():
    text = page_texts(templates(template_card("t/core", 190, 142)))[0]
    at = [text.index(name) for name in ("bird beak plier", "three prong plier", "weingart plier", "ligature cutter")]
    assert at == sorted(at)


#: What an office printer leaves white, mm.
EDGE = 6


@pytest.fixture(scope="module")
def example_templates(example_handbooks):
    """The templates of the example on both papers: the pages of each set, and their words."""
    made = {}
    for paper in ("letter", "a4"):
        pdf = SET_TEMPLATES.render(Rendering(replace(example_handbooks[0], paper=paper)))
        texts = page_texts(pdf)
        for card in (card for card in example_handbooks[0].cards if card.form == "template"):
            pages = [n for n, text in enumerate(texts) if card.title in text]
            made[paper, card.id] = [pixels(pdf, n)[:, :, 0] for n in pages]
    return made


SETS = ("exam", "small-bonding", "core", "debond", "full-bonding", "banding")


def ink_runs(line, least_mm: float) -> list[tuple[float, float]]:
    """Start and end in mm of what lies between two black strokes at least so far apart, nothing black between them."""
    dark = np.flatnonzero(line < 90)
    gaps = np.flatnonzero(np.diff(dark) > least_mm * MM)
    return [((dark[n] + 1) / MM, dark[n + 1] / MM) for n in gaps]


@pytest.mark.parametrize("paper", ["letter", "a4"])
@pytest.mark.parametrize("set_id", SETS)
def test_every_cassette_of_the_example_is_true_inside(example, example_templates, paper, set_id):
    """The practice folder states the inside; it is printed from the middle of one rule to that of the other."""
    cassette = example.cassettes[example.sets[set_id].cassette]
    inside, pages = cassette.inside, example_templates[paper, f"t/{set_id}"]
    # A layer to a page; what else is said of a large set may take one more.
    assert len(pages) in (cassette.rails, cassette.rails + 1)
    for image in pages[: cassette.rails]:
        top, left, bottom, right = inside_of(image, inside.length)
        assert right - left == pytest.approx(inside.length, abs=0.3)
        assert bottom - top == pytest.approx(inside.width, abs=0.3)


def inside_of(image, length: float) -> tuple[float, float, float, float]:
    """Top, left, bottom, right of the inner outline: the middles of its four rules, mm.

    The longest black rows of the page are the long sides, outer and inner, of a cassette with rounded corners: the
    inner ones lie between the outer ones, its short sides likewise.
    """
    rows = [y for y in range(image.shape[0]) if max(black_runs(image[y], length - 12), default=0) >= length - 12]
    groups = grouped(rows)
    assert len(groups) == 4, "two rules above, two below"
    top, bottom = groups[1], groups[2]
    middle = image[round(top) : round(bottom)]
    columns = [x for x in range(image.shape[1]) if (middle[:, x] < 90).mean() > 0.85]
    sides = grouped(columns)
    assert len(sides) == 4, "two rules at the left, two at the right"
    return top / MM, sides[1] / MM, bottom / MM, sides[2] / MM


def grouped(at: list[int]) -> list[float]:
    """The middles of runs of neighbouring numbers."""
    runs: list[list[int]] = []
    for n in at:
        if runs and n - runs[-1][-1] <= 2:
            runs[-1].append(n)
        else:
            runs.append([n])
    return [(run[0] + run[-1] + 1) / 2 for run in runs]


@pytest.mark.parametrize("paper", ["letter", "a4"])
@pytest.mark.parametrize("set_id", SETS)
def test_every_ruler_of_the_example_is_100_mm_long(example_templates, paper, set_id):
    image = example_templates[paper, f"t/{set_id}"][0]
    rulers = [run for row in image[: round(45 * MM)] for run in black_runs(row, 85)]
    # The uppermost black stroke of such a length, a third of a millimetre thick.
    assert rulers[:4] == pytest.approx([100] * 4, abs=0.3)


def test_nothing_of_a_template_lies_where_an_office_printer_leaves_the_sheet_white(example_templates):
    for image in (page for pages in example_templates.values() for page in pages):
        edge = round(EDGE * MM) - 2
        inner = np.zeros(image.shape, dtype=bool)
        inner[edge:-edge, edge:-edge] = True
        assert not ((image < 250) & ~inner).any()


def test_a_list_has_the_numbers_of_its_drawing_in_the_drawings_order(example_handbooks):
    pdf = SET_TEMPLATES.render(Rendering(example_handbooks[0]))
    texts = page_texts(pdf)
    for card in (card for card in example_handbooks[0].cards if card.form == "template"):
        # A name may break at a space or at its own hyphen.
        own = [text.replace("\ufffe", "-").replace(" ", "") for text in texts if card.title in text]
        items = next(block.items for block in card.front if isinstance(block, Items))
        for layer in sorted({item.layer for item in items}):
            names = [item.name.replace(" ", "") for item in items if item.layer == layer]
            # On the page of its layer; where the drawing leaves no room, all on one more page.
            text = next(text for text in (own[layer - 1], own[-1]) if all(name in text for name in names))
            listed = max(text.find("Theplaces,inorder"), 0)  # names stand among the spares, too
            at = [text.index(name, listed) for name in names]
            assert len(at) > 1
            assert at == sorted(at)


def test_the_documents_are_those_that_the_readme_names() -> None:
    readme = (Path(__file__).parents[2] / "README.md").read_text("utf-8")
    (listed,) = re.findall(r"`out/print/` for the sheets: (.*?)\. This runs", readme, re.DOTALL)
    assert {*re.findall(r"`([\w-]+\.pdf)`", listed)} == {*(document.file for document in DOCUMENTS), "plan.pdf"}
    assert len({document.file for document in DOCUMENTS}) == len(DOCUMENTS)
