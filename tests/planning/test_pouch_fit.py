import pytest
from invented_practice import POUCHES, ROOM, practice

from kitdocs.planning.measures.pouch_fit import fit_pouch, pouch_figures, pouch_problems


def with_size(width, length, contents=("bird-beak",)):
    """The bending pouch in a pouch of this size, and a large one in stock. The plier is 130 x 50 mm."""
    size = {"name": "Small pouch", "width": f"{width} mm", "length": f"{length} mm", "pack": 200}
    sizes = ROOM["pouch_sizes"] | {"small-pouch": size}
    bends = POUCHES["bends"] | {"contents": list(contents)}
    return practice(pouches={"bends": bends}, room={"pouch_sizes": sizes})


def test_thirty_millimetres_to_the_seal_just_fit():
    # DIN 58953-7: 30 mm from item to seal. 130 + 8 thick + 30 = 168.
    assert fit_pouch(with_size(100, 168), "bends").fits
    assert not fit_pouch(with_size(100, 167), "bends").fits


def test_a_pouch_bulges_by_the_thickness_across_too():
    # 50 + 8 = 58
    assert fit_pouch(with_size(58, 200), "bends").fits
    assert not fit_pouch(with_size(57, 200), "bends").fits


def test_more_than_three_quarters_filled_is_a_warning():
    # DIN 58953-7: at most 75 %. Twenty explorers 165 x 8: 26 400 of 168 x 210 = 35 280 mm² are 74.8 %.
    assert fit_pouch(with_size(168, 210, ["explorer"] * 20), "bends").fits
    full = fit_pouch(with_size(168, 209, ["explorer"] * 20), "bends")
    assert (full.fits, full.goes_in) == (False, True)
    assert full.filled == pytest.approx(26_400 / (168 * 209))
    assert "75.2 % of the area is filled, at most 75 %" in str(full.why)


def test_too_near_the_seal_is_a_warning_with_the_smallest_size_that_would_do():
    (problem,) = pouch_problems(with_size(90, 150))
    assert (problem.rule, problem.severity, problem.path) == ("pouch-too-full", "warning", "pouches.bends.size")
    assert "length 130 + 8 thick + 30 to the seal = 168 of 150 mm" in str(problem.message)
    assert str(problem.remedy) == "the smallest stocked size that would do is 'large-pouch'"


def test_instruments_that_do_not_go_in_are_an_error():
    (problem,) = pouch_problems(with_size(90, 137))
    assert (problem.rule, problem.severity) == ("pouch-too-small", "error")


def test_without_a_size_that_would_do_the_remedy_says_what_to_stock():
    (problem,) = pouch_problems(with_size(90, 230, ["bird-beak"] * 4))
    assert "stock one of at least 208 × 168 mm" in str(problem.remedy)


def test_a_pouch_that_fits_is_no_problem_and_says_how_full_it_is():
    assert pouch_problems(practice()) == ()
    (figure,) = pouch_figures(practice())
    # 130 × 50 of 230 × 90 mm
    assert (figure.id, figure.value, figure.unit) == ("pouch.bends", 31, "%")


def test_a_hinged_instrument_is_open_in_its_pouch():
    # 50 mm closed and 10 mm to open + 8 mm thick = 68 mm
    assert fit_pouch(practice(settings={"opening": {}}), "bends").width_needed_mm == 68
