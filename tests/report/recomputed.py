"""Each promise of the planning report, worked out a second time: what is said, by key, and what tables say.

A value is a number in the unit of its words (minutes, percent, money) or, where it is a sentence itself, that sentence.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator, Mapping
from functools import cache
from typing import Any, NamedTuple, TypeAlias

from plain_choice import plainly_chosen
from second_look import SecondLook, days_between, mean, numbers_between, rank, wilson

from kitdocs.planning.day.joint import JointNeeds, KindNeeds


class Rounded(NamedTuple):
    """A number that is told with so many decimals; another is told with one."""

    value: float
    decimals: int


Value: TypeAlias = "float | str | Rounded"
Values: TypeAlias = "Mapping[str, Value]"
Recompute: TypeAlias = "Callable[[SecondLook], Iterable[Values]]"

RECOMPUTED: dict[str, Recompute] = {}


def recomputed(*keys: str) -> Callable[[Recompute], Recompute]:
    def entered(function: Recompute) -> Recompute:
        RECOMPUTED.update((f"report.{key}", function) for key in keys)
        return function

    return entered


def percent(days: Iterable[bool]) -> float:
    return 100 * mean(days)


class Kept(NamedTuple):
    """On which days each promise is kept, by the counts that the JSON has; and by counts that other days chose."""

    sets: list[bool]
    drawers: list[bool]
    sets_elsewhere: list[bool]
    drawers_elsewhere: list[bool]

    @property
    def all(self) -> list[bool]:
        return [a and b for a, b in zip(self.sets, self.drawers, strict=True)]

    @property
    def all_elsewhere(self) -> list[bool]:
        return [a and b for a, b in zip(self.sets_elsewhere, self.drawers_elsewhere, strict=True)]


def set_counts(look: SecondLook) -> dict[str, int]:
    sets, pouches = look.plan["sets"], look.plan["pouches"]
    counts = {id_: stock["sets_out_at_once"] for id_, stock in sets.items()}
    return counts | {id_: p["pouches_out_at_once"] for id_, p in pouches.items() if p["kind"] == "add-on"}


def drawer_counts(look: SecondLook, what: str = "pouches_in_drawer") -> dict[tuple[str, str], int]:
    drawers = look.plan["drawers"].items()
    return {(chair, pouch): told[what] for chair, pouches in drawers for pouch, told in pouches.items()}


def drawer_pouches(look: SecondLook) -> dict[str, Any]:
    return {id_: pouch for id_, pouch in look.plan["pouches"].items() if pouch["kind"] == "drawer"}


def beyond_counts(look: SecondLook, what: str = "pouches_beyond_drawers") -> dict[str, int]:
    return {id_: pouch[what] for id_, pouch in drawer_pouches(look).items()}


def own(look: SecondLook) -> dict[str, int]:
    plan = look.plan
    sets = {id_: stock["sets_to_own"] for id_, stock in plan["sets"].items()}
    return sets | {id_: pouch["pouches_to_own"] for id_, pouch in plan["pouches"].items()}


def weight(look: SecondLook, id_: str) -> int:
    return round(100 * look.worth(id_)) * 1000 + 1


def set_needs(look: SecondLook) -> JointNeeds[str]:
    kinds = {id_: KindNeeds(by_day=tuple(look.peaks[id_]), price=weight(look, id_)) for id_ in look.packs}
    return JointNeeds(kinds, look.count)


def drawer_needs(look: SecondLook) -> JointNeeds[tuple[str, str]]:
    asked, chairs = look.asked_of_drawers, look.practice.chairs
    kinds = {
        (chair, pouch): KindNeeds(
            by_day=tuple(between[chair, pouch] for between, _ in asked),
            price=weight(look, pouch),
            least=1,
            written=None if written == "auto" else int(written),
        )
        for chair, record in chairs.items()
        for pouch, written in record.drawer.items()
    }
    for id_ in drawer_pouches(look):
        behind = tuple(behind[id_] for _, behind in asked)
        kinds["", id_] = KindNeeds(by_day=behind, price=weight(look, id_))
    return JointNeeds(kinds, look.count)


def kept_elsewhere(needs: JointNeeds[Any], asked: float) -> list[bool]:
    """Each fifth of the days, with counts that the other four fifths choose, plainly."""
    kept = [False] * needs.days
    for fold in range(5):
        others = needs.of_days([day for day in range(needs.days) if day % 5 != fold])
        counts = plainly_chosen(others, asked, exchange=False)
        for day in range(fold, needs.days, 5):
            kept[day] = all(kind.by_day[day] <= counts[name] for name, kind in needs.kinds.items())
    return kept


@cache
def kept(look: SecondLook) -> Kept:
    run = look.plan["run"]
    return Kept(
        look.kept_with(set_counts(look)),
        look.drawers_kept(drawer_counts(look), beyond_counts(look)),
        kept_elsewhere(set_needs(look), run["service_percent"] / 100),
        kept_elsewhere(drawer_needs(look), run["drawer_service_percent"] / 100),
    )


def interval(here: list[bool], elsewhere: list[bool]) -> dict[str, Value]:
    low, high = wilson(sum(here), len(here))
    other_low, other_high = wilson(sum(elsewhere), len(elsewhere))
    return {"share": percent(here), "low": 100 * min(low, other_low), "high": 100 * max(high, other_high)}


@recomputed("promise.sets")
def _sets(look: SecondLook) -> Iterator[Values]:
    both = kept(look)
    yield {**interval(both.sets, both.sets_elsewhere), "asked": 100 * look.practice.settings.service}


@recomputed("promise.drawers")
def _drawers(look: SecondLook) -> Iterator[Values]:
    both = kept(look)
    if drawer_pouches(look):
        yield {**interval(both.drawers, both.drawers_elsewhere), "asked": 100 * look.practice.settings.drawers}


@recomputed("summary.kept")
def _either(look: SecondLook) -> Iterator[Values]:
    yield from _sets(look)
    yield from _drawers(look)


@recomputed("summary.kept-both", "promise.all")
def _both(look: SecondLook) -> Iterator[Values]:
    both = kept(look)
    if drawer_pouches(look):
        yield interval(both.all, both.all_elsewhere)


@recomputed("promise.on-other-days")
def _on_other_days(look: SecondLook) -> Iterator[Values]:
    if drawer_pouches(look):
        yield _elsewhere(look, "sets", "drawers", "all")


@recomputed("promise.on-other-days-sets")
def _sets_on_other_days(look: SecondLook) -> Iterator[Values]:
    if not drawer_pouches(look):
        yield _elsewhere(look, "sets")


def _elsewhere(look: SecondLook, *names: str) -> Values:
    values: dict[str, Value] = {}
    for name in names:
        days = getattr(kept(look), f"{name}_elsewhere")
        low, high = wilson(sum(days), len(days))
        values |= {name: percent(days), f"{name}_low": 100 * low, f"{name}_high": 100 * high}
    return values


@recomputed("method.are-not-part.3")
def _not_kept(look: SecondLook) -> Iterator[Values]:
    both = kept(look)
    yield {
        "waits": 100 - percent(both.sets),
        "runs_out": 100 - percent(both.drawers),
        "short": 100 - percent(both.all),
    }


@recomputed("promise.how")
def _days(look: SecondLook) -> Iterator[Values]:
    """What is said of the choice, too: with plain steps the same counts come out."""
    asked = look.plan["run"]["service_percent"] / 100
    assert plainly_chosen(set_needs(look), asked) == set_counts(look)
    yield {"days": float(look.count)}


@recomputed("promise.written")
def _written(look: SecondLook) -> Iterator[Values]:
    computed, computed_beyond = (
        drawer_counts(look, "pouches_if_none_written"),
        beyond_counts(look, "pouches_beyond_drawers_computed"),
    )
    drawers, beyond = drawer_counts(look), beyond_counts(look)
    if (drawers, beyond) == (computed, computed_beyond):
        return

    def worth(counts: Mapping[tuple[str, str], int], extra: Mapping[str, int]) -> float:
        inside = sum(look.worth(pouch) * number for (_, pouch), number in counts.items())
        return inside + sum(look.worth(pouch) * number for pouch, number in extra.items())

    yield {
        "money": worth(drawers, beyond),
        "kept": percent(kept(look).drawers),
        "money_computed": worth(computed, computed_beyond),
        "computed": percent(look.drawers_kept(computed, computed_beyond)),
    }


def total(look: SecondLook) -> Rounded:
    return Rounded(look.cost(own(look)), 2)


@recomputed("promise.plan")
def _plan(look: SecondLook) -> Iterator[Values]:
    yield {"money": total(look)}


@recomputed("promise.says")
def _says(look: SecondLook) -> Iterator[Values]:
    yield {"money": total(look), "kept": percent(kept(look).all)}


@recomputed("steps.intro")
def _list_costs(look: SecondLook) -> Iterator[Values]:
    if look.cost(own(look)):
        yield {"money": total(look)}


@recomputed("summary.of-kinds")
def _of_kinds(look: SecondLook) -> Iterator[Values]:
    plan, counts = look.plan, own(look)
    for thing in ("sets", "pouches"):
        number, kinds = sum(counts[id_] for id_ in plan[thing]), len(plan[thing])
        yield {"things": f"⟦report.{thing}¦n={number}⟧", "kinds": f"⟦report.kinds¦n={kinds}⟧"}


@recomputed("summary.pieces-for")
def _pieces_for(look: SecondLook) -> Iterator[Values]:
    buy = look.to_buy(own(look))
    if buy:
        priced: Values = {"cost": total(look)}
        without = [piece for piece in buy if not look.price(piece)]
        yield {"pieces": f"⟦report.pieces¦n={sum(buy.values()):,}⟧", **({} if without else priced)}


@recomputed("buying.says")
def _dearest(look: SecondLook) -> Iterator[Values]:
    buy = look.to_buy(own(look))
    costs = sorted((look.price(piece) * number for piece, number in buy.items()), reverse=True)
    if len(buy) > 3:
        share = 100 * sum(costs[:3]) / sum(costs) if sum(costs) else 0.0
        yield {"n": float(len(buy)), "share": Rounded(share, 0)}


@recomputed("buying.says-few")
def _few(look: SecondLook) -> Iterator[Values]:
    buy = look.to_buy(own(look))
    if 0 < len(buy) <= 3:
        yield {"n": float(len(buy))}


@recomputed("summary.budget-buys")
def _budget(look: SecondLook) -> Iterator[Values]:
    budget = look.practice.settings.budget
    for step in look.plan["buying_steps"][:-1]:
        if step["up_to_in_currency"] == budget:
            counts, sets = step["sets_and_pouches"], look.practice.sets
            assert look.cost(counts, spares=False) <= step["up_to_in_currency"] + 1e-9
            in_sets = sum(number for id_, number in counts.items() if id_ in sets)
            yield {
                "money": Rounded(float(budget), 2),
                "sets": f"⟦report.sets¦n={in_sets}⟧",
                "pouches": f"⟦report.pouches¦n={sum(counts.values()) - in_sets}⟧",
                "kept": percent(step_kept(look, step)),
                "short": step_short(look, step),
            }


@recomputed("steps.spent")
def _spent(look: SecondLook) -> Iterator[Values]:
    for step in look.plan["buying_steps"][:-1]:
        if step["spent_in_currency"]:
            yield {"money": Rounded(look.cost(step["sets_and_pouches"], spares=False), 2)}


def in_drawers(told: Mapping[str, Any]) -> dict[tuple[str, str], int]:
    drawers = told["pouches_in_drawers"].items()
    return {(chair, pouch): number for chair, pouches in drawers for pouch, number in pouches.items()}


def step_kept(look: SecondLook, step: Mapping[str, Any]) -> list[bool]:
    """On which days nothing is short with what is there after a step of buying."""
    of_sets = look.kept_with(step["sets_and_pouches"])
    drawers = look.drawers_kept(in_drawers(step), step["pouches_beyond_drawers"])
    return [a and b for a, b in zip(of_sets, drawers, strict=True)]


def step_short(look: SecondLook, step: Mapping[str, Any]) -> float:
    """How many are missing on a day, each kind at its own worst time."""
    counts, drawers, beyond = step["sets_and_pouches"], in_drawers(step), step["pouches_beyond_drawers"]
    missing = [max(0, peak - counts[id_]) for id_ in look.packs for peak in look.peaks[id_]]
    for between, behind in look.asked_of_drawers:
        missing += [max(0, many - drawers[place]) for place, many in between.items()]
        missing += [max(0, many - beyond[pouch]) for pouch, many in behind.items()]
    return sum(missing) / look.count


@recomputed("summary.supplies-cost")
def _supplies_cost(look: SecondLook) -> Iterator[Values]:
    supplies = look.plan["supplies"].values()
    if supplies:
        priced = [use for use in supplies if use["box_price_in_currency"]]
        each = (use["units_per_day_mean"] / use["units_in_box"] * use["box_price_in_currency"] for use in priced)
        yield {"cost": Rounded(math.fsum(each), 0)}  # the JSON has two decimals of each use


@recomputed("summary.chart-says")
def _most_of_all(look: SecondLook) -> Iterator[Values]:
    most = max(look.plan["sets"], key=lambda id_: own(look)[id_])
    visits = mean(len(day.bookings) for day in look.counted)
    yield {"kept": percent(kept(look).sets), "visits": visits, "most": float(own(look)[most])}


@recomputed("start.on-average")
def _on_average(look: SecondLook) -> Iterator[Values]:
    yield {"n": mean(len(day.bookings) for day in look.counted)}


@recomputed("stock.fewer")
def _one_fewer(look: SecondLook) -> Iterator[Values]:
    needed = [(look.peaks[id_], count) for id_, count in set_counts(look).items()]
    for pouch, count in beyond_counts(look).items():
        needed.append(([behind[pouch] for _, behind in look.asked_of_drawers], count))
    for by_day, count in needed:
        if count:
            days = sum(need < count for need in by_day)
            yield {"n": float(100 * days // look.count), "fewer": float(count - 1)}


@recomputed("stock.intro")
def _run_times(look: SecondLook) -> Iterator[Values]:
    yield {"days": float(look.count), "service": 100 * look.practice.settings.service}


@recomputed("drawers.as-written")
def _as_written(look: SecondLook) -> Iterator[Values]:
    computed = drawer_counts(look, "pouches_computed")
    for place, number in drawer_counts(look).items():
        if number != computed[place]:
            yield {"computed": float(computed[place])}


@recomputed("out.says")
def _out(look: SecondLook) -> Iterator[Values]:
    for id_ in look.plan["sets"]:
        times, median, high = look.out_through_the_day(id_)
        if any(high):
            to_own = f"⟦report.sets-to-own¦n={own(look)[id_]}⟧"
            at = times[high.index(max(high))] / 60
            yield {"time": at, "most": float(max(high)), "middle": float(max(median)), "own": to_own}


@recomputed("out.none")
def _none_out(look: SecondLook) -> Iterator[Values]:
    for id_ in look.plan["sets"]:
        if not any(look.out_through_the_day(id_)[2]):
            yield {"own": f"⟦report.sets-to-own¦n={own(look)[id_]}⟧"}


def ends(look: SecondLook) -> dict[str, Value]:
    low, high = numbers_between(look.ends, 95)
    times = {"high": rank(look.ends, 95), "low_end": low, "high_end": high, "median": rank(look.ends, 50)}
    return {name: time / 60 for name, time in times.items()}


def leaves_something(look: SecondLook) -> bool:
    return look.plan["nights"] is not None and any(look.left)


@recomputed("day.ends")
def _ends(look: SecondLook) -> Iterator[Values]:
    if not leaves_something(look):
        yield ends(look)


@recomputed("day.late")
def _after_closing(look: SecondLook) -> Iterator[Values]:
    after = rank(look.ends, 95) / 60 - look.practice.settings.day.closes
    if after > 0 and not leaves_something(look):
        yield {"after": after}


@recomputed("day.left")
def _left_in_the_evening(look: SecondLook) -> Iterator[Values]:
    if leaves_something(look):
        yield {
            "closes": look.night[0] / 60,
            "share": Rounded(percent(map(bool, look.left)), 0),
            "items": mean(map(len, look.left)),
        }


@recomputed("night.left-value")
def _left_value(look: SecondLook) -> Iterator[Values]:
    if leaves_something(look):
        sets = [sum(item.id in look.practice.sets for item, _ in left) for left in look.left]
        yield {
            "share": Rounded(percent(map(bool, look.left)), 0),
            "items": mean(map(len, look.left)),
            "sets": mean(sets),
            "most": float(rank(map(len, look.left), 95)),
        }


@recomputed("night.second-value")
def _second_night(look: SecondLook) -> Iterator[Values]:
    if look.plan["nights"] and (again := percent(any(n > 1 for _, n in left) for left in look.left)):
        yield {"share": again}


@recomputed("night.nothing")
def _nothing_left(look: SecondLook) -> Iterator[Values]:
    if look.plan["nights"] and not any(look.left):
        yield {}


@recomputed("day.busiest-machine")
def _busiest_machine(look: SecondLook) -> Iterator[Values]:
    if look.practice.room.stages[look.busiest].kind == "machine":
        yield _busiest(look)


@recomputed("day.busiest-person")
def _busiest_person(look: SecondLook) -> Iterator[Values]:
    if look.practice.room.stages[look.busiest].kind == "hand":
        yield _busiest(look)


def _busiest(look: SecondLook) -> Values:
    work = look.work(look.busiest)
    return {"work": work / 60, "share": Rounded(100 * work / look.open_for, 0)}


@recomputed("day.loads-a-day")
def _loads(look: SecondLook) -> Iterator[Values]:
    machines = [stage for stage in look.stages if look.practice.room.stages[stage].kind == "machine"]
    yield {"n": math.fsum(mean(look.loads(stage)) for stage in machines)}


@recomputed("day.up-to")
def _loads_up_to(look: SecondLook) -> Iterator[Values]:
    for stage in look.stages:
        if look.practice.room.stages[stage].kind == "machine":
            yield {"mean": mean(look.loads(stage)), "most": float(rank(look.loads(stage), 95))}


@recomputed("day.middle-says")
def _middle_day(look: SecondLook) -> Iterator[Values]:
    median = rank(look.ends, 50)
    day = look.counted[look.ends.index(median)]
    yield {"visits": f"⟦report.day.visits¦n={len(day.bookings)}⟧", "time": median / 60}


def late(look: SecondLook) -> list[list[int]]:
    return [[booking.late for booking in day.bookings if booking.late] for day in look.counted]


def run_over(look: SecondLook) -> bool:
    return any(map(look.practice.overrun, look.practice.procedures))


@recomputed("day.visits-late-by")
def _late_by(look: SecondLook) -> Iterator[Values]:
    if run_over(look):
        all_late = [each for day in late(look) for each in day]
        visits = sum(len(day.bookings) for day in look.counted)
        yield {
            "share": Rounded(100 * len(all_late) / visits, 0),
            "median": rank(all_late, 50) / 60,
            "high": rank(all_late, 95) / 60,
        }


@recomputed("day.last-visit-by")
def _last_visit(look: SecondLook) -> Iterator[Values]:
    if run_over(look):
        last = [max(booking.end for booking in day.bookings) for day in look.counted]
        yield {"high": rank(last, 95) / 60, "median": rank(last, 50) / 60}


@recomputed("turnaround.says")
def _turnaround(look: SecondLook) -> Iterator[Values]:
    sets = look.practice.sets
    by_day = [[item.back - item.out for item in day.items if item.id in sets] for day in look.counted]
    low, high = days_between(by_day, 95) if look.away else (0, 0)
    items = [item for item in look.all_items if item.id in sets]
    waiting = sum(started - joined for item in items for joined, started, _ in item.stages) / max(1, len(items))
    yield {
        "total": mean(look.away) / 60,
        "high": rank(look.away, 95) / 60,
        "low": low / 60,
        "high_end": high / 60,
        "waiting": waiting / 60,
        "share": Rounded(100 * waiting / mean(look.away) if look.away else 0.0, 0),
    }


@recomputed("spares.intro")
def _spares(look: SecondLook) -> Iterator[Values]:
    """That they are enough is scipy's Poisson; the JSON has as many."""
    lines = look.plan["buying"]["lines"]
    for name, (_, _, spare) in look.spares.items():
        assert lines[name]["spare_pieces"] == spare, name
    if look.spares:
        yield {"week": float(look.practice.settings.day.per_week), "service": 100 * look.practice.settings.service}


