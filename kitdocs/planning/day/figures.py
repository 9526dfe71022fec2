"""The busy day's figures, each with the numbers and the words that a person can check it with."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.planning.day.instants import hours_and_minutes, seconds
from kitdocs.planning.day.par import DrawerPouch, Par, Restocking
from kitdocs.planning.day.run import BusyDays
from kitdocs.planning.day.stock import Stock
from kitdocs.planning.day.turnaround import StageDay
from kitdocs.planning.figure import Figure, Input
from kitdocs.practice.model import Practice
from kitdocs.practice.values import clock_text, share_text

SECTION = "day"


def day_figures(practice: Practice, days: BusyDays) -> tuple[Figure, ...]:
    """All of them, in the order of a report: stock, drawers, the end of the day, stages, turnaround."""
    write = _Writer(practice, days)
    return (
        *(write.stock(stock) for stock in days.sets.values()),
        *(write.stock(stock) for stock in days.add_ons.values()),
        *(write.drawer_pouch(pouch) for pouch in days.drawer_pouches.values()),
        *(write.par(par) for par in days.pars.values()),
        *(write.restocking(restocking) for restocking in days.restockings),
        *write.ends(),
        *(figure for stage in days.stages.values() for figure in write.stage(stage)),
        write.turnaround(),
    )


class _Writer:
    """The words for one run of one practice."""

    def __init__(self, practice: Practice, days: BusyDays) -> None:
        self._practice = practice
        self._days = days
        self._percent = f"{days.service * 100:g} %"
        self._of_days = f"{days.days:,} busy days"
        first = seconds(practice.settings.day.opens) - seconds(practice.room.setup)
        self._span = max(1.0, days.ends.mean - first)
        self._run = (
            Input(name="busy days", value=days.days, unit="days", source=self._drawn_from()),
            Input(name="seed", value=days.seed),
        )
        self._service = Input(
            name="service",
            value=self._percent,
            unit="of busy days",
            source=self._place("practice", "service"),
        )

    def stock(self, stock: Stock) -> Figure:
        """A set's or an add-on pouch's."""
        is_set = stock.id in self._practice.sets
        things = "sets" if is_set else "pouches"
        record = self._practice.sets[stock.id] if is_set else self._practice.pouches[stock.id]
        return Figure(
            id=f"stock.{stock.id}" if is_set else f"pouches.{stock.id}",
            name=f"{record.name}: {things} to own",
            value=stock.own,
            unit=things,
            why=(
                f"On {self._percent} of {self._of_days} at most {stock.needed} were out of the store at once "
                f"(the day's peak is {stock.peak.mean:.1f} on average), and {stock.spares} more for those in "
                f"repair: {stock.needed} + {stock.spares} = {stock.own}. On average "
                f"{stock.taken_per_day:.1f} taken a day × {hours_and_minutes(stock.away.mean)} away ÷ "
                f"{hours_and_minutes(self._span)} from the first set-up to the last item stored = "
                f"{stock.taken_per_day * stock.away.mean / self._span:.1f} are out (Little's law)."
            ),
            inputs=(*self._visits_that_take(stock.id), self._service, self._setup(), *self._run),
            section=SECTION,
        )

    def par(self, par: Par) -> Figure:
        chair, pouch = self._practice.chairs[par.chair], self._practice.pouches[par.pouch]
        written = "auto" if par.written is None else par.written
        says = f"chairs.yaml says {written}, so the drawer gets {par.par}"
        return Figure(
            id=f"par.{par.chair}.{par.pouch}",
            name=f"{chair.name}: {pouch.name}, how many in the drawer",
            value=par.par,
            unit="pouches",
            why=(
                f"On {self._percent} of {self._of_days} at most {par.computed} were opened at this chair between "
                f"two restockings ({par.opened_per_day:.2f} a day on average; at least 1 lies there); {says}."
            ),
            inputs=(
                *self._restock(),
                Input(
                    name="in the drawer",
                    value=written,
                    source=self._place("chairs", par.chair, "drawer", par.pouch),
                ),
                self._service,
                *self._run,
            ),
            section=SECTION,
        )

    def drawer_pouch(self, pouch: DrawerPouch) -> Figure:
        pars = [par for par in self._days.pars.values() if par.pouch == pouch.id]
        return Figure(
            id=f"pouches.{pouch.id}",
            name=f"{self._practice.pouches[pouch.id].name}: pouches to own",
            value=pouch.own,
            unit="pouches",
            why=(
                f"The drawers hold {' + '.join(str(par.par) for par in pars)} = {pouch.par}; on {self._percent} of "
                f"{self._of_days} at most {pouch.needed_beyond} more were used and not yet back at the worst "
                f"restocking, and {pouch.spares} are for those in repair: "
                f"{pouch.par} + {pouch.needed_beyond} + {pouch.spares} = {pouch.own}. "
                f"{pouch.opened_per_day:.1f} are opened a day."
            ),
            inputs=(
                *(
                    Input(
                        name=f"drawer of '{par.chair}'",
                        value=par.par,
                        unit="pouches",
                        source=self._place("chairs", par.chair, "drawer", pouch.id),
                    )
                    for par in pars
                ),
                *self._restock(),
                self._service,
                *self._run,
            ),
            section=SECTION,
        )

    def restocking(self, restocking: Restocking) -> Figure:
        at, complete = clock_text(restocking.at / 60), restocking.complete
        return Figure(
            id=f"restock.{at.replace(':', '')}",
            name=f"Restocking at {at}: complete without pouches beyond the drawers'",
            value=clock_text(complete.high / 60),
            unit="time of day",
            why=(
                f"On 95 % of {self._of_days} everything opened since the restocking before is back in the store "
                f"by {clock_text(complete.high / 60)}, on half of them by {clock_text(complete.median / 60)}; with "
                f"the pouches to own above, every drawer can be filled at {at} itself on {self._percent} of days."
            ),
            inputs=(*self._restock(), *self._run),
            section=SECTION,
        )

    def ends(self) -> Iterator[Figure]:
        median, high = clock_text(self._days.ends.median / 60), clock_text(self._days.ends.high / 60)
        for id_, value, share in (("day.ends", high, "95 %"), ("day.ends.median", median, "half")):
            yield Figure(
                id=id_,
                name=f"Reprocessing ends at (on {share} of busy days not later)",
                value=value,
                unit="time of day",
                why=(
                    f"Sorted by the time at which the last item is back in the store, {share} of "
                    f"{self._of_days} end by {value}; a day has {self._days.visits.mean:.1f} visits."
                ),
                inputs=(
                    Input(
                        name="closes",
                        value=clock_text(self._practice.settings.day.closes),
                        source=self._place("practice", "day", "closes"),
                    ),
                    *self._run,
                ),
                section=SECTION,
            )

    def stage(self, stage: StageDay) -> Iterator[Figure]:
        record = self._practice.room.stages[stage.id]
        here = Input(name=f"stage '{stage.id}'", value=stage.kind, source=self._place("room", "stages", stage.id))
        if stage.units == 0:
            return
        yield Figure(
            id=f"wait.{stage.id}",
            name=f"{record.name}: waiting in front of it",
            value=round(stage.wait.mean / 60, 1),
            unit="minutes",
            why=(
                f"Over all sets and pouches of {self._of_days}, from joining the queue to being started: "
                f"{hours_and_minutes(stage.wait.mean)} on average, at most "
                f"{hours_and_minutes(stage.wait.high)} for 95 % of them."
            ),
            inputs=(here, *self._run),
            section=SECTION,
        )
        units = ("machine" if stage.units == 1 else "machines") if stage.loads else _people(stage.units)
        yield Figure(
            id=f"utilisation.{stage.id}",
            name=f"{record.name}: share of its time at work",
            value=round(stage.utilisation * 100, 1),
            unit="%",
            why=(
                f"{hours_and_minutes(stage.work_per_day)} of work a day ÷ ({stage.units} {units} × "
                f"{hours_and_minutes(stage.work_per_unit / stage.utilisation if stage.utilisation else 0)} from "
                "opening until the last item is stored or the practice closes, on average)."
            ),
            inputs=(here, *self._run),
            section=SECTION,
        )
        if stage.loads:
            yield from self._loads(stage, here)

    def _loads(self, stage: StageDay, here: Input) -> Iterator[Figure]:
        name = self._practice.room.stages[stage.id].name
        machines = stage.loads_by_machine if stage.units > 1 else ()
        spreads = [("", "", stage.loads), *((f".{n}", f", no. {n}", m) for n, m in enumerate(machines, 1))]
        for suffix, words, loads in spreads:
            if loads:
                yield Figure(
                    id=f"loads-a-day.{stage.id}{suffix}",
                    name=f"{name}{words}: loads a day",
                    value=round(loads.mean, 1),
                    unit="loads",
                    why=(
                        f"Counted on {self._of_days}: {loads.mean:.1f} on average, at most {loads.high} on 95 % of "
                        "them. A load starts when it is full or its oldest item has waited long enough."
                    ),
                    inputs=(here, *self._run),
                    section=SECTION,
                )

    def turnaround(self) -> Figure:
        turnaround = self._days.turnaround
        parts = tuple(
            Input(
                name=f"{part.name} at {self._practice.room.stages[part.stage].name}" if part.stage else part.name,
                value=round(part.seconds / 60, 1),
                unit="minutes",
                source=self._place("room", "stages", part.stage) if part.stage else "",
            )
            for part in turnaround.parts
        )
        return Figure(
            id="turnaround",
            name="A set's turnaround, from the store to the store",
            value=round(turnaround.total.mean / 60, 1),
            unit="minutes",
            why=(
                f"The mean over all sets of {self._of_days} ({hours_and_minutes(turnaround.total.mean)}), the sum of "
                f"its parts, each rounded: {' + '.join(f'{part.value} {part.name}' for part in parts)} "
                f"minutes. 95 % of sets are back within {hours_and_minutes(turnaround.total.high)}."
            ),
            inputs=(*parts, *self._run),
            section=SECTION,
        )

    def _visits_that_take(self, id_: str) -> Iterator[Input]:
        for procedure, record in self._practice.procedures.items():
            share = 1.0 if record.set == id_ else record.add_ons.get(id_, 0.0)
            if share:
                yield Input(
                    name=f"visits for '{procedure}' ({share_text(share)} take one)",
                    value=record.per_day,
                    unit="a busy day",
                    source=self._place("procedures", procedure, "per_day"),
                )

    def _restock(self) -> Iterator[Input]:
        for n, at in enumerate(self._practice.room.restock):
            yield Input(name="restocking", value=clock_text(at), source=self._place("room", "restock", n))

    def _setup(self) -> Input:
        return Input(
            name="leaves the store before the visit",
            value=seconds(self._practice.room.setup) / 60,
            unit="minutes",
            source=self._place("room", "setup"),
        )

    def _drawn_from(self) -> str:
        return "schedule.csv, in turn" if self._practice.schedule else "drawn from procedures.yaml"

    def _place(self, *path: str | int) -> str:
        return str(self._practice.places.value(*path))


def _people(number: int) -> str:
    return "person" if number == 1 else "people"
