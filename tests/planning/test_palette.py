from itertools import combinations

import pytest

from kitdocs.document.catalog import built_in_catalog
from kitdocs.planning.colours import MOST_COLOURS
from kitdocs.planning.colours.distance import VISIONS, distance, grey_distance, seen
from kitdocs.planning.colours.ink import contrast
from kitdocs.planning.colours.names import NAMES, colour_name, name_each
from kitdocs.planning.colours.palette import (
    APART,
    SAFETY,
    candidates,
    closest_pair,
    nearest_that_would_do,
    propose,
    safety_colour_near,
)
from kitdocs.practice.colours import NAMED


def least_distance(hexes):
    return min(distance(a, b, vision) for a, b in combinations(hexes, 2) for vision in VISIONS)


# The eight of Okabe and Ito keep 10.87 (SOURCES: Okabe and Ito); more is asked here, up to twelve in grey, too.
@pytest.mark.parametrize(("count", "least"), [(2, 79.5), (6, 24), (8, 18), (10, 14.5), (12, 11.5), (16, 12)])
def test_a_proposal_stays_apart_for_every_kind_of_vision(count, least):
    assert least_distance([colour.hex for colour in propose(count)]) >= least


# Before grey counted, the least of two to twelve were 72, 0.5 to 5.2, and 0.8 of twelve.
@pytest.mark.parametrize(
    ("count", "least"),
    [(2, 72), (3, 21), (4, 17), (5, 12.5), (6, 10), (7, 8), (8, 7), (9, 6), (10, 5.5), (11, 4.9), (12, 4.9)],
)
def test_up_to_twelve_colours_stay_apart_in_grey_too(count, least):
    hexes = [colour.hex for colour in propose(count)]
    assert min(grey_distance(a, b) for a, b in combinations(hexes, 2)) >= least
    assert least_distance(hexes) >= APART


def test_grey_is_what_is_left_of_a_colour_without_its_hue():
    """Sharma, Wu and Dalal's formula for two greys: the difference of L* over its weight, nothing else."""
    for one, other in [("#00766c", "#7a4fc0"), ("#000000", "#ffffff"), ("#50f000", "#5050f0")]:
        light, dark = (seen(hex_)["lightness"] for hex_ in (one, other))
        from_50 = ((light + dark) / 2 - 50) ** 2
        weight = 1 + 0.015 * from_50 / (20 + from_50) ** 0.5
        assert grey_distance(one, other) == pytest.approx(abs(light - dark) / weight, abs=1e-6)


def test_each_colour_says_how_far_the_nearest_other_is():
    proposal = propose(8)
    for colour in proposal:
        others = [c.hex for c in proposal if c is not colour]
        nearest = min(distance(colour.hex, other, vision) for other in others for vision in VISIONS)
        assert colour.nearest == pytest.approx(nearest, abs=0.005)


def test_the_first_colours_of_a_proposal_are_the_farthest_apart():
    hexes = [colour.hex for colour in propose(8)]
    distances = [least_distance(hexes[:count]) for count in range(2, 9)]
    assert distances == sorted(distances, reverse=True)
    assert distances[0] == max(least_distance(pair) for pair in combinations(hexes, 2))


@pytest.mark.parametrize("count", [1, 2, 8, 12, MOST_COLOURS])
def test_every_colour_has_its_own_name_in_both_languages(count):
    proposal = propose(count)
    for language in ("en", "es"):
        assert len({built_in_catalog(language).say(colour.name) for colour in proposal}) == count


def test_a_name_is_close_to_what_it_names():
    meant = {colour_name(key): hex_ for key, hex_ in NAMES.items()}
    assert all(distance(c.hex, meant[c.name]) < 13 for n in (8, 12) for c in propose(n))


def test_a_proposal_has_no_safety_colour_and_none_that_paper_swallows():
    for colour in propose(MOST_COLOURS):
        assert all(distance(colour.hex, safety) >= 10 for safety in SAFETY.values())
        assert contrast(colour.hex, "#ffffff") >= 1.5


def test_a_proposal_is_chosen_from_colours_that_a_printer_can_tell_from_black():
    levels = {int(colour[at : at + 2], 16) for colour in candidates() for at in (1, 3, 5)}
    assert levels == {0, 40, 80, 120, 160, 200, 240}
    assert {"#000050", "#500050", "#000000"} <= set(candidates()), "a level of 80 of 255, and black itself"
    assert not {"#000028", "#280028", "#f0f0f0"} & set(candidates()), "nearly black, and what paper swallows"


@pytest.mark.parametrize("count", [0, MOST_COLOURS + 1])
def test_too_many_or_no_colours_are_refused(count):
    with pytest.raises(ValueError, match=f"^{count} colours cannot be proposed; 1 to {MOST_COLOURS} can$"):
        propose(count)


def test_the_closest_pair_is_found_with_its_vision():
    # Okabe and Ito: orange and reddish purple are the closest of these to tritan eyes (SOURCES: Okabe and Ito).
    pair = closest_pair({"a": "#000000", "b": "#e69f00", "c": "#cc79a7"})
    assert pair is not None
    assert (pair.one, pair.other, pair.vision, round(pair.distance, 2)) == ("b", "c", "tritan", 10.87)
    assert closest_pair({"a": "#000000"}) is None


def test_the_nearest_that_would_do_is_apart_from_all_others():
    others = ["#00766c", "#6f3fa8", "#ee8fb5"]
    found = nearest_that_would_do("#00807a", others)
    assert found is not None
    assert least_distance([found, *others]) >= 10
    assert safety_colour_near(found) is None


def test_no_colour_would_do_among_too_many():
    crowd = [colour.hex for colour in propose(16)] + list(NAMES.values())
    assert nearest_that_would_do("#00766c", crowd) is None


def test_a_name_that_is_taken_is_not_given_again():
    assert name_each(["#00766c"]) == ("teal",)
    assert name_each(["#00766c"], taken=["teal"])[0] != "teal"


def test_no_two_names_are_the_same():
    for language in ("en", "es"):
        assert len({built_in_catalog(language).say(colour_name(key)) for key in NAMES}) == len(NAMES)


def test_the_colours_that_a_practice_may_name_are_no_safety_colours():
    assert [name for name, hex_ in NAMED.items() if safety_colour_near(hex_)] == []