# what tables say ----------------------------------------------------------------------------------


def sets_table(look: SecondLook) -> Iterator[tuple[Value, ...]]:
    for id_, stock in look.plan["sets"].items():
        items = [item for item in look.all_items if item.id == id_]
        away = mean(item.back - item.out + look.held(id_) for item in items) / 60
        needed, owned = stock["sets_out_at_once"], stock["sets_to_own"]
        yield len(items) / look.count, away, mean(look.peaks[id_]), float(needed), float(owned)


def add_ons_table(look: SecondLook) -> Iterator[tuple[Value, ...]]:
    for id_, stock in look.plan["pouches"].items():
        if stock["kind"] == "add-on":
            items = [item for item in look.all_items if item.id == id_]
            away = mean(item.back - item.out + look.held(id_) for item in items) / 60
            needed, owned = stock["pouches_out_at_once"], stock["pouches_to_own"]
            yield len(items) / look.count, away, mean(look.peaks[id_]), float(needed), float(owned)


def stages_table(look: SecondLook) -> Iterator[tuple[Value, ...]]:
    for stage in look.stages:
        if look.units(stage):
            waits, work = look.waits[stage], look.work(stage)
            share = Rounded(100 * work / look.open_for, 0)
            yield work / 60, share, mean(waits) / 60, rank(waits, 95) / 60


