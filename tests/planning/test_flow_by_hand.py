"""Small days that were worked out with a pencil; each docstring is the sheet of paper."""

from __future__ import annotations

from practice_builder import at, build, hand, procedure, rest, washer
from simulated_day import histories, simulate_day

from kitdocs.planning.day.stock import peak_out, times_by_kind

TWO_VISITS = (
    ("Monday", "08:00", "chair-1", "visit", "20 min"),
    ("Monday", "08:10", "chair-2", "visit", "20 min"),
)


def two_visits(wait):
    return build(
        schedule=TWO_VISITS,
        stages={
            "receive": hand(cassette="3 min"),
            "wash": washer(cycle="30 min", wait=wait, capacity={"slim": 2}),
            "cool": rest("15 min"),
        },
    )


def test_two_sets_share_a_washer_that_waits_for_the_second():
    """Set-up 5, carry 5, receive 3 min by one person, washer for two: 30 min, waits 12; cool 15.

    visit  out    in use       received  receive      washer       cool   back   away
    1      07:55  08:00-08:20  08:25     08:25-08:28  08:38-09:08  -09:23 09:23  88 min
    2      08:05  08:10-08:30  08:35     08:35-08:38  08:38-09:08  -09:23 09:23  78 min

    The washer is full at 08:38, two minutes before the first set has waited 12. Out at once: 2.
    """
    _, day = simulate_day(two_visits("12 min"))
    first, second = histories(day)
    assert (first.out, first.received, first.back) == (at("07:55"), at("08:25"), at("09:23"))
    assert (second.out, second.received, second.back) == (at("08:05"), at("08:35"), at("09:23"))
    assert first.stages == (
        (at("08:25"), at("08:25"), at("08:28")),
        (at("08:28"), at("08:38"), at("09:08")),
        (at("09:08"), at("09:08"), at("09:23")),
    )
    assert second.stages[1] == (at("08:38"), at("08:38"), at("09:08"))
    assert [len(stay.loads) for stay in day.stays] == [0, 1, 0]
    assert peak_out(*times_by_kind(day)[0][:2]) == 2


def test_a_set_that_comes_too_late_waits_for_the_next_load():
    """As above, but the washer waits only 5 min: it starts at 08:33 with the first set alone, ends 09:03.
    The second joined at 08:38, has waited long enough, and goes at 09:03: done 09:33, back 09:48.
    """
    _, day = simulate_day(two_visits("5 min"))
    first, second = histories(day)
    assert first.stages[1] == (at("08:28"), at("08:33"), at("09:03"))
    assert second.stages[1] == (at("08:38"), at("09:03"), at("09:33"))
    assert (first.back, second.back) == (at("09:18"), at("09:48"))


def test_a_set_that_joins_at_the_last_moment_still_goes():
    """As above, and the washer waits 10 min: at 08:38 the first has waited enough, and the second joins."""
    _, day = simulate_day(two_visits("10 min"))
    assert [history.stages[1][1] for history in histories(day)] == [at("08:38"), at("08:38")]


def test_a_large_cassette_that_does_not_fit_makes_the_load_full():
    """A load holds 4 slim or 2 large. Three slim at 08:25 (3/4), a pouch of 1/8 would still fit; the large one of
    08:55 (1/2) does not: the three start then, 30 min before they have waited an hour. It starts at 09:55.
    """
    practice = build(
        sets={"core": ("slim", ["mirror"]), "big": ("large", ["mirror"])},
        pouches={"extra": ("add-on", ["cutter"])},
        procedures={
            "visit": procedure(),
            "long": procedure(set="big"),
            "never": procedure(per_day=0.0, add_ons={"extra": "always"}),
        },
        drawers=({}, {}, {}),
        stages={"wash": washer(wait="1 h")},
        schedule=[
            *(("Monday", "08:00", f"chair-{n}", "visit", "20 min") for n in (1, 2, 3)),
            ("Monday", "08:30", "chair-1", "long", "20 min"),
        ],
    )
    _, day = simulate_day(practice)
    assert [h.stages[0][1] for h in histories(day)] == [at("08:55")] * 3 + [at("09:55")]


