"""Labels measured on the finished sheets: where they lie, what stays off their edges, what long names become."""

from __future__ import annotations

import ctypes
from dataclasses import replace
from functools import cache
from itertools import combinations, pairwise
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TypeAlias

import numpy as np
import pypdfium2 as pdfium
import pytest
from ink_scan import FROM_TRIM_OF_LABEL, faults
from pdf_pages import Letter, Pixels, box_mm, letters, of_colour, page_texts, pixels
from pseudo_language import PseudoLanguage, pseudo_practice
from pypdfium2 import raw
from sample_handbook import picture, sample_handbook

from kitdocs.document.label_sheet import Label, LabelGrid, LabelKind, LabelSheet
from kitdocs.drawings.marks import chair_mark, set_mark
from kitdocs.handbook.build_handbook import make_handbook
from kitdocs.planning.plan import Plan, make_plan
from kitdocs.practice.model import Practice
from kitdocs.practice.paper import Labels
from kitdocs.practice.reading.reader import read_practice
from kitdocs.practice.rules.printing import LONGEST_NAME, SMALLEST_MM
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

# UK CAA, CAP 676, issue 3: 10 pt at least, at about 600 mm. At the printer, a sheet in the hand is read at 400 mm:
# there 7 pt look as large.
LEAST, LEAST_OUTSIDE = 10.0, 7.0
# What a pen needs; the last but for names of more than 60 letters beside five lines. Tried out. Ours, no source.
PEN_LINE_MM, PEN_ROW_MM = 12.0, 4.4

Rect: TypeAlias = tuple[float, float, float, float]
Page: TypeAlias = tuple[LabelSheet, pdfium.PdfPage]

# As a practice states its labels; none is plain paper to be cut.
STATED = {
    "letter": {"columns": 3, "rows": 10, "width": "66.675 mm", "height": "25.4 mm", "left": "4.7625 mm",
               "top": "12.7 mm", "across": "69.85 mm"},
    "a4": {"columns": 3, "rows": 7, "width": "63.5 mm", "height": "38.1 mm", "left": "7.2 mm", "top": "15.1 mm",
           "across": "66 mm"},
    "smallest": {"columns": 3, "rows": 10, "width": f"{SMALLEST_MM[0]} mm", "height": f"{SMALLEST_MM[1]} mm",
                 "left": "13 mm", "top": "14 mm"},
    "plain": None,
}  # fmt: skip


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
    sheet = LabelSheet(kind=kind, title="Labels", notes=("On labels.",), grid=grid, labels=whole)
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


def on_grid(practice: Practice, plan: Plan, grid: str, language: str, expiration: str = "date") -> list[Page]:
    """The label sheets of a practice on one of the grids, each label once."""
    labels_of = STATED[grid] and Labels.model_validate(STATED[grid])
    paper = "a4" if grid == "a4" else "letter"
    changed = {"labels": labels_of, "paper": paper, "expiration": expiration}
    handbook = make_handbook(replace(practice, settings=practice.settings.model_copy(update=changed)), plan, language)
    once = tuple(replace(sheet, labels=tuple(dict.fromkeys(sheet.labels))) for sheet in handbook.labels)
    pdf = labels(Rendering(replace(handbook, labels=once)))
    assert faults(pdf, from_cut=FROM_TRIM_OF_LABEL) == []  # near an edge, on other words, lines too near
    found = [
        replace(sheet, labels=sheet.labels[first : first + sheet.grid.places])
        for sheet in once
        for first in range(0, len(sheet.labels), sheet.grid.places)
    ]
    return list(zip(found, pdfium.PdfDocument(pdf), strict=True))


def sorted_out(sheet: LabelSheet, page: pdfium.PdfPage) -> tuple[list[list[Letter]], list[Letter]]:
    """The letters of each label of a sheet, and those outside."""
    on: list[list[Letter]] = [[] for _ in sheet.labels]
    outside = []
    places = [place_of(sheet.grid, n) for n in range(len(sheet.labels))]
    for letter in letters(page):
        at = [n for n, (x, y, right, end) in enumerate(places) if x < letter.x < right and y < letter.y < end]
        (on[at[0]] if at else outside).append(letter)
    return on, outside


def smallest(of: list[Letter]) -> float:
    return min(round(letter.size, 2) for letter in of)


def pen_lines(page: pdfium.PdfPage, box: Rect) -> list[Rect]:
    """Left, top, right, bottom in mm of every lying line within a box: what is written on."""
    height = page.get_height()
    found = []
    for thing in page.get_objects(filter=[raw.FPDF_PAGEOBJ_PATH]):
        stroke = ctypes.c_float()
        raw.FPDFPageObj_GetStrokeWidth(thing, stroke)
        left, bottom, right, top = thing.get_bounds()
        # pdfium adds the stroke's width at each side.
        at = (left + stroke.value, height - top, right - stroke.value, height - bottom)
        x, y, end, foot = (points / 72 * 25.4 for points in at)
        is_line = raw.FPDFPath_CountSegments(thing) == 2 and foot - y < 1
        if is_line and box[0] < x and end < box[2] and box[1] < y and foot < box[3]:
            found.append((x, y, end, foot))
    return found


