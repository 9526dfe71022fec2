"""Figures of the busy day, each with the numbers and the reason that a person can check it with."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from kitdocs.planning.day.chance import Chance
from kitdocs.planning.day.instants import DAY, seconds
from kitdocs.planning.day.par import DrawerPouch, Par, Restocking, said_of_others
from kitdocs.planning.day.promise import Firmness, Promise
from kitdocs.planning.day.run import BusyDays
from kitdocs.planning.day.stock import Stock
from kitdocs.planning.day.tally import Spread
from kitdocs.planning.day.turnaround import Part, StageDay
from kitdocs.planning.figure import Figure, Input, Number, Unit, stated
from kitdocs.practice.book import Overrun
from kitdocs.practice.message import Clock, Duration, Fixed, Joined, Message, Share, Value, counted, message
from kitdocs.practice.model import Practice
from kitdocs.practice.values import clock_text

MINUTES = message("figures.unit.minutes")
POUCHES = message("figures.unit.pouches")
TIME_OF_DAY = message("figures.unit.time-of-day")


def day_figures(practice: Practice, days: BusyDays) -> tuple[Figure, ...]:
    """Return all of them, in the order of a report: promises, stock, drawers, the day's end, stages, turnaround."""
    write = _Writer(practice, days)
    return (
        *write.promises(),
        *(write.stock(stock) for stock in days.sets.values()),
        *(write.stock(stock) for stock in days.add_ons.values()),
        *(write.drawer_pouch(pouch) for pouch in days.drawer_pouches.values()),
        *(write.par(par) for par in days.pars.values()),
        *(write.restocking(restocking) for restocking in days.restockings),
        *write.ends(),
        *write.visits(),
        *(figure for stage in days.stages.values() for figure in write.stage(stage)),
        write.turnaround(),
    )


def interval(chance: Chance) -> dict[str, Value]:
    """Return a chance and its interval, as sentences name them."""
    return {"share": Share(chance.share, 1), "low": Share(chance.low, 1), "high": Share(chance.high, 1)}


def sure(count: int, firmness: Firmness) -> Message:
    """Return how sure a count is."""
    if not count:
        return message("figures.sure.none", enough=Share(firmness.enough.share, 1))
    return message(
        "figures.sure.firm" if firmness.firm else "figures.sure.not-firm",
        enough=Share(firmness.enough.share, 1),
        fewer=Share(firmness.one_fewer.share, 1),
        fewer_low=Share(firmness.one_fewer.low, 1),
        fewer_high=Share(firmness.one_fewer.high, 1),
        asked=Share(firmness.asked),
        **interval(firmness.promise_with_one_fewer),
    )


def _between(spread: Spread, said: Callable[[int], Value]) -> dict[str, Value]:
    """Return between which values that of 95 % of days lies, as sentences name them."""
    low, high = spread.high_between
    return {"low": said(low), "high_end": said(high)}


def _clock(seconds_after_midnight: int) -> Clock:
    return Clock(seconds_after_midnight / 60)


def _over_by(overrun: Overrun) -> dict[str, Value]:
    return {"median": Duration(60 * overrun.median), "most": Duration(60 * overrun.most)}


