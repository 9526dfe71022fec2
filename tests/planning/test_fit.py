from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st
from invented_practice import CASSETTES, SETS, practice

from kitdocs.planning.measures.fit import fit_figures, fit_problems, fit_set
from kitdocs.planning.measures.rail_packing import on_rails


def fits_in_some_way(widths, room, gap, rails, most):
    """Every way of giving each piece a rail, tried one after the other."""
    for choice in product(range(rails), repeat=len(widths)):
        on = [[w for w, r in zip(widths, choice, strict=True) if r == rail] for rail in range(rails)]
        if all(sum(ws) + gap * max(0, len(ws) - 1) <= room and len(ws) <= most for ws in on):
            return True
    return False


@given(
    st.lists(st.integers(1, 20), min_size=1, max_size=7),
    st.integers(5, 40),
    st.integers(0, 4),
    st.integers(1, 3),
    st.integers(1, 7),
)
def test_pieces_are_dealt_out_exactly_when_some_way_of_dealing_fits(widths, room, gap, rails, most):
    dealt = on_rails(widths, room=room, gap=gap, rails=rails, places_per_rail=most)
    assert (dealt is not None) == fits_in_some_way(widths, room, gap, rails, most)


@given(st.lists(st.integers(1, 60), min_size=1, max_size=30), st.integers(20, 250), st.integers(1, 6))
def test_a_dealing_uses_every_piece_once_and_overfills_no_rail(widths, room, rails):
    dealt = on_rails(widths, room=room, gap=3, rails=rails)
    if dealt is not None:
        assert sorted(index for rail in dealt for index in rail) == list(range(len(widths)))
        assert len(dealt) <= rails
        assert all(sum(widths[i] for i in rail) + 3 * (len(rail) - 1) <= room for rail in dealt)
        assert all(list(rail) == sorted(rail) for rail in dealt)


def test_thirty_pieces_that_leave_no_room_at_all_are_still_dealt_out():
    # Ten triples of exactly 150, shuffled so that neither the order nor the widest first finds them at once.
    triples = [(70 + k, 45 + k, 35 - 2 * k) for k in range(10)]
    widths = [triple[part] for part in (2, 0, 1) for triple in triples]
    dealt = on_rails(widths, room=150, gap=0, rails=10)
    assert dealt is not None
    assert all(sum(widths[i] for i in rail) == 150 for rail in dealt)


def test_thirty_pieces_a_hair_too_wide_are_found_not_to_fit():
    widths = [50.0] * 29 + [50.0001]
    assert on_rails(widths, room=250, gap=0, rails=6) is None
    assert on_rails([50.0] * 30, room=250, gap=0, rails=6) is not None


def set_of(contents, **cassette):
    large = CASSETTES["large"] | cassette
    return practice(cassettes={"large": large}, sets={"core": SETS["core"] | {"contents": contents}})


def test_pieces_that_fit_as_written_keep_their_order():
    fit = fit_set(set_of(["cutter", "mirror", "explorer"]), "core")
    assert fit.fits
    assert [(piece.number, piece.instrument) for piece in fit.layout] == [
        (1, "cutter"),
        (2, "mirror"),
        (3, "explorer"),
    ]


def test_pieces_that_fit_only_otherwise_change_rails_and_keep_the_order_on_each():
    # As written 22 + 22, 50 and 50 need three rails of 72 mm; 22 + 50 twice need two.
    inside = {"length": "190 mm", "width": "72 mm", "height": "28 mm"}
    fit = fit_set(set_of(["mirror", "mirror", "weingart", "weingart"], inside=inside, rails=2, gap="0 mm"), "core")
    assert fit.fits
    assert [[p.instrument for p in fit.layout if p.rail == rail] for rail in (1, 2)] == [
        ["mirror", "weingart"],
        ["mirror", "weingart"],
    ]


def test_a_layout_lies_inside_the_cassette_with_the_gap_between_neighbours():
    fit = fit_set(practice(), "core")
    for before, after in zip(fit.layout, fit.layout[1:], strict=False):
        assert after.y_mm - before.y_mm - before.width_mm >= 3.0
    for piece in fit.layout:
        assert 0 <= piece.x_mm <= 190 - piece.length_mm
        assert 0 <= piece.y_mm <= 142 - piece.width_mm
    # 142 - (22 + 8 + 50 + 48) - 3 × 3 = 5, worked by hand.
    assert fit.room_left_mm == (5.0,)


def test_an_unused_rail_has_all_its_room_left():
    assert fit_set(set_of(["mirror"], rails=2), "core").room_left_mm == (120.0, 142.0)


