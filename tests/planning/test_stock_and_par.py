"""What the run counts, counted again from every item's history in the plainest way."""

from __future__ import annotations

from statistics import mean

import pytest
from practice_builder import at, build, hand, procedure, rest, washer
from simulated_day import histories, simulate_day

from kitdocs.planning.day.items import _kinds
from kitdocs.planning.day.run import busy_days, drawn_days

DAY = 24 * 3600
DAYS = 30


def practice(**changes):
    usual = {
        "sets": {"core": ("slim", ["mirror"]), "big": ("large", ["mirror", "cutter"])},
        "pouches": {
            "bends": ("drawer", ["bender", "cutter"]),
            "ties": ("drawer", ["forceps"]),
            "extra": ("add-on", ["holder"]),
        },
        "procedures": {
            "visit": procedure(
                per_day=11.5, needs={"mirror": "always", "bender": "35%", "cutter": "20%", "forceps": "70%"}
            ),
            "long": procedure(
                minutes="45 min", per_day=3.0, set="big", add_ons={"extra": "40%"}, needs={"holder": "40%"}
            ),
        },
        "drawers": ({"bends": "auto", "ties": 1}, {"ties": "auto"}, {"bends": "auto"}),
        "stages": {
            "pack": hand(people=2),
            "wash": washer(machines=2, capacity={"slim": 3, "large": 2, "small-pouch": 5}),
            "cool": rest(),
        },
        "restock": ("09:45", "12:30", "16:00"),
    }
    return build(**{**usual, **changes})


@pytest.fixture(scope="module")
def run():
    return busy_days(practice(), days=DAYS, seed=3)


@pytest.fixture(scope="module")
def history():
    """(bookings, items) of the day before and of every day."""
    days = [simulate_day(practice(), day=number, seed=3) for number in range(DAYS + 1)]
    return [(bookings, histories(day)) for bookings, day in days]


def high(values):
    """95 % of 30 values: the 29th smallest, as 28 are only 93 %."""
    return sorted(values)[28]


@pytest.mark.parametrize("id_", ["core", "big", "extra"])
def test_stock_is_the_quantile_of_the_days_peak(run, history, id_):
    peaks = []
    for _, items in history[1:]:
        mine = [item for item in items if item.kind.id == id_]
        peaks.append(max((sum(i.out <= j.out < i.back for i in mine) for j in mine), default=0))
    stock = {**run.sets, **run.add_ons}[id_]
    assert stock.needed == stock.own == high(peaks)
    assert stock.peak.mean == pytest.approx(mean(peaks))
    away = [item.back - item.out for _, items in history[1:] for item in items if item.kind.id == id_]
    assert stock.away.mean == pytest.approx(mean(away))
    assert stock.taken_per_day == pytest.approx(len(away) / DAYS)


def opened(history, number, chair, pouch):
    bookings, items = history[number]
    return [i for i in items if i.kind.id == pouch and (chair is None or bookings[i.visit].chair == chair)]


@pytest.mark.parametrize("place", [("chair-1", "bends"), ("chair-2", "ties"), ("chair-3", "bends")])
def test_par_is_no_less_than_the_quantile_of_openings_between_two_restockings(run, history, place):
    rounds = [(at("16:00") - DAY, at("09:45")), (at("09:45"), at("12:30")), (at("12:30"), at("16:00"))]
    worst = []
    for number in range(1, DAYS + 1):
        times = [i.out for i in opened(history, number, *place)]
        times += [i.out - DAY for i in opened(history, number - 1, *place)]
        worst.append(max(sum(since <= time < until for time in times) for since, until in rounds))
    par = run.pars[place]
    assert par.between.high == high(worst)
    assert par.computed == run.par[place] >= max(1, high(worst)), "more where that keeps the promise of all drawers"
    assert run.pars[place].between.mean == pytest.approx(mean(worst))


@pytest.mark.parametrize("pouch", ["bends", "ties"])
def test_pouches_to_own_fill_the_drawers_at_the_worst_restocking(run, history, pouch):
    worst = []
    for number in range(1, DAYS + 1):
        times = [(i.out, i.back) for i in opened(history, number, None, pouch)]
        times += [(i.out - DAY, i.back - DAY) for i in opened(history, number - 1, None, pouch)]
        if number > 1:  # nothing was opened before the day before the first
            times += [(i.out - 2 * DAY, i.back - 2 * DAY) for i in opened(history, number - 2, None, pouch)]
        used_and_not_back = [
            sum(out < now for out, _ in times) - sum(back <= now for _, back in times)
            for now in (at("16:00") - DAY, at("09:45"), at("12:30"), at("16:00"))  # the last of the day before, too
        ]
        worst.append(max(used_and_not_back))
    owned = run.drawer_pouches[pouch]
    assert owned.needed_beyond == high(worst)
    assert owned.behind.mean == pytest.approx(mean(worst))
    in_drawers = sum(par.par for par in run.pars.values() if par.pouch == pouch)
    assert run.pouch_stock[pouch] == in_drawers + high(worst)


