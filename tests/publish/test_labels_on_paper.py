"""Labels measured on the finished sheets: where they lie, what stays off their edges, what long names become."""

from __future__ import annotations

from dataclasses import replace
from itertools import combinations

import numpy as np
import pypdfium2 as pdfium
import pytest
from pdf_pages import Pixels, box_mm, of_colour, page_texts, pixels
from sample_handbook import picture, sample_handbook

from kitdocs.document.label_sheet import Label, LabelGrid, LabelKind, LabelSheet
from kitdocs.drawings.marks import chair_mark, set_mark
from kitdocs.publish.print.documents import labels
from kitdocs.publish.print.rendering import Rendering

pytestmark = pytest.mark.whole

# 2⅝ × 1 in, thirty to a Letter sheet; 63.5 × 38.1 mm, twenty-one to an A4 sheet.
LETTER = LabelGrid(columns=3, rows=10, width_mm=66.675, height_mm=25.4, left_mm=4.7625, top_mm=12.7, across_mm=69.85,
                   down_mm=25.4)  # fmt: skip
A4 = LabelGrid(columns=3, rows=7, width_mm=63.5, height_mm=38.1, left_mm=7.2, top_mm=15.1, across_mm=66, down_mm=38.1)
TAGS = LabelGrid(columns=2, rows=4, width_mm=95, height_mm=62, left_mm=12.95, top_mm=15.7, across_mm=95, down_mm=62,
                 cut=True)  # fmt: skip
# What printers and cutters are off by; no ink of a label comes nearer to its edge.
SAFE = 2.0
# Two pixels at 300 dpi: a box is cut out at whole pixels, and strokes have a soft rim.
RIM = 0.17
# The longest that a name may be (kitdocs.practice.rules.printing), and words of it that cannot be broken.
LONGEST = "Bolsa complementaria para recolocar brackets y retirar adhesivo en el arco final"
ONE_WORD = "Otorrinolaringológicamenteinterminable"
LINES = ("Esterilizador", "Carga", "Fecha", "Vence", "Iniciales")
RED = "#d01020"


def tag(name: str = "Chair 1", word: str = "Red") -> Label:
    return Label(word=word, name=name, colour=RED, ink="#ffffff", mark=picture("m", chair_mark("circle", "#ffffff")))


def marked(name: str, lines: tuple[str, ...] = ()) -> Label:
    return Label(word="WWWWWW", name=name, mark=picture("z", set_mark("zigzag")), lines=lines)


def placed(name: str) -> Label:
    note = "WWWWWW · hasta 88 · el más antiguo al frente"
    return Label(word="AB12", name=name, note=note, mark=picture("z", set_mark("zigzag")))


def repair(name: str = "¿Qué le pasa?") -> Label:
    loose, stiff = "articulación floja", "articulación trabada"
    faults = ("sin filo", "puntas no cierran", loose, stiff, "doblado", "óxido, picaduras")
    return Label(
        word="Reparación", name=name, lines=("Instrumento", "De juego o bolsa", "Fecha", "Iniciales"),
        boxes=(*faults, "falta el inserto", "otro:"), checks=("se puso repuesto", "sin repuesto: fuera de uso"),
    )  # fmt: skip


def printed(kind: LabelKind, grid: LabelGrid, *of: Label, paper: str = "letter") -> bytes:
    whole = tuple(of[n % len(of)] for n in range(grid.places))
    sheet = LabelSheet(kind=kind, title="Labels", note="On labels.", grid=grid, labels=whole)
    return labels(Rendering(replace(sample_handbook(paper=paper), labels=(sheet,))))  # type: ignore[arg-type]


def place_of(grid: LabelGrid, n: int) -> tuple[float, float, float, float]:
    """Left, top, right, bottom of a label as the grid states it, counted from the left, row by row."""
    x = grid.left_mm + grid.right_mm + n % grid.columns * grid.across_mm
    y = grid.top_mm + grid.lower_mm + n // grid.columns * grid.down_mm
    return x, y, x + grid.width_mm, y + grid.height_mm


def within(image: Pixels, box: tuple[float, float, float, float]) -> Pixels:
    left, top, right, bottom = (round(mm / 25.4 * 300) for mm in box)
    return image[top:bottom, left:right]


@pytest.mark.parametrize(("grid", "paper"), [(LETTER, "letter"), (A4, "a4")])
@pytest.mark.parametrize("offset", [(0.0, 0.0), (1.0, -0.5)])
def test_every_label_lies_where_the_grid_says_and_moves_with_the_offset(
    grid: LabelGrid, paper: str, offset: tuple[float, float]
) -> None:
    moved = replace(grid, right_mm=offset[0], lower_mm=offset[1])
    image = pixels(printed("chair-tag", moved, tag(), paper=paper), 0)
    for n in range(grid.places):
        left, top, right, bottom = place_of(moved, n)
        ground = box_mm(of_colour(within(image, (left, top, right, bottom)), RED))
        # The ground of a chair's tag fills its label's height from one safe margin to the other.
        assert ground[0] == pytest.approx(SAFE, abs=0.3)
        assert ground[1] == pytest.approx(SAFE, abs=0.3)
        assert ground[3] == pytest.approx(grid.height_mm - SAFE, abs=0.3)


