from fractions import Fraction
from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st
from invented_practice import CASSETTES, INSTRUMENTS, ROOM, SETS, practice

from kitdocs.planning.measures.loads import MOST_ROWS, load_figures, load_guide, load_guides, maximal_mixes

CAPACITIES = st.dictionaries(st.sampled_from("abcd"), st.integers(1, 6), max_size=4)


def taken(mix, capacities):
    return sum((Fraction(count, capacities[kind]) for kind, count in mix.items()), Fraction(0))


def full_mixes_one_by_one(capacities):
    """Every mix in the box of counts, kept when it fits and nothing more does."""
    for counts in product(*(range(n + 1) for n in capacities.values())):
        mix = dict(zip(capacities, counts, strict=True))
        left = 1 - taken(mix, capacities)
        if left >= 0 and all(Fraction(1, n) > left for n in capacities.values()):
            yield mix


@given(CAPACITIES.filter(bool))
def test_the_full_mixes_are_those_found_one_by_one(capacities):
    found = list(maximal_mixes(capacities))
    assert sorted(found, key=str) == sorted(full_mixes_one_by_one(capacities), key=str)


def test_thirds_and_sixths_add_up_exactly():
    # 1/3 + 1/3 + 2/6 is one whole, which it is not in binary fractions.
    assert {"third": 2, "sixth": 2} in list(maximal_mixes({"third": 3, "sixth": 6}))


def test_no_kinds_make_no_mix():
    assert list(maximal_mixes({})) == []


def guide_for(capacity, cassettes):
    """A guide for a sterilizer with these capacities, for a practice with one set in each cassette."""
    stage = ROOM["stages"]["sterilize"] | {"capacity": capacity}
    kits = {f"set-{c}": SETS["core"] | {"cassette": c} for c in cassettes}
    described = dict.fromkeys(cassettes, CASSETTES["large"])
    return load_guide(practice(cassettes=described, sets=kits, room={"stages": {"sterilize": stage}}), "sterilize")


def test_four_large_or_eight_slim_share_a_load():
    guide = guide_for({"slim": 8, "large": 4, "small-pouch": 16}, ["slim", "large"])
    assert [row.cassettes for row in guide.full_of_cassettes] == [
        {"large": 4, "slim": 0},
        {"large": 3, "slim": 2},
        {"large": 2, "slim": 4},
        {"large": 1, "slim": 6},
        {"large": 0, "slim": 8},
    ]
    assert (dict(guide.points), guide.points_in_a_load) == ({"large": 4, "slim": 2, "small-pouch": 1}, 16)


def test_pouches_fill_what_cassettes_leave():
    guide = guide_for({"large": 4, "small-pouch": 16}, ["large"])
    assert [(row.cassettes["large"], row.pouches["small-pouch"]) for row in guide.cassettes_and_pouches] == [
        (0, 16),
        (1, 12),
        (2, 8),
        (3, 4),
    ]


def test_what_the_practice_does_not_use_is_not_in_the_guide():
    guide = guide_for({"large": 4, "slim": 8, "large-pouch": 3}, ["large"])
    assert list(guide.points) == ["large"]
    assert guide.cassettes_and_pouches == ()


@given(st.lists(st.integers(1, 40), min_size=3, max_size=5))
def test_a_guide_can_be_read_at_the_bench_and_every_row_fits_and_is_full(capacities):
    capacity = {f"c{i}": n for i, n in enumerate(capacities)} | {"small-pouch": 50}
    cassettes = list(capacity)[:-1]
    guide = guide_for(capacity, cassettes)
    assert 1 <= len(guide.full_of_cassettes) <= MOST_ROWS
    assert 1 <= len(guide.cassettes_and_pouches) <= MOST_ROWS
    for row in guide.full_of_cassettes:
        left = 1 - taken(row.cassettes, capacity)
        assert 0 <= left < min(Fraction(1, capacity[c]) for c in cassettes)
    for row in (*guide.full_of_cassettes, *guide.cassettes_and_pouches):
        pouches = row.pouches["small-pouch"]
        left = 1 - taken(row.cassettes, capacity)
        assert Fraction(pouches, 50) <= left < Fraction(pouches + 1, 50)


def test_a_guide_that_leaves_mixes_out_has_the_rule_for_them():
    guide = guide_for({"slim": 8, "medium": 6, "large": 4}, ["slim", "medium", "large"])
    assert len(guide.full_of_cassettes) == MOST_ROWS < len(list(maximal_mixes({"large": 4, "medium": 6, "slim": 8})))
    assert (dict(guide.points), guide.points_in_a_load) == ({"large": 6, "medium": 4, "slim": 3}, 24)


def test_no_mix_is_listed_twice():
    # Each kind alone is full with either of the other two at none.
    for capacity in ({"slim": 8, "medium": 6, "large": 4}, {"slim": 5, "medium": 4, "large": 3}):
        rows = [tuple(sorted(row.cassettes.items())) for row in guide_for(capacity, [*capacity]).full_of_cassettes]
        assert len(set(rows)) == len(rows)


def test_a_mix_that_leaves_just_enough_for_a_third_kind_is_not_called_full():
    # 1/4 + 4/6 leaves 1/12: a small one more.
    guide = guide_for({"a": 4, "b": 6, "c": 12}, ["a", "b", "c"])
    assert {"a": 1, "b": 4, "c": 0} not in [row.cassettes for row in guide.full_of_cassettes]
    assert all(taken(row.cassettes, {"a": 4, "b": 6, "c": 12}) == 1 for row in guide.full_of_cassettes)


def test_only_machines_have_guides():
    stages = {
        "receive": {
            "name": "Receive",
            "area": "receiving",
            "kind": "hand",
            "per_cassette": "1 min",
            "per_pouch": "1 min",
        }
    } | ROOM["stages"]
    both = practice(room={"stages": stages})
    assert [guide.stage for guide in load_guides(both)] == ["sterilize"]
    with pytest.raises(ValueError, match="'receive' is not a machine"):
        load_guide(both, "receive")


def test_the_figures_are_the_points():
    values = {figure.id: (figure.value, str(figure.unit)) for figure in load_figures(practice())}
    # 1/4 and 1/16 of a load
    assert values == {
        "loads.sterilize.large": (4, "points of 16"),
        "loads.sterilize.small-pouch": (1, "points of 16"),
    }


def test_of_many_loads_the_first_and_the_last_are_shown():
    guide = guide_for({"large": 30, "small-pouch": 60}, ["large"])
    shown = [row.cassettes["large"] for row in guide.cassettes_and_pouches]
    assert (len(shown), shown[0], shown[-1]) == (MOST_ROWS, 0, 29)
    assert shown == sorted(set(shown))


def test_a_pouch_that_skips_the_machine_is_not_in_its_guide():
    def points(**more):
        beak = INSTRUMENTS["bird-beak"] | more
        return dict(load_guide(practice(instruments={"bird-beak": beak}), "sterilize").points)

    assert points() == {"large": 4, "small-pouch": 1}
    assert points(skips=["sterilize"]) == {"large": 1}