def test_a_piece_alone_on_its_rail_has_no_gap():
    inside = {"length": "190 mm", "width": "20 mm", "height": "28 mm"}
    (problem,) = fit_problems(set_of(["weingart"], inside=inside))
    assert "50 mm of pieces and 0 mm of gaps are 50 mm, and 1 rail of 20 mm have 20 mm" in str(problem.message)


def test_a_set_too_wide_is_an_error_that_names_a_cassette_that_holds_it():
    (problem,) = fit_problems(practice(sets={"core": SETS["core"] | {"cassette": "slim"}}))
    assert (problem.rule, problem.severity, problem.path) == ("does-not-fit", "error", "sets.core.cassette")
    assert "128 mm of pieces and 9 mm of gaps are 137 mm, and 1 rail of 75 mm have 75 mm" in str(problem.message)
    assert str(problem.remedy) == "'large' holds it"


def test_a_piece_too_long_is_named_with_both_lengths():
    long = {"length": "191 mm", "width": "8 mm", "name": "Long explorer", "drawing": "explorer"}
    kit = SETS["core"] | {"contents": ["long"]}
    (problem,) = fit_problems(practice(instruments={"long": long}, sets={"core": kit}))
    assert "'long' is 191 mm long and the inside 190 mm" in str(problem.message)
    assert "no cassette of the practice holds it" in str(problem.remedy)


def test_a_cassette_with_too_few_places_does_not_fit():
    (problem,) = fit_problems(set_of(["explorer", "explorer", "explorer"], positions=2))
    assert "it has 3 pieces and the cassette 2 places" in str(problem.message)


def test_pieces_that_only_cannot_be_dealt_out_are_said_to_be_so():
    # 48 leaves no room for 22 on a rail of 60, and three times 22 are more than 60.
    inside = {"length": "190 mm", "width": "60 mm", "height": "28 mm"}
    contents = ["cutter", "cutter", "mirror", "mirror", "mirror"]
    (problem,) = fit_problems(set_of(contents, inside=inside, rails=3, gap="0 mm"))
    assert "5 pieces cannot be dealt out to 3 rails of 60 mm with 0 mm between neighbours" in str(problem.message)


def test_a_smaller_cassette_that_would_do_is_a_warning():
    kit = SETS["core"] | {"contents": ["mirror", "explorer"]}
    (problem,) = fit_problems(practice(sets={"core": kit}))
    assert (problem.rule, problem.severity) == ("smaller-cassette-would-do", "warning")
    assert "write cassette: slim" in str(problem.remedy)


def test_a_set_in_the_smallest_cassette_that_holds_it_is_no_problem():
    assert fit_problems(practice()) == ()


def test_the_figure_says_how_the_room_left_was_made():
    (figure,) = fit_figures(practice())
    assert (figure.id, figure.value, figure.unit) == ("fit.core", 5.0, "mm")
    assert "4 pieces are together 128 mm wide and lie 3 mm apart on 1 rail of 142 mm" in str(figure.why)


@pytest.mark.parametrize("positions", [3, 4])
def test_fixed_places_are_shared_out_over_the_rails(positions):
    fit = fit_set(set_of(["explorer"] * 3, rails=2, positions=positions), "core")
    assert fit.fits
    assert max(len([p for p in fit.layout if p.rail == rail]) for rail in (1, 2)) <= 2


def test_hinged_instruments_lie_open_and_a_set_that_only_fits_closed_does_not_fit():
    # Closed 22 + 8 + 50 + 48 mm and 3 gaps of 3 mm = 137; open 10 mm more for the plier and for the cutter = 157.
    closed, opened = practice(), practice(settings={"opening": {}})
    assert fit_set(closed, "core").room_left_mm == (142 - 137,)
    fit = fit_set(opened, "core")
    assert not fit.fits
    assert "together 148 mm wide with hinges open" in str(fit.why)
    (problem,) = fit_problems(opened)
    assert "148 mm of pieces with hinges open and 9 mm of gaps are 157 mm" in str(problem.message)


def test_a_place_on_a_template_is_as_wide_as_the_open_instrument():
    wide = {"large": CASSETTES["large"] | {"inside": {"length": "190 mm", "width": "160 mm", "height": "28 mm"}}}
    fit = fit_set(practice(settings={"opening": {}}, cassettes=wide), "core")
    assert {laid.instrument: laid.width_mm for laid in fit.layout} == {
        "mirror": 22,
        "explorer": 8,
        "weingart": 60,
        "cutter": 58,
    }