def restock_table(look: SecondLook) -> Iterator[tuple[Value, ...]]:
    for nth, at in enumerate(look.restock):
        yield rank(look.complete(nth), 50) / 60, rank(look.complete(nth), 95) / 60
        assert min(look.complete(nth)) >= at


def drawers_table(look: SecondLook) -> Iterator[tuple[Value, ...]]:
    for id_, pouch in drawer_pouches(look).items():
        opened = mean(sum(each[1] == id_ for each in day) for day in look.opened[1:])
        inside = sum(number for (_, name), number in drawer_counts(look).items() if name == id_)
        beyond, spare = pouch["pouches_beyond_drawers"], pouch["spare_pouches"]
        yield opened, float(inside), float(beyond), float(spare), float(inside + beyond + spare)


def rungs_table(look: SecondLook) -> Iterator[tuple[Value, ...]]:
    for rung in look.plan["money_against_chance"]:
        of_sets = look.kept_with(rung["sets_and_add_ons"])
        drawers = look.drawers_kept(in_drawers(rung), rung["pouches_beyond_drawers"])
        both = [a and b for a, b in zip(of_sets, drawers, strict=True)]
        yield percent(of_sets), percent(drawers), percent(both), Rounded(look.cost(rung_own(look, rung)), 2)


def rung_own(look: SecondLook, rung: Mapping[str, Any]) -> dict[str, int]:
    """What there is with other counts, spares of sets and pouches added."""
    counts = dict(rung["sets_and_add_ons"])
    for id_ in drawer_pouches(look):
        inside = sum(number for (_, name), number in in_drawers(rung).items() if name == id_)
        counts[id_] = inside + rung["pouches_beyond_drawers"][id_]
    plan = look.plan
    spare = {id_: stock["spare_sets"] for id_, stock in plan["sets"].items()}
    spare |= {id_: pouch["spare_pouches"] for id_, pouch in plan["pouches"].items()}
    return {id_: number + spare[id_] for id_, number in counts.items()}


