import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from invented_practice import CASSETTES, ROOM, practice

from kitdocs.planning.measures.chamber import chamber_bound, chamber_figures, chamber_problems, row_width
from kitdocs.practice.record import Box
from kitdocs.practice.room import RoundChamber, SquareChamber

MM = st.integers(10, 300)


def box(length, width, height):
    return Box.model_validate({"length": f"{length} mm", "width": f"{width} mm", "height": f"{height} mm"})


def round_chamber(diameter, depth, gap="5 mm"):
    return RoundChamber.model_validate({"shape": "round", "diameter": diameter, "depth": depth, "gap": gap})


@given(MM, MM, MM, st.integers(100, 500), st.integers(100, 600))
def test_a_row_in_a_round_chamber_stays_inside_the_circle_and_one_more_would_not(length, width, height, across, depth):
    bound = chamber_bound(box(length, width, height), round_chamber(f"{across} mm", f"{depth} mm"))
    if bound.most:
        # The corners of the row, worked out without the formula for its width.
        row = bound.in_a_row * bound.across_mm + (bound.in_a_row - 1) * 5
        assert math.hypot(row / 2, bound.upright_mm / 2) <= across / 2 + 1e-6
        assert math.hypot((row + 5 + bound.across_mm) / 2, bound.upright_mm / 2) > across / 2 - 1e-6
        facing = bound.along_mm == min(length, width, height)
        assert bound.rows * bound.along_mm + (bound.rows - 1) * 5 * facing <= depth
    else:
        # Not even one goes in, whichever side stands up and whichever lies across.
        sides = [length, width, height]
        for i, j, k in [(0, 1, 2), (0, 2, 1), (1, 2, 0)]:
            assert math.hypot(sides[i] / 2, sides[j] / 2) > across / 2 - 1e-6 or sides[k] > depth


@pytest.mark.parametrize(
    ("measures", "known"),
    [((280, 205, 38), 4), ((265, 190, 18), 8)],
)
def test_a_chamber_of_11_inches_can_hold_four_large_or_eight_slim(measures, known):
    # Common practice, no source: about 4 large or 8 slim a load in 11 in; the cassettes' measures are invented.
    assert chamber_bound(box(*measures), round_chamber("11 in", "18 in", "8 mm")).most >= known


def test_the_bound_is_the_one_worked_by_hand():
    # 205 mm upright: 2 √(139.7² − 102.5²) = 189.8; (189.8 + 5) ÷ (38 + 5) = 4.5; 457 ÷ 280 = 1.6
    bound = chamber_bound(box(280, 205, 38), round_chamber("279.4 mm", "457 mm"))
    assert (bound.most, bound.in_a_row, bound.rows, bound.upright_mm) == (4, 4, 1, 205)
    assert bound.row_width_mm == pytest.approx(189.84, abs=0.01)


def test_a_square_chamber_has_one_width_up_to_its_height():
    chamber = SquareChamber.model_validate(
        {"shape": "square", "width": "200 mm", "height": "180 mm", "depth": "300 mm", "gap": "0 mm"}
    )
    assert (row_width(chamber, 180), row_width(chamber, 181)) == (200, 0)
    # 150 upright, 40 across five times, 100 along three times
    assert chamber_bound(box(150, 100, 40), chamber).most == 15


def test_cassettes_that_face_each_other_along_the_depth_keep_the_gap():
    # Only so does it go in: 200 × 200 across, 30 along; (100 + 10) ÷ (30 + 10) = 2.75
    bound = chamber_bound(box(200, 200, 30), round_chamber("300 mm", "100 mm", "10 mm"))
    assert (bound.most, bound.rows, bound.along_mm) == (2, 2, 30)


def in_chamber(capacity, chamber=None):
    stage = ROOM["stages"]["sterilize"] | {
        "capacity": {"large": capacity, "small-pouch": 16},
        "chamber": chamber or {"shape": "round", "diameter": "11 in", "depth": "18 in"},
    }
    return practice(
        cassettes={
            "large": CASSETTES["large"] | {"outside": {"length": "280 mm", "width": "205 mm", "height": "38 mm"}}
        },
        room={"stages": {"sterilize": stage}},
    )


def test_a_capacity_above_the_bound_is_a_warning_with_the_bound():
    (problem,) = chamber_problems(in_chamber(5))
    assert (problem.rule, problem.severity) == ("more-than-the-chamber-holds", "warning")
    assert problem.path == "room.stages.sterilize.capacity.large"
    assert "more than the chamber can hold without stacking, which is 4" in str(problem.message)
    assert str(problem.remedy).startswith("write 4 or fewer")


def test_a_capacity_within_the_bound_is_no_problem():
    assert chamber_problems(in_chamber(4)) == ()
    (figure,) = chamber_figures(in_chamber(4))
    assert (figure.id, figure.value) == ("chamber.sterilize.large", 4)


def test_a_cassette_that_does_not_go_in_is_said_so():
    small = {"shape": "square", "width": "100 mm", "height": "100 mm", "depth": "250 mm"}
    (problem,) = chamber_problems(in_chamber(1, small))
    assert "does not go in, whichever way it stands" in str(problem.message)


def test_a_machine_without_a_stated_chamber_is_not_judged():
    assert (chamber_problems(practice()), chamber_figures(practice())) == ((), ())