@pytest.mark.parametrize("language", ["en", "es", "de", "fr"])
@pytest.mark.parametrize("grid", list(STATED))
def test_what_a_label_says_is_read_at_arms_length_and_its_lines_can_be_written_on(
    example: Practice, example_plan: Plan, grid: str, language: str
) -> None:
    for sheet, page in on_grid(example, example_plan, grid, language):
        has_ease(sheet, page)


def has_ease(sheet: LabelSheet, page: pdfium.PdfPage) -> None:
    """Nothing is under 10 pt on a label and under 7 pt outside; lines to write on are long, and far enough apart."""
    on, outside = sorted_out(sheet, page)
    assert all(smallest(label) >= LEAST for label in on), sheet.kind
    assert not outside or smallest(outside) >= LEAST_OUTSIDE, sheet.kind
    lines_of = [len(label.lines) + sum(box.endswith(":") for box in label.boxes) for label in sheet.labels]
    for n, count in enumerate(lines_of):
        drawn = pen_lines(page, place_of(sheet.grid, n))
        assert len(drawn) == count
        assert all(right - left >= PEN_LINE_MM - 0.05 for left, _, right, _ in drawn), drawn
        rows = sorted({round(top, 1) for _, top, _, _ in drawn})
        assert all(below - above >= PEN_ROW_MM - 0.15 for above, below in pairwise(rows)), rows


@cache
def much_longer() -> tuple[Practice, Plan]:
    with TemporaryDirectory() as folder:
        practice = read_practice(pseudo_practice(Path(folder) / "practice", PseudoLanguage(0.6)))
    return practice, make_plan(practice, days=1)


@pytest.mark.parametrize(
    ("grid", "expiration"),
    [("letter", "date"), ("a4", "date"), ("plain", "date"), ("smallest", "event")],
)
def test_a_language_that_is_much_longer_is_read_and_written_as_easily(grid: str, expiration: str) -> None:
    for sheet, page in on_grid(*much_longer(), grid, "de", expiration):
        on, outside = sorted_out(sheet, page)
        assert all(smallest(label) >= LEAST for label in on), sheet.kind
        assert not outside or smallest(outside) >= LEAST_OUTSIDE, sheet.kind
        for n in range(len(sheet.labels)):
            drawn = pen_lines(page, place_of(sheet.grid, n))
            assert all(right - left >= PEN_LINE_MM - 0.05 for left, _, right, _ in drawn), drawn


SMALLEST = replace(LETTER, width_mm=SMALLEST_MM[0], height_mm=SMALLEST_MM[1], across_mm=SMALLEST_MM[0], left_mm=13)


@pytest.mark.parametrize("kind", ["chair-tag", "cassette-mark", "end-label", "pouch-label", "place-label"])
@pytest.mark.parametrize(("letters_of", "least"), [(60, LEAST), (LONGEST_NAME, 8.0)])
def test_only_the_longest_names_on_the_smallest_labels_are_set_smaller(
    kind: LabelKind, letters_of: int, least: float
) -> None:
    """Beside five lines to be written on, or two of a note, a name of more than 60 letters has no room at 10 pt."""
    name = LONGEST[:letters_of]
    pack = replace(marked(name, LINES), word="CORE")
    made = {"chair-tag": tag(name), "cassette-mark": marked(name), "place-label": placed(name)}
    label = made.get(kind, pack)
    sheet = LabelSheet(kind=kind, title="", notes=(), grid=SMALLEST, labels=(label,) * SMALLEST.places)
    page = pdfium.PdfDocument(printed(kind, SMALLEST, label))[0]
    on, _ = sorted_out(sheet, page)
    assert all(smallest(letters_on) >= least for letters_on in on)


def test_outside_less_is_said_rather_than_smaller() -> None:
    """The last of the notes find no room and are left out; what a sheet is, and on what it is printed, stays."""
    notes = (
        "Only on labels that their maker means for the sterilizer.",
        *(f"And more to mind, {n}." * 3 for n in "abcde"),
    )
    whole = (marked("Core set", LINES),) * LETTER.places
    sheet = LabelSheet(kind="end-label", title="End labels", notes=notes, grid=LETTER, labels=whole)
    pdf = labels(Rendering(replace(sample_handbook(), labels=(sheet,))))
    (said,) = page_texts(pdf)
    assert "End labels" in said and notes[0] in said and notes[1] in said
    assert "mind, e" not in said
    _, outside = sorted_out(sheet, pdfium.PdfDocument(pdf)[0])
    assert smallest(outside) >= LEAST_OUTSIDE