def alone_table(look: SecondLook) -> Iterator[tuple[Value, ...]]:
    (plan,) = (rung for rung in look.plan["money_against_chance"] if rung["is_plan"])
    drawers = ("pouches_in_drawers", "pouches_beyond_drawers")
    for rung in look.plan["money_against_chance"]:
        if not rung["is_plan"]:
            for_sets = {**rung, **{name: plan[name] for name in drawers}}
            for_drawers = {**rung, "sets_and_add_ons": plan["sets_and_add_ons"]}
            yield tuple(Rounded(look.cost(rung_own(look, each)), 2) for each in (for_sets, for_drawers))


def steps_table(look: SecondLook) -> Iterator[tuple[Value, ...]]:
    *steps, plan = look.plan["buying_steps"]
    for step in (*steps, plan):
        counts, sets = step["sets_and_pouches"], look.practice.sets
        in_sets = sum(number for id_, number in counts.items() if id_ in sets)
        yield (
            float(in_sets),
            float(sum(counts.values()) - in_sets),
            step_short(look, step),
            percent(step_kept(look, step)),
        )


def order_table(look: SecondLook) -> Iterator[tuple[Value, ...]]:
    need = look.pieces(own(look))
    need.update({("instrument", name): spare for name, (_, _, spare) in look.spares.items()})
    buy = look.to_buy(own(look))
    order = [
        *(("instrument", i) for i in look.practice.instruments),
        *(("cassette", c) for c in look.practice.cassettes),
    ]
    for piece in order:
        if piece in buy:
            yield float(need[piece]), float(look.owned(piece)), float(buy[piece])


