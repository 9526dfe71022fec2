from __future__ import annotations

from collections import Counter, defaultdict

import pytest
from practice_builder import build, hand, procedure, washer
from simulated_day import histories, simulate_day

from kitdocs.planning.day.run import busy_days, drawn_days

TWO_VISITS = (
    ("Monday", "08:00", "chair-1", "visit", "20 min"),
    ("Monday", "08:10", "chair-2", "visit", "20 min"),
)


@pytest.mark.parametrize(("wait", "loads"), [("12 min", {"slim": 2}), ("5 min", {"slim": 1})])
def test_two_sets_go_in_together_when_the_washer_waits_for_the_second(wait, loads):
    # The day of test_flow_by_hand.py: one load of both, or two of one each.
    room = {"receive": hand(cassette="3 min"), "wash": washer(wait=wait, capacity={"slim": 2})}
    (usual,) = busy_days(build(schedule=TWO_VISITS, stages=room), days=3).usual_loads["wash"]
    assert (dict(usual.cassettes), usual.share) == (loads, 1.0)


def mixed_practice():
    """Two sizes of cassette and a pouch through one washer, which is often less than full."""
    return build(
        sets={"core": ("slim", ["mirror"]), "big": ("large", ["mirror"])},
        pouches={"cuts": ("add-on", ("mirror",))},
        procedures={
            "visit": procedure(per_day=12.0, add_ons={"cuts": "40%"}),
            "long": procedure(per_day=6.0, set="big", add_ons={"cuts": "40%"}),
        },
        instruments={"mirror": {}},
        stages={"wash": washer(machines=1)},
        drawers=({}, {}, {}),
    )


def test_what_goes_in_together_is_counted_again_from_when_each_item_was_started():
    practice, days = mixed_practice(), 30
    seen: Counter[frozenset[tuple[str, int]]] = Counter()
    for day in range(1, days + 1):
        _, flow = simulate_day(practice, day=day)
        loads: defaultdict[int, list[str]] = defaultdict(list)
        for item in histories(flow):
            loads[item.stages[0][1]] += [item.kind.size] if item.kind.role == "set" else []
        # One washer: what was started at one time went in together.
        seen.update(frozenset(Counter(sizes).items()) for sizes in loads.values())
    usual = busy_days(practice, days=days, bookings=drawn_days(practice, days=days)).usual_loads["wash"]
    times = {frozenset(one.cassettes.items()): round(one.share * seen.total()) for one in usual}
    assert len(times) > 3 and frozenset() in seen
    assert all(seen[mix] == count for mix, count in times.items())
    left_out = [count for mix, count in seen.items() if mix and mix not in times]
    assert max(left_out, default=0) <= min(times.values())
    assert list(times.values()) == sorted(times.values(), reverse=True)


def test_the_pouches_beside_a_mix_are_those_that_lay_there_on_most_loads():
    practice, days = mixed_practice(), 30
    beside: defaultdict[frozenset[tuple[str, int]], list[int]] = defaultdict(list)
    for day in range(1, days + 1):
        _, flow = simulate_day(practice, day=day)
        loads: defaultdict[int, list[tuple[str, str]]] = defaultdict(list)
        for item in histories(flow):
            loads[item.stages[0][1]].append((item.kind.role, item.kind.size))
        for load in loads.values():
            mix = Counter(size for role, size in load if role == "set")
            beside[frozenset(mix.items())].append(sum(role != "set" for role, _ in load))
    usual = busy_days(practice, days=days, bookings=drawn_days(practice, days=days)).usual_loads["wash"]
    told = [sum(one.pouches.values()) for one in usual]
    assert max(told) > 0  # there is one size of pouch
    for one, pouches in zip(usual, told, strict=True):
        counts = beside[frozenset(one.cassettes.items())]
        assert counts.count(pouches) == max(map(counts.count, counts))


def test_nothing_is_gathered_for_a_search():
    assert busy_days(build(), days=2, bands=False).usual_loads == {}