def test_a_restocking_is_complete_when_the_last_pouch_opened_before_it_is_back(run, history):
    complete = []
    for _, items in history[1:]:
        backs = [i.back for i in items if i.kind.role == "drawer" and at("12:30") <= i.out < at("16:00")]
        complete.append(max([*backs, at("16:00")]))
    assert run.restockings[2].at == at("16:00")
    assert run.restockings[2].complete.high == high(complete)
    assert run.restockings[2].complete.mean == pytest.approx(mean(complete))


def test_waits_loads_and_work_are_those_of_every_item(run, history):
    items = [item for _, day in history[1:] for item in day]
    for n, id_ in enumerate(("pack", "wash", "cool")):
        waits = [item.stages[n][1] - item.stages[n][0] for item in items]
        assert run.stages[id_].wait.mean == pytest.approx(mean(waits))
    loads = [simulate_day(practice(), day=n, seed=3)[1].stays[1].loads for n in range(1, DAYS + 1)]
    assert run.stages["wash"].loads.mean == pytest.approx(mean(len(day) for day in loads))
    assert run.stages["wash"].loads_by_machine[1].mean == pytest.approx(
        mean(sum(load.machine == 1 for load in day) for day in loads)
    )
    assert run.stages["wash"].work_per_day == pytest.approx(30 * 60 * mean(len(day) for day in loads))
    by_hand = sum(item.stages[0][2] - item.stages[0][1] for item in items)
    assert run.stages["pack"].work_per_day == pytest.approx(by_hand / DAYS)
    ends = [max(item.back for item in day) for _, day in history[1:]]
    open_for = sum(max(end, at("17:00")) - at("08:00") for end in ends)
    assert run.stages["pack"].utilisation == pytest.approx(by_hand / (2 * open_for))
    assert (run.ends.high, run.ends.mean) == (high(ends), pytest.approx(mean(ends)))


def test_the_parts_of_the_turnaround_add_up_to_it(run, history):
    sets = [i for _, items in history[1:] for i in items if i.kind.role == "set"]
    total = mean(item.back - item.out for item in sets)
    assert run.turnaround.total.mean == pytest.approx(total)
    assert sum(part.seconds for part in run.turnaround.parts) == pytest.approx(total)
    assert [part.name for part in run.turnaround.parts] == [
        "setup",
        "in use",
        "carry",
        *("waiting", "hand", "waiting", "machine", "rest"),
    ]


def test_the_band_counts_what_is_out_at_each_time(run, history):
    band = run.bands["core"]
    assert band.times[0] == at("07:50")  # the first visit can start at 08:00, set up from 07:55
    for time, median, most in zip(band.times, band.median, band.high, strict=True):
        out = sorted(sum(i.out <= time < i.back for i in items if i.kind.id == "core") for _, items in history[1:])
        assert (median, most) == (out[14], out[28])
    assert band.high[-1] == 0


def test_the_median_day_ends_when_half_of_the_days_have_ended(run, history):
    ends = sorted(max(item.back for item in items) for _, items in history[1:])
    assert run.median_day.ends == ends[14] == run.ends.median
    _, items = history[run.median_day.day]
    assert max(item.back for item in items) == ends[14]
    assert sum(bar.sets for bar in run.median_day.loads) == sum(i.kind.role == "set" for i in items)
    assert {bar.machine for bar in run.median_day.loads} <= {1, 2}
    for time, count in run.median_day.out["core"]:
        assert count == sum(i.out <= time < i.back for i in items if i.kind.id == "core")


def test_spares_for_repair_are_owned_on_top(run):
    more = busy_days(practice(), days=DAYS, seed=3, spares={"core": 2, "extra": 1, "ties": 3})
    assert more.stock["core"] == run.stock["core"] + 2
    assert more.pouch_stock["extra"] == run.pouch_stock["extra"] + 1
    assert more.pouch_stock["ties"] == run.pouch_stock["ties"] + 3


def test_bookings_that_were_drawn_before_give_the_same_figures(run):
    assert busy_days(practice(), seed=3, bookings=drawn_days(practice(), days=DAYS, seed=3)) == run


