import math
import random

import pytest
from hypothesis import given
from hypothesis import strategies as st
from invented_practice import CASSETTES, practice

from kitdocs.planning.measures.wrap import envelope_side, parcel_sides, sheet_for, wrap_figures, wrap_problems
from kitdocs.planning.plan import measure_problems
from kitdocs.practice.record import Box
from kitdocs.practice.room import Sheet, Wrap

SIDES = st.floats(5, 500)
BOXES = [(229, 152, 114), (406, 356, 152), (200, 140, 35), (300, 100, 20), (80, 80, 80)]


def box(length, width, height):
    return Box.model_validate({"length": f"{length} mm", "width": f"{width} mm", "height": f"{height} mm"})


def sheets(**sides):
    return {id_: Sheet.model_validate({"name": id_, "side": side, "pack": 100}) for id_, side in sides.items()}


def share_covered(length, width, height, side, points=4000):
    """How much of a box's top and sides an envelope fold covers, from points thrown on them at random.

    The paper lies flat, its middle under the box's, its diagonals along the box's sides. A point of the box is
    covered when, with the box unfolded through one of its bottom edges, it lies on the paper.
    """
    chance = random.Random(20260107)
    half = side / math.sqrt(2)
    covered = 0
    for _ in range(points):
        x, y = chance.uniform(0, length / 2), chance.uniform(0, width / 2)
        z = chance.uniform(0, height)
        top = min(length / 2 + height + (length / 2 - x) + y, width / 2 + height + (width / 2 - y) + x)
        long_side = length / 2 + z + y
        wide_side = width / 2 + z + x
        covered += top <= half and long_side <= half and wide_side <= half
    return covered / points


@pytest.mark.parametrize("measures", BOXES)
def test_the_envelope_side_covers_all_of_the_box_and_one_percent_less_does_not(measures):
    length, width, height = measures
    side = envelope_side(*measures)
    assert share_covered(length, width, height, side * 1.0001) == 1.0
    assert share_covered(length, width, height, side * 0.99) < 1.0


@pytest.mark.parametrize(
    ("measures", "side"),
    [
        # Published cases and their minimum, in inches and in mm (SOURCES: wrapped boxes).
        ((9, 6, 4.5), 16.97),
        ((16, 14, 6), 29.70),
        ((200, 140, 35), 289.9),
        ((300, 100, 20), 311.1),
    ],
)
def test_the_envelope_side_is_that_of_the_published_cases(measures, side):
    assert envelope_side(*measures) == pytest.approx(side, rel=2e-4)


@given(SIDES, SIDES)
def test_on_a_square_base_the_side_is_root_two_times_base_and_height(base, height):
    # Area 2 (w + h)² for a square base (SOURCES: Santos 2005).
    assert envelope_side(base, base, height) ** 2 == pytest.approx(2 * (base + height) ** 2)


@given(SIDES, SIDES, SIDES)
def test_the_popular_rule_of_diagonal_and_one_and_a_half_heights_is_never_less(length, width, height):
    # SOURCES: Santos 2012: diagonal + 1.5 × height, which has a little overlap.
    assert math.hypot(length, width) + 1.5 * height >= envelope_side(length, width, height) - 1e-9


def test_an_overlap_takes_root_two_of_itself():
    assert envelope_side(200, 140, 35, 70) - envelope_side(200, 140, 35) == pytest.approx(98.995, abs=1e-3)


def test_the_parcel_fold_is_that_of_the_published_case():
    # 200 x 140 x 35: 2 (140 + 35) by 200 + 35, the formula of SOURCES: Dumas 2007.
    assert parcel_sides(200, 140, 35) == (350, 235)


@given(SIDES, SIDES, SIDES)
def test_the_parcel_fold_has_the_area_that_dumas_published(length, width, height):
    # SOURCES: Dumas 2007: 2 (ab + bc + ac + c²), c being the smallest.
    c, b, a = sorted((length, width, height))
    assert math.prod(parcel_sides(length, width, height)) == pytest.approx(2 * (a * b + b * c + a * c + c * c))


def test_the_smallest_sheet_that_is_large_enough_is_taken():
    choice = sheet_for(box(203, 152, 32), Wrap(), sheets(big="24 in", middle="20 in", small="14 in"))
    # (203 + 152 + 64) / 1.41421 + 1.41421 x 70 = 395.3
    assert (choice.sheet, choice.side_needed_mm, choice.side_mm) == ("middle", 395.3, 508.0)
    assert "(203 + 152 + 2 × 32) ÷ √2 + √2 × 70 overlap = 395 mm" in str(choice.why)


def test_a_parcel_fold_needs_the_longer_side_of_its_sheet():
    wrap = Wrap.model_validate({"fold": "parcel", "overlap": "20 mm"})
    # round it 2 x (140 + 35) + 40 = 390, along it 200 + 35 + 40 = 275
    assert sheet_for(box(200, 140, 35), wrap, sheets(a="390 mm")).sheet == "a"
    assert sheet_for(box(200, 140, 35), wrap, sheets(a="389 mm")).sheet is None


@pytest.mark.parametrize(("measures", "side"), [((265, 190, 18), "18 in"), ((280, 205, 36), "20 in")])
def test_a_slim_cassette_takes_an_18_inch_sheet_and_a_large_one_20_inches(measures, side):
    # Common practice, no source; the cassettes' measures are invented.
    choice = sheet_for(box(*measures), Wrap(), sheets(a="15 in", b="18 in", c="20 in", d="24 in"))
    assert choice.side_mm == pytest.approx(float(side.split()[0]) * 25.4)


def test_a_cassette_that_no_sheet_wraps_is_an_error_with_the_size_to_stock():
    large = CASSETTES["large"] | {"outside": {"length": "400 mm", "width": "300 mm", "height": "60 mm"}}
    (problem,) = wrap_problems(practice(cassettes=CASSETTES | {"large": large}))
    assert (problem.rule, problem.severity) == ("no-sheet-large-enough", "error")
    assert problem.path == "cassettes.large.outside"
    assert "= 679 mm a side, and the largest, 'sheet-20', has 508 mm" in str(problem.message)
    assert "at least 679 mm" in str(problem.remedy)


def test_a_cassette_that_no_set_uses_needs_no_sheet():
    unused = CASSETTES["slim"] | {"outside": {"length": "900 mm", "width": "83 mm", "height": "20 mm"}}
    assert wrap_problems(practice(cassettes=CASSETTES | {"slim": unused})) == ()
    assert [figure.id for figure in wrap_figures(practice())] == ["wrap.large"]


def test_the_outer_of_two_sheets_goes_round_a_box_that_the_inner_one_made_thicker():
    # (203 + 152 + 68) ÷ √2 = 299.1; with 2 mm more each way (our estimate): (203 + 152 + 68 + 4 × 2) ÷ √2 = 304.8.
    one, two = (
        sheet_for(box(203, 152, 34), Wrap.model_validate({"overlap": "0 mm", "sheets": n}), sheets(small="302 mm"))
        for n in (1, 2)
    )
    assert (one.side_needed_mm, one.sheet, one.sheets) == (299.1, "small", 1)
    assert (two.side_needed_mm, two.sheet, two.sheets) == (304.8, None, 2)
    assert "2 mm more each way" in str(two.why)


def test_a_sheet_that_is_too_small_is_a_problem_of_the_plan():
    small = practice(room={"sheets": {"sheet-10": {"name": "10 in sheet", "side": "10 in", "pack": 100}}})
    found = wrap_problems(small)
    assert found and set(found) <= set(measure_problems(small))