def spares_table(look: SecondLook) -> Iterator[tuple[Value, ...]]:
    for name, (uses, away, spare) in look.spares.items():
        repair = look.practice.instruments[name].repair
        assert repair
        yield uses, float(repair.uses_between), float(repair.days_away), Rounded(away, 2), float(spare)


def breakdown_table(look: SecondLook) -> Iterator[tuple[Value, ...]]:
    """From the JSON alone; that everything is back by a time is only said where it is."""
    told = look.plan["breakdowns"]
    for day in (told[0]["usual"], *(each["broken"] for each in told)):
        left = day["sets_and_pouches_out_in_the_morning_95_percent"]
        back = None if left else day["ends_at_95_percent"]
        waits, out = day["waits_per_day_mean"], day["sets_and_pouches_out_in_the_morning_mean"]
        yield Rounded(waits, 1), day["first_wait_at_median"] or "–", back or "–", Rounded(out, 1)


#: By the keys of its head, from the first column on: the cells after the first of each row.
TABLES: Mapping[tuple[str, ...], Callable[[SecondLook], Iterable[tuple[Value, ...]]]] = {
    ("stock.head.set", "stock.head.taken"): sets_table,
    ("stock.head.pouch", "stock.head.taken"): add_ons_table,
    ("day.head.stage", "day.head.work"): stages_table,
    ("drawers.restock-head.at",): restock_table,
    ("drawers.head.pouch",): drawers_table,
    ("promise.head.asked", "promise.head.sets"): rungs_table,
    ("promise.alone.head.asked", "promise.alone.head.sets"): alone_table,
    ("steps.head.with",): steps_table,
    ("buying.head.item", "buying.head.needed", "buying.head.owned", "buying.head.buy"): order_table,
    ("spares.head.instrument",): spares_table,
    ("breakdown.head.what",): breakdown_table,
}
