"""Savings of the change to sets: the practice's own counts of before, beside the plan's of after.

Only what the practice has counted is compared, and only what it has priced is said in money; nothing is assumed.

Gloves: each walk to the store costs a pair. A pouch taken from the drawer with clean hands costs one, too, since used
gloves come off and a new pair goes on; an overglove, a second person and a sterile cotton plier cost none. Common
practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

from kitdocs.planning.figure import Figure, Input, Unit, stated
from kitdocs.practice.message import Fixed, Joined, Message, Value, message
from kitdocs.practice.model import Practice


@dataclass(frozen=True, slots=True, kw_only=True)
class Saving:
    """One thing a day, before and after."""

    id: str
    name: Message
    before: float
    after: float
    unit: Unit
    why: Message
    worth: Decimal | None = None
    """What one of it costs the practice, of time an hour; None where that is not stated."""

    @property
    def saved(self) -> float:
        """How much less there is; negative when there is more of it than before."""
        return self.before - self.after

    @property
    def priced(self) -> Decimal:
        """How much less there is in what has a price: hours of time, to two decimals; the rest as counted, to one."""
        return Decimal(f"{self.saved / 60:.2f}" if self.id == "technician-time" else f"{self.saved:.1f}")

    @property
    def money(self) -> Decimal | None:
        """How much less it costs a day, to a hundredth; negative when it costs more."""
        return None if self.worth is None else (self.priced * self.worth).quantize(Decimal("0.01"), ROUND_HALF_UP)


def money_saved(saved: Iterable[Saving]) -> Decimal | None:
    """Return how much less everything together costs a day; None where no price is stated."""
    amounts = [saving.money for saving in saved if saving.money is not None]
    return sum(amounts, Decimal(0)) if amounts else None


def glove_pairs_per_opening(practice: Practice) -> int:
    """Return how many pairs of gloves a pouch from the drawer costs."""
    return 1 if practice.settings.drawer_access == "clean-hands" else 0


def savings(
    practice: Practice, *, walks: float, drawer_openings: float, hand_minutes: float, packed: float
) -> Iterator[Saving]:
    """Yield what practice.yaml states under `before`, each beside its number on a planned busy day, on average.

    Those numbers: walks to the store during visits, pouches taken from the drawers at the chairs, minutes of people in
    the hand stages, instruments that come back in sets and pouches.
    """
    before = practice.settings.before
    if before is None:
        return
    worth = before.worth
    if before.walks_per_day is not None:
        yield _saving("walks", before.walks_per_day, walks, worth.walk)
    if before.glove_pairs_per_day is not None and before.walks_per_day is not None:
        # Gloves are only known to change with the walks, so without a count of those nothing can be said.
        fewer = before.walks_per_day - walks
        opened = drawer_openings * glove_pairs_per_opening(practice)
        drawers = message(f"figures.savings.gloves.{practice.settings.drawer_access}", opened=Fixed(drawer_openings))
        planned = max(0.0, before.glove_pairs_per_day - fewer + opened)
        counted = before.glove_pairs_per_day
        yield _saving("gloves", counted, planned, worth.glove_pair, fewer=Fixed(fewer), drawers=drawers)
    if before.loose_instruments_per_day is not None:
        loose = before.loose_instruments_per_day
        yield _saving("loose", loose, 0.0, worth.loose_instrument, packed=Fixed(packed, 0))
    if before.technician_time_per_day is not None:
        yield _saving("technician-time", before.technician_time_per_day, hand_minutes, worth.technician_hour)


def savings_figures(practice: Practice, saved: tuple[Saving, ...]) -> tuple[Figure, ...]:
    """Return how much is saved a day of each thing, and of money where a price is stated."""
    source = str(practice.places.value("practice", "before"))
    return (*(_figure(saving, source) for saving in saved), *_money(practice, saved))


def _money(practice: Practice, saved: tuple[Saving, ...]) -> Iterator[Figure]:
    """Yield what everything that has a price comes to."""
    total, currency = money_saved(saved), practice.settings.currency
    if total is None:
        return
    priced = [saving for saving in saved if saving.worth is not None]
    parts = (
        message("figures.savings.money.part", name=saving.name, n=round(float(saving.priced), 2), worth=saving.worth)
        for saving in priced
        if saving.worth is not None
    )
    yield Figure(
        id="savings.money",
        name=message("figures.savings.money.name"),
        value=total,
        unit=currency,
        why=Joined(tuple(parts), " + "),
        inputs=tuple(
            stated(
                practice,
                "worth",
                saving.worth,
                ("practice", "before", "worth", _WORTH[saving.id]),
                currency,
                name=saving.name,
            )
            for saving in priced
            if saving.worth is not None
        ),
        section="savings",
    )


def _figure(saving: Saving, source: str) -> Figure:
    before, after = message("figures.input.counted-before"), message("figures.input.planned-after")
    return Figure(
        id=f"savings.{saving.id}",
        name=message(f"figures.savings.{saving.id}.saved"),
        value=round(saving.saved, 1),
        unit=saving.unit,
        why=message("figures.savings.why", before=saving.before, after=Fixed(saving.after), why=saving.why),
        inputs=(
            Input(name=before, value=saving.before, unit=saving.unit, source=source),
            Input(name=after, value=round(saving.after, 1), unit=saving.unit),
        ),
        section="savings",
    )


def _saving(id_: str, before: float, after: float, worth: Decimal | None, **values: Value) -> Saving:
    return Saving(
        id=id_,
        name=message(f"figures.savings.{id_}.name"),
        before=before,
        after=after,
        unit=_UNITS[id_],
        why=message(f"figures.savings.{id_}.why", **values),
        worth=worth,
    )


_WORTH = {
    "walks": "walk",
    "gloves": "glove_pair",
    "loose": "loose_instrument",
    "technician-time": "technician_hour",
}
"""Where the price of one of each stands in `before: worth:`."""

_UNITS: Mapping[str, Unit] = {
    "walks": message("figures.unit.walks"),
    "gloves": message("figures.unit.pairs"),
    "loose": message("figures.unit.instruments"),
    "technician-time": "min",
}