@pytest.mark.parametrize(
    ("kind", "grid", "label"),
    [
        ("chair-tag", LETTER, tag(LONGEST, ONE_WORD)),
        ("cassette-mark", LETTER, marked(LONGEST)),
        ("end-label", LETTER, marked(LONGEST, LINES)),
        ("end-label", replace(LETTER, width_mm=60, height_mm=25), marked(ONE_WORD, LINES)),
        ("pouch-label", A4, replace(marked(ONE_WORD, LINES), mark=None)),
        ("place-label", LETTER, placed(LONGEST)),
        ("place-label", replace(LETTER, width_mm=60, height_mm=25), placed(ONE_WORD)),
        ("repair-tag", TAGS, repair()),
    ],
)
def test_nothing_comes_near_the_edge_and_nothing_lies_on_anything_else(
    kind: LabelKind, grid: LabelGrid, label: Label
) -> None:
    pdf = printed(kind, grid, label)
    image = pixels(pdf, 0)
    for n in range(grid.places):
        left, top, right, bottom = place_of(grid, n)
        ink = box_mm(within(image, (left, top, right, bottom)).min(axis=2) < 200)
        assert ink[0] >= SAFE - RIM and ink[1] >= SAFE - RIM
        assert ink[2] <= grid.width_mm - SAFE + RIM and ink[3] <= grid.height_mm - SAFE + RIM
    for one, other in combinations(words_within(pdf, place_of(grid, 0)), 2):
        across = min(one[2], other[2]) - max(one[0], other[0])
        down = min(one[3], other[3]) - max(one[1], other[1])
        assert across < 0.2 or down < 0.2, (one, other)


def words_within(pdf: bytes, box: tuple[float, float, float, float]) -> list[tuple[float, float, float, float]]:
    """Where each run of letters stands, in mm from the upper left corner of the page."""
    page = pdfium.PdfDocument(pdf)[0]
    height, text = page.get_height(), page.get_textpage()
    found = []
    for n in range(text.count_rects()):
        left, bottom, right, top = text.get_rect(n)
        at = tuple(points / 72 * 25.4 for points in (left, height - top, right, height - bottom))
        if box[0] < at[0] < box[2] and box[1] < at[1] < box[3]:
            found.append(at)
    assert len(found) >= 2
    return found


@pytest.mark.parametrize("kind", ["end-label", "chair-tag", "cassette-mark"])
@pytest.mark.parametrize("name", ["Core set", ONE_WORD, LONGEST])
def test_a_name_is_whole_on_the_smallest_label(kind: LabelKind, name: str) -> None:
    tight = replace(LETTER, width_mm=60, height_mm=25)
    label = tag(name) if kind == "chair-tag" else marked(name, LINES if kind == "end-label" else ())
    said = page_texts(printed(kind, tight, label))[0]
    assert "…" not in said
    letters = "".join(filter(str.isalpha, said))
    assert letters.count("".join(filter(str.isalpha, name))) == tight.places


def test_a_long_name_of_ordinary_words_is_whole_on_a_chairs_tag() -> None:
    (said,) = page_texts(printed("chair-tag", A4, tag("Sala de examen y de registros", "Turquesa")))
    assert said.count("Sala de examen y de registros") == A4.places


def test_cross_and_ruler_measure_what_they_say() -> None:
    image = pixels(printed("chair-tag", replace(LETTER, right_mm=1), tag()), 0)
    black = image.max(axis=2) < 90
    ruler = black[round(266.9 / 25.4 * 300) :, : round(116 / 25.4 * 300)]
    # The row with most ink is the ruler's line.
    line = box_mm(ruler[[ruler.sum(axis=1).argmax()]])
    assert line[2] - line[0] == pytest.approx(100, abs=0.3)
    # The cross is printed at 14 and 8.5 mm, here moved to the right by the offset of 1 mm.
    corner = black[: round(12 / 25.4 * 300), : round(18.6 / 25.4 * 300)]
    cross = box_mm(corner)
    assert ((cross[0] + cross[2]) / 2, (cross[1] + cross[3]) / 2) == pytest.approx((15, 8.5), abs=0.3)
    assert "14 mm" in page_texts(printed("chair-tag", LETTER, tag()))[0]


def test_labels_cut_from_plain_paper_have_their_marks_outside() -> None:
    image = pixels(printed("repair-tag", TAGS, repair()), 0)
    left, top, *_ = place_of(TAGS, 0)
    *_, right, bottom = place_of(TAGS, TAGS.places - 1)
    above = image[: round((top - 0.5) / 25.4 * 300)].max(axis=2) < 120
    marks = np.flatnonzero(above.sum(axis=0) > 40) / 300 * 25.4
    for x in (left, left + TAGS.across_mm, right):
        assert np.abs(marks - x).min() < 0.3
    beside = image[:, : round((left - 0.5) / 25.4 * 300)].max(axis=2) < 120
    marks = np.flatnonzero(beside.sum(axis=1) > 40) / 300 * 25.4
    for y in (top, top + TAGS.down_mm, bottom):
        assert np.abs(marks - y).min() < 0.3
