"""A colour and a mark for each of many chairs: no pair twice, neighbours alike in neither, and told apart in grey."""

from itertools import combinations, pairwise

import pytest

from kitdocs.planning.colours import MOST_CHAIRS
from kitdocs.planning.colours.distance import VISIONS, distance, grey_distance
from kitdocs.planning.colours.looks import MARKS, colours_alike, look_beside, marks_alike, marks_apart, propose_chairs
from kitdocs.planning.colours.palette import propose


@pytest.mark.parametrize("count", range(1, MOST_CHAIRS + 1))
def test_no_two_chairs_look_the_same_and_neighbours_share_nothing(count):
    chairs = propose_chairs((count,))
    assert [chair.number for chair in chairs] == list(range(1, count + 1))
    looks = [(chair.colour.hex, chair.mark) for chair in chairs]
    assert len(set(looks)) == count
    for (colour, mark), (other, its_mark) in pairwise(looks):
        assert colour != other and mark != its_mark
    if count <= len(MARKS):
        assert len({colour for colour, _ in looks}) == len({mark for _, mark in looks}) == count


@pytest.mark.parametrize("bays", [(8, 9, 8), (13, 1), (10, 10, 10, 10), (5,) * 8, (1,) * 13, (20, 20)])
def test_chairs_one_after_the_other_share_nothing_not_even_from_one_bay_to_the_next(bays):
    for one, other in pairwise(propose_chairs(bays)):
        assert one.colour != other.colour and one.mark != other.mark


# Eight colours of Okabe and Ito keep 10.87 (SOURCES: Okabe and Ito); the shares of ink are ours.
@pytest.mark.parametrize(("count", "colour", "grey", "ink"), [(13, 30, 10, 0.4), (25, 20, 8, 0.3), (40, 18, 6, 0.25)])
def test_what_two_chairs_share_is_made_up_for_by_the_rest(count, colour, grey, ink):
    pairs = list(combinations(propose_chairs((count,)), 2))
    one_mark = [(a.colour.hex, b.colour.hex) for a, b in pairs if a.mark == b.mark]
    assert min(distance(a, b, vision) for a, b in one_mark for vision in VISIONS) >= colour
    assert min(grey_distance(a, b) for a, b in one_mark) >= grey
    assert min(marks_apart(a.mark, b.mark) for a, b in pairs if a.colour == b.colour) >= ink


@pytest.mark.parametrize("count", [13, 24, 25, 40])
def test_chairs_are_less_alike_than_one_after_the_other(count):
    """Against the plain way, colour after colour and mark after mark, with no pair twice."""
    colours = [each.hex for each in propose(max(8, -(-count // 4)))]
    plain = [(colours[n % len(colours)], MARKS[(n + n // len(colours)) % len(MARKS)]) for n in range(count)]
    proposed = [(chair.colour.hex, chair.mark) for chair in propose_chairs((count,))]
    assert len(set(plain)) == count

    def most_alike(looks):
        return max(colours_alike(a, b) * marks_alike(m, n) for (a, m), (b, n) in combinations(looks, 2))

    assert most_alike(proposed) < most_alike(plain)


def test_one_more_chair_has_a_look_that_is_free_as_long_as_there_is_one():
    colours, looks = [each.hex for each in propose(2)], []
    while look := look_beside(looks, colours):
        if looks and len(looks) < 12:  # later, only what is left can be taken
            assert look[0] != looks[-1][0] and look[1] != looks[-1][1]
        looks.append(look)
    assert len(looks) == len(set(looks)) == 24


@pytest.mark.parametrize("bays", [(), (0,), (41,), (20, 21), (5, 0)])
def test_no_other_number_of_chairs_is_proposed_for(bays):
    with pytest.raises(ValueError, match="can"):
        propose_chairs(bays)