def test_two_machines_can_start_at_once_and_the_first_is_taken_first():
    """Four slim at 08:25 in two washers for two: both start at once; a fifth at 08:35 waits 10 min, but until 08:55
    none is free, then the first is."""
    practice = build(
        drawers=({}, {}, {}, {}),
        stages={"wash": washer(machines=2, capacity={"slim": 2})},
        schedule=[
            *(("Monday", "08:00", f"chair-{n}", "visit", "20 min") for n in (1, 2, 3, 4)),
            ("Monday", "08:20", "chair-1", "visit", "10 min"),
        ],
    )
    _, day = simulate_day(practice)
    assert [(load.machine, load.start) for load in day.stays[0].loads] == [
        (0, at("08:25")),
        (1, at("08:25")),
        (0, at("08:55")),
    ]


def test_two_people_let_a_pouch_overtake_a_cassette():
    """Two people, 10 min a cassette, 2 min a pouch. At 08:25 set and add-on of one visit join: the add-on is done
    at 08:27, the set at 08:35; so the washer for one (no wait) takes the add-on first."""
    practice = build(
        pouches={"extra": ("add-on", ["cutter"])},
        procedures={"visit": procedure(add_ons={"extra": "always"})},
        stages={
            "pack": hand(people=2, cassette="10 min", pouch="2 min"),
            "wash": washer(wait="0 min", capacity={"slim": 1, "small-pouch": 1}),
        },
        schedule=TWO_VISITS[:1],
    )
    _, day = simulate_day(practice)
    set_, add_on = histories(day)
    assert add_on.stages == ((at("08:25"), at("08:25"), at("08:27")), (at("08:27"), at("08:27"), at("08:57")))
    assert set_.stages == ((at("08:25"), at("08:25"), at("08:35")), (at("08:35"), at("08:57"), at("09:27")))


def test_what_is_back_can_leave_again_at_that_instant():
    """Out 1-3 and 2-4 make two; 3-5 leaves as the first is back, so still two; 4-6 likewise."""
    assert peak_out([1, 2, 3, 4], [3, 4, 5, 6]) == 2
    assert peak_out([1, 2, 3, 3], [4, 4, 5, 6]) == 4
    assert peak_out([], []) == 0


def test_a_pouch_that_skips_the_washer_overtakes_the_set_that_is_washed():
    """Visit 08:00-08:20 with a set and an add-on; both are received at 08:25. The set is washed 08:25-08:55 (the washer
    waits for nobody) and packed 08:55-08:58. The handpiece in the add-on must not be washed: it is wiped 08:25-08:26,
    where nothing else goes, and is packed 08:26-08:27.
    """
    room = build(
        sets={"core": ("slim", ["mirror"])},
        pouches={"drive": ("add-on", ["handpiece"])},
        procedures={"visit": procedure(add_ons={"drive": "always"}, needs={"handpiece": "always"})},
        instruments={"mirror": {}, "handpiece": {"skips": ["wash"], "also": ["wipe"]}},
        stages={
            "wash": washer(cycle="30 min", wait="0 min"),
            "wipe": hand(pouch="1 min") | {"only_listed": True},
            "pack": hand(cassette="3 min", pouch="1 min"),
        },
        schedule=[("Monday", "08:00", "chair-1", "visit", "20 min")],
    )
    _, day = simulate_day(room)
    core, drive = histories(day)
    assert core.stages == ((at("08:25"), at("08:25"), at("08:55")), (at("08:55"), at("08:55"), at("08:58")))
    assert drive.stages == ((at("08:25"), at("08:25"), at("08:26")), (at("08:26"), at("08:26"), at("08:27")))
    assert (core.back, drive.back) == (at("08:58"), at("08:27"))


def test_two_that_come_to_a_stage_together_go_in_the_order_in_which_they_came_to_the_one_before():
    """The set of the first visit is washed 08:25-08:30; that of the second skips the washer and is received at 08:30.
    Both come to the packing bench at 08:30. The first came to the washer at 08:25, the second at 08:30: it is second.
    """
    room = build(
        sets={"core": ("slim", ["mirror"]), "drive": ("slim", ["handpiece"])},
        procedures={"visit": procedure(), "other": procedure(set="drive", needs={"handpiece": "always"})},
        instruments={"mirror": {}, "handpiece": {"skips": ["wash"]}},
        stages={"wash": washer(cycle="5 min", wait="0 min"), "pack": hand(cassette="3 min")},
        schedule=[
            ("Monday", "08:00", "chair-1", "visit", "20 min"),
            ("Monday", "08:05", "chair-2", "other", "20 min"),
        ],
    )
    _, day = simulate_day(room)
    first, second = histories(day)
    assert first.stages[-1] == (at("08:30"), at("08:30"), at("08:33"))
    assert second.stages == ((at("08:30"), at("08:33"), at("08:36")),)