class _Writer:
    """The figures of one run of one practice."""

    def __init__(self, practice: Practice, days: BusyDays) -> None:
        self._practice = practice
        self._days = days
        self._busy_days = counted("figures.busy-days", days.days)
        first = seconds(practice.settings.day.opens) - seconds(practice.room.setup)
        self._span = max(1.0, days.ends.mean - first)
        drawn = message("figures.input.from-schedule" if practice.schedule else "figures.input.drawn")
        unit = message("figures.unit.days")
        self._run = (
            Input(name=message("figures.input.busy-days"), value=days.days, unit=unit, source=drawn),
            Input(name=message("figures.input.seed"), value=days.seed),
        )
        of_days = message("figures.unit.of-busy-days")
        self._service = stated(practice, "service", Share(days.service), ("practice", "service"), of_days)
        self._drawer_service = self._service
        if practice.settings.drawer_service is not None:
            path = ("practice", "drawer_service")
            self._drawer_service = stated(practice, "drawer-service", Share(days.drawer_service), path, of_days)

    def promises(self) -> Iterator[Figure]:
        """Yield on how many days nobody waits, no drawer runs out, and nothing is short at all."""
        promises = self._days.promises
        named = {
            "sets": (promises.sets, (self._service,)),
            "all": (promises.all, (self._service, self._drawer_service)),
        }
        if self._days.drawer_pouches:
            named["drawers"] = (promises.drawers, (self._drawer_service,))
        for name, (promise, inputs) in named.items():
            yield self._figure(
                f"promise.{name}",
                message(f"figures.promise.{name}"),
                round(promise.kept.share * 100, 1),
                "%",
                self._promise(name, promise),
                inputs,
            )

    def _promise(self, name: str, promise: Promise) -> Message:
        kept = promise.kept
        values: dict[str, Value] = {"kept": kept.kept, "days": self._busy_days, **interval(kept)}
        if promise.asked is None:
            return message(f"figures.promise.{name}-why", **values)
        return message(f"figures.promise.{name}-why", asked=Share(promise.asked), **values)

    def stock(self, stock: Stock) -> Figure:
        """Return how many of a set or an add-on pouch to own."""
        is_set = stock.id in self._practice.sets
        record = self._practice.sets[stock.id] if is_set else self._practice.pouches[stock.id]
        span = DAY if stock.held else self._span
        setup = stated(self._practice, "setup", seconds(self._practice.room.setup) / 60, ("room", "setup"), MINUTES)
        return self._figure(
            f"stock.{stock.id}" if is_set else f"pouches.{stock.id}",
            message("figures.stock.sets" if is_set else "figures.stock.pouches", name=record.name),
            stock.own,
            message("figures.unit.sets") if is_set else POUCHES,
            message(
                "figures.stock.why-held" if stock.held else "figures.stock.why",
                service=Share(self._days.service),
                days=self._busy_days,
                sure=sure(stock.needed, stock.firmness),
                needed=stock.needed,
                peak=Fixed(stock.peak.mean),
                spares=stock.spares,
                own=stock.own,
                taken=Fixed(stock.taken_per_day),
                away=Duration(stock.away.mean),
                span=Duration(span),
                out=Fixed(stock.taken_per_day * stock.away.mean / span),
            ),
            (*self._visits_that_take(stock.id), *self._absent(), self._service, setup),
        )

    def par(self, par: Par) -> Figure:
        """Return how many of a pouch belong in a chair's drawer."""
        chair, pouch = self._practice.chairs[par.chair], self._practice.pouches[par.pouch]
        written = "auto" if par.written is None else par.written
        why = message(
            "figures.par.why",
            service=Share(self._days.drawer_service),
            days=self._busy_days,
            sure=sure(par.par, par.firmness),
            computed=par.computed,
            opened=Fixed(par.opened_per_day, 2),
            written=written,
            par=par.par,
        )
        return self._figure(
            f"par.{par.chair}.{par.pouch}",
            message("figures.par.name", chair=chair.name, pouch=pouch.name),
            par.par,
            POUCHES,
            Joined((why, *said_of_others(par)), " "),
            (
                *self._restock(),
                stated(self._practice, "in-drawer", written, ("chairs", par.chair, "drawer", par.pouch)),
                self._drawer_service,
            ),
        )

    def drawer_pouch(self, pouch: DrawerPouch) -> Figure:
        """Return how many of a drawer pouch to own."""
        pars = [par for par in self._days.pars.values() if par.pouch == pouch.id]
        drawers = (
            stated(
                self._practice, "drawer", par.par, ("chairs", par.chair, "drawer", pouch.id), POUCHES, chair=par.chair
            )
            for par in pars
        )
        return self._figure(
            f"pouches.{pouch.id}",
            message("figures.stock.pouches", name=self._practice.pouches[pouch.id].name),
            pouch.own,
            POUCHES,
            message(
                "figures.drawer-pouch.why",
                pars=Joined(tuple(par.par for par in pars), " + "),
                par=pouch.par,
                service=Share(self._days.drawer_service),
                days=self._busy_days,
                sure=sure(pouch.needed_beyond, pouch.firmness),
                beyond=pouch.needed_beyond,
                spares=pouch.spares,
                own=pouch.own,
                opened=Fixed(pouch.opened_per_day),
            ),
            (*drawers, *self._restock(), self._drawer_service),
        )

    def restocking(self, restocking: Restocking) -> Figure:
        """Return when everything opened since the restocking before is back in the store."""
        at, complete = Clock(restocking.at / 60), restocking.complete
        return self._figure(
            f"restock.{clock_text(at.minutes).replace(':', '')}",
            message("figures.restock.name", at=at),
            Clock(complete.high / 60),
            TIME_OF_DAY,
            message(
                "figures.restock.why",
                days=self._busy_days,
                high=Clock(complete.high / 60),
                median=Clock(complete.median / 60),
                **_between(complete, _clock),
                at=at,
                kept=Share(self._days.promises.drawers.kept.share, 1),
            ),
            tuple(self._restock()),
        )

    def ends(self) -> Iterator[Figure]:
        """Yield when the last item is back in the store, on most days and on half of them."""
        closed = Clock(self._practice.settings.day.closes)
        closes = stated(self._practice, "closes", closed, ("practice", "day", "closes"))
        ends, visits = self._days.ends, Fixed(self._days.visits.mean)
        for id_, key, time, (low, high) in (
            ("day.ends", "most", ends.high, ends.high_between),
            ("day.ends.median", "half", ends.median, self._days.ends_median_between),
        ):
            at = Clock(time / 60)
            between = {"low": Clock(low / 60), "high": Clock(high / 60)}
            why = message(f"figures.ends.{key}.why", days=self._busy_days, time=at, visits=visits, **between)
            told = Joined((why, *self._left()), " ")
            yield self._figure(id_, message(f"figures.ends.{key}.name"), at, TIME_OF_DAY, told, (closes,))

    def _left(self) -> Iterator[Message]:
        """Yield what is not back on the same day."""
        if (nights := self._days.nights) and nights.nights:
            yield message("figures.ends.left", share=Share(nights.nights, 0), items=Fixed(nights.items.mean))

    def visits(self) -> Iterator[Figure]:
        """Yield how visits are kept, where the practice says that some are not, or that some run over."""
        kept, mean, days = self._days.kept, self._days.visits.mean, self._busy_days
        if absent := tuple(self._absent()):
            share = Share(1 - mean / kept.booked if kept.booked else 0.0, 1)
            why = message(
                "figures.visits.kept.why", days=days, kept=Fixed(mean), booked=Fixed(kept.booked), share=share
            )
            name, unit = message("figures.visits.kept.name"), message("figures.unit.visits")
            yield self._figure("visits.kept", name, round(mean, 1), unit, why, absent)
        if over := tuple(self._run_over()):
            late_by = {
                "median": Duration(kept.late_by.median),
                "high": Duration(kept.late_by.high),
                **_between(kept.late_by, Duration),
            }
            why = message("figures.visits.late.why", days=days, share=Share(kept.late, 1), **late_by)
            name = message("figures.visits.late.name")
            yield self._figure("visits.late", name, round(100 * kept.late, 1), "%", why, over)
            last, median = Clock(kept.last.high / 60), Clock(kept.last.median / 60)
            between = _between(kept.last, _clock)
            why = message("figures.visits.last.why", days=days, high=last, median=median, **between)
            yield self._figure("visits.last", message("figures.visits.last.name"), last, TIME_OF_DAY, why, over)

    def _absent(self) -> Iterator[Input]:
        """Yield every statement that visits are not kept."""
        practice, settings = self._practice, self._practice.settings
        if settings.no_shows:
            yield stated(practice, "no-shows", Share(settings.no_shows), ("practice", "no_shows"))
        for id_, record in practice.procedures.items():
            if record.no_shows or (settings.no_shows and record.no_shows is not None):
                path = ("procedures", id_, "no_shows")
                yield stated(practice, "no-shows-of", Share(record.no_shows), path, procedure=record.name)

    def _run_over(self) -> Iterator[Input]:
        """Yield every statement that visits run over."""
        practice, over = self._practice, self._practice.settings.overrun
        if over:
            yield stated(practice, "overrun", Share(over.share), ("practice", "overrun"), **_over_by(over))
        for id_, record in practice.procedures.items():
            if own := record.overrun:
                path = ("procedures", id_, "overrun")
                yield stated(practice, "overrun-of", Share(own.share), path, procedure=record.name, **_over_by(own))

    def stage(self, stage: StageDay) -> Iterator[Figure]:
        """Yield a stage's waits, work and loads; nothing where time passes by itself."""
        if stage.units == 0:
            return
        name = self._practice.room.stages[stage.id].name
        kind = message(f"figures.stage-kind.{stage.kind}")
        written = stated(self._practice, "stage", kind, ("room", "stages", stage.id), stage=stage.id)
        yield self._figure(
            f"wait.{stage.id}",
            message("figures.wait.name", stage=name),
            round(stage.wait.mean / 60, 1),
            MINUTES,
            message(
                "figures.wait.why",
                days=self._busy_days,
                mean=Duration(stage.wait.mean),
                within=Fixed(stage.wait.mean_within / 60, 2),
                high=Duration(stage.wait.high),
                **_between(stage.wait, Duration),
            ),
            (written,),
        )
        open_for = stage.work_per_unit / stage.utilisation if stage.utilisation else 0.0
        yield self._figure(
            f"utilisation.{stage.id}",
            message("figures.utilisation.name", stage=name),
            round(stage.utilisation * 100, 1),
            "%",
            message(
                "figures.utilisation.why",
                work=Duration(stage.work_per_day),
                units=counted("figures.machines" if stage.loads else "figures.people", stage.units),
                open=Duration(open_for),
            ),
            (written,),
        )
        if stage.loads:
            yield from self._loads(stage, written)

    def _loads(self, stage: StageDay, written: Input) -> Iterator[Figure]:
        name = self._practice.room.stages[stage.id].name
        machines = stage.loads_by_machine if stage.units > 1 else ()
        named = [("", message("figures.loads.name", stage=name), stage.loads)]
        named += [
            (f".{n}", message("figures.loads.name-of-one", stage=name, number=n), m) for n, m in enumerate(machines, 1)
        ]
        for suffix, title, loads in named:
            if loads:
                why = message(
                    "figures.loads.why",
                    days=self._busy_days,
                    mean=Fixed(loads.mean),
                    within=Fixed(loads.mean_within, 2),
                    high=loads.high,
                    **_between(loads, lambda load: load),
                )
                loads_a_day = round(loads.mean, 1)
                unit = message("figures.unit.loads")
                yield self._figure(f"loads-a-day.{stage.id}{suffix}", title, loads_a_day, unit, why, (written,))

    def turnaround(self) -> Figure:
        """Return the mean time from leaving the store to being back in it, as the sum of its parts."""
        turnaround = self._days.turnaround
        parts = tuple(map(self._part, turnaround.parts))
        return self._figure(
            "turnaround",
            message("figures.turnaround.name"),
            round(turnaround.total.mean / 60, 1),
            MINUTES,
            message(
                "figures.turnaround.why",
                days=self._busy_days,
                mean=Duration(turnaround.total.mean),
                parts=Joined(tuple(Joined((part.value, part.name), " ") for part in parts), " + "),
                within=Fixed(turnaround.total.mean_within / 60, 2),
                high=Duration(turnaround.total.high),
                **_between(turnaround.total, Duration),
            ),
            parts,
        )

    def _part(self, part: Part) -> Input:
        stage = self._practice.room.stages[part.stage].name if part.stage else ""
        return Input(
            name=message(f"figures.part.{part.name.replace(' ', '-')}", stage=stage),
            value=round(part.seconds / 60, 1),
            unit=MINUTES,
            source=str(self._practice.places.value("room", "stages", part.stage)) if part.stage else "",
        )

    def _visits_that_take(self, id_: str) -> Iterator[Input]:
        for procedure, record in self._practice.procedures.items():
            share = 1.0 if record.set == id_ else record.add_ons.get(id_, 0.0)
            if share:
                unit, path = message("figures.unit.a-busy-day"), ("procedures", procedure, "per_day")
                per_day, taken = record.per_day, Share(share)
                yield stated(self._practice, "visits", per_day, path, unit, procedure=procedure, share=taken)

    def _restock(self) -> Iterator[Input]:
        for n, at in enumerate(self._practice.room.restock):
            yield stated(self._practice, "restocking", Clock(at), ("room", "restock", n))

    def _figure(
        self, id_: str, name: Message, value: Number, unit: Unit, why: Message | Joined, inputs: tuple[Input, ...]
    ) -> Figure:
        """Return a figure of the day; last of its inputs is how the days were drawn."""
        return Figure(id=id_, name=name, value=value, unit=unit, why=why, inputs=(*inputs, *self._run), section="day")