def test_a_number_written_for_a_drawer_is_kept_and_warned_about(run):
    par = run.pars["chair-1", "ties"]
    assert (par.written, par.par) == (1, 1)
    assert par.computed > 1
    (problem,) = run.problems
    assert (problem.rule, problem.severity, problem.path) == (
        "drawer-runs-out",
        "warning",
        "chairs.chair-1.drawer.ties",
    )
    kept = run.promises.drawers.kept.share
    assert kept < 0.95 and f"last on {round(100 * kept, 2):g} % of busy days only" in str(problem.message)
    assert f"{par.computed} should lie here" in str(problem.message)


def test_a_drawer_pouch_that_is_never_opened_still_lies_there_once():
    calm = busy_days(practice(procedures={"visit": procedure(per_day=2.0)}), days=5)
    assert set(calm.par.values()) == {1}
    assert calm.drawer_pouches["bends"].opened_per_day == 0


@pytest.mark.parametrize(
    ("restock", "between", "behind", "complete"),
    [
        ("08:00", 1, 0, "08:00"),  # opened just after it; the day after it is long back, and counts as one opened
        ("08:01", 1, 1, "09:23"),
        ("09:22", 1, 1, "09:23"),
        ("09:23", 1, 0, "09:23"),  # back at that moment is back
        ("09:24", 1, 0, "09:24"),
    ],
)
def test_a_pouch_opened_at_eight_and_back_at_0923(restock, between, behind, complete):
    """In use 08:00-08:20, carry 5; set and pouch packed by one person each at 08:25 in 3 min, washer full or after
    10 min: 08:38-09:08, cool 15: 09:23. It is opened on every day."""
    every_day = practice(
        procedures={"visit": procedure(needs={"bender": "always"})},
        drawers=({"bends": "auto"},),
        stages={"pack": hand(people=2, pouch="3 min"), "wash": washer(), "cool": rest()},
        restock=(restock,),
        schedule=[("Monday", "08:00", "chair-1", "visit", "20 min")],
    )
    run = busy_days(every_day, days=3)
    par, pouch = run.pars["chair-1", "bends"], run.drawer_pouches["bends"]
    assert (par.between.high, pouch.behind.high, pouch.own) == (between, behind, 1 + behind)
    assert run.restockings[0].complete.high == at(complete)


def _with_anchors(read_after):
    """One visit a day, 08:00-08:30, with an implant-related set; washed for 30 min, it is back at 09:05."""
    supplies = {"spore_test": {"pack": 10, **({"read_after": read_after} if read_after else {})}}
    stages = {"steam": washer(wait="0 min") | {"area": "sterilization"}}
    return build(
        sets={"core": ("slim", ["screw"])},
        instruments={"screw": {"implant_related": True}},
        procedures={"visit": procedure(needs={"screw": "always"})},
        stages=stages,
        supplies=supplies,
        schedule=[("Monday", "08:00", "chair-1", "visit", "30 min")],
    )


@pytest.mark.parametrize(
    ("read_after", "own"),
    # Back at 09:05 and held: read the same day; next morning at 09:05, when the next visit has begun; a week later.
    [(None, 1), ("3 h", 1), ("24 h", 2), ("168 h", 8)],
)
def test_an_implant_related_set_is_away_until_the_spore_test_is_read(read_after, own):
    stock = busy_days(_with_anchors(read_after), days=40).sets["core"]
    assert stock.needed == own
    hours = int(read_after.split()[0]) if read_after else 0
    assert stock.away.mean == at("09:05") - at("07:55") + hours * 3600


def test_loads_with_an_implant_related_pack_are_counted():
    loads = busy_days(_with_anchors("24 h"), days=5).implant_loads
    assert (loads.per_day, loads.days) == (1.0, 1.0)
    assert busy_days(practice(), days=3).implant_loads.per_day == 0.0


def test_the_parts_of_the_turnaround_add_up_where_some_sets_skip_a_stage():
    skipping = practice(instruments={"mirror": {"skips": ["wash"]}, "cutter": {}})
    turnaround = busy_days(skipping, days=5).turnaround
    assert sum(part.seconds for part in turnaround.parts) == pytest.approx(turnaround.total.mean)


def test_an_add_on_pouch_that_no_procedure_takes_is_no_part_of_the_day():
    kept = build(pouches={"cuts": ("add-on", ("mirror",))}, procedures={"visit": procedure()})
    assert "cuts" not in {kind.id for kind in _kinds(kept)}
    taken = build(pouches={"cuts": ("add-on", ("mirror",))}, procedures={"visit": procedure(add_ons={"cuts": "50%"})})
    assert "cuts" in {kind.id for kind in _kinds(taken)}
