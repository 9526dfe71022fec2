"""What reprocessing uses up on a busy day, and when to order it again.

One sheet and the stated strips of tape go round each cassette; one pouch holds each pouch's instruments. An
internal indicator lies in every pack, an external one is on every pack whose inside cannot be seen, which are the
wrapped ones (CDC, Guidelines for Infection Control in Dental Health-Care Settings, 2003, part VI). Every
sterilizer is tested with spores once a week, with one control of the same lot for all (the same, part VI.F).

Order again when no more are left than the demand during the lead time reaches on `service` of all times: a Poisson
quantile. Demand is that of busy days on every working day: rather a box too many.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal
from math import fsum
from typing import Literal

from kitdocs.planning.buying import poisson
from kitdocs.planning.figure import Figure, Input
from kitdocs.planning.measures.wrap import sheets_for_cassettes
from kitdocs.practice.locations import Path
from kitdocs.practice.message import Fixed, Message, Share, Value, counted, message
from kitdocs.practice.model import Practice
from kitdocs.practice.room import MachineStage, Supply

SupplyKind = Literal["sheet", "pouch", "internal-indicator", "external-indicator", "tape", "spore-test"]


@dataclass(frozen=True, slots=True, kw_only=True)
class SupplyUse:
    """One thing that is used up. `unit` is what is counted: sheets, pouches, rolls, pieces."""

    kind: SupplyKind
    id: str
    """Of the sheet or pouch size; the kind itself for the rest."""
    per_day: float
    """On a busy day, in units."""
    in_lead_time: float
    reorder_at: int
    """Order again when so many units are left."""
    pack: int
    pack_price: Decimal | None
    unit: str
    """What is counted, as ``figures.unit`` names it: sheets, pouches, rolls, pieces, tests."""
    why_per_day: Message
    why: Message
    """Of the reorder point; it begins with the reason for the day's use."""
    path: Path
    """Where it is written."""

    @property
    def boxes_at_reorder(self) -> int:
        """The reorder point in whole boxes."""
        return math.ceil(self.reorder_at / self.pack)

    @property
    def cost_per_day(self) -> Decimal | None:
        if self.pack_price is None:
            return None
        exact = self.pack_price / self.pack * Decimal(str(round(self.per_day, 6)))
        return exact.quantize(Decimal("0.01"), rounding=ROUND_HALF_UP)


def supply_uses(
    practice: Practice, *, sets_per_day: Mapping[str, float], pouches_per_day: Mapping[str, float]
) -> tuple[SupplyUse, ...]:
    """The use of every sheet, pouch size and supply that room.yaml states, from packs made on a busy day by id."""
    return tuple(_uses(practice, sets_per_day, pouches_per_day))


def supply_figures(practice: Practice, uses: tuple[SupplyUse, ...]) -> tuple[Figure, ...]:
    """Use a day, and reorder point, of each supply."""
    return tuple(figure for use in uses for figure in _figures(practice, use))


def _uses(
    practice: Practice, sets_per_day: Mapping[str, float], pouches_per_day: Mapping[str, float]
) -> Iterator[SupplyUse]:
    room, supplies = practice.room, practice.room.supplies
    wrapped, pouched = fsum(sets_per_day.values()), fsum(pouches_per_day.values())
    sheets, pouches = _sheets(practice, sets_per_day), _pouches(practice, pouches_per_day)
    for id_, sheet in room.sheets.items():
        yield _use(practice, "sheet", id_, sheet, sheets[id_], _why_used("sheet", sheets[id_]), ("room", "sheets", id_))
    for id_, size in room.pouch_sizes.items():
        why = _why_used("pouch", pouches[id_])
        yield _use(practice, "pouch", id_, size, pouches[id_], why, ("room", "pouch_sizes", id_))
    if supplies.internal_indicator:
        why = message("figures.supply.internal-indicator", wrapped=Fixed(wrapped), pouched=Fixed(pouched))
        yield _own(practice, "internal-indicator", supplies.internal_indicator, wrapped + pouched, why)
    if supplies.external_indicator:
        why = message("figures.supply.external-indicator", wrapped=Fixed(wrapped))
        yield _own(practice, "external-indicator", supplies.external_indicator, wrapped, why)
    if supplies.tape:
        yield _tape(practice, wrapped)
    if supplies.spore_test:
        yield _spore_tests(practice, supplies.spore_test)


def _why_used(kind: SupplyKind, used: float) -> Message:
    return message(f"figures.supply.{kind}", used=Fixed(used)) if used else message(f"figures.supply.no-{kind}")


def _sheets(practice: Practice, sets_per_day: Mapping[str, float]) -> Mapping[str, float]:
    choices = sheets_for_cassettes(practice)
    used: defaultdict[str, float] = defaultdict(float)
    for id_, number in sets_per_day.items():
        sheet = choices[practice.sets[id_].cassette].sheet
        if sheet is not None:
            used[sheet] += number
    return used


def _pouches(practice: Practice, pouches_per_day: Mapping[str, float]) -> Mapping[str, float]:
    used: defaultdict[str, float] = defaultdict(float)
    for id_, number in pouches_per_day.items():
        used[practice.pouches[id_].size] += number
    return used


def _own(practice: Practice, kind: SupplyKind, supply: Supply, per_day: float, why: Message) -> SupplyUse:
    return _use(practice, kind, kind, supply, per_day, why, ("room", "supplies", kind.replace("-", "_")))


def _tape(practice: Practice, wrapped: float) -> SupplyUse:
    tape, strips = practice.room.supplies.tape, practice.room.wrap.strips
    assert tape is not None
    strips_a_roll = max(1, int(tape.roll / tape.strip + 1e-9))
    why = message(
        "figures.supply.tape",
        strips=counted("figures.strips", strips),
        strip=tape.strip,
        wrapped=Fixed(wrapped),
        roll=tape.roll / 1000,
        in_a_roll=strips_a_roll,
    )
    strips_a_day = wrapped * strips
    return _use(practice, "tape", "tape", tape, strips_a_day, why, ("room", "supplies", "tape"), in_one=strips_a_roll)


def _spore_tests(practice: Practice, supply: Supply) -> SupplyUse:
    sterilizers = sum(
        stage.machines
        for stage in practice.room.stages.values()
        if isinstance(stage, MachineStage) and stage.area == "sterilization"
    )
    week = practice.settings.day.per_week
    a_week = sterilizers + 1 if sterilizers else 0
    why = message(
        "figures.supply.spore-test",
        sterilizers=counted("figures.sterilizers", sterilizers),
        a_week=a_week,
        days=counted("figures.working-days", week),
    )
    return _own(practice, "spore-test", supply, a_week / week, why)


def _use(
    practice: Practice,
    kind: SupplyKind,
    id_: str,
    supply: Supply,
    demand: float,
    why: Message,
    path: Path,
    *,
    in_one: int = 1,
) -> SupplyUse:
    """`demand` a working day is in what is used at once, of which a unit has `in_one`: strips of a roll."""
    settings = practice.settings
    working_days = supply.lead_time * settings.day.per_week / 7
    in_lead_time = demand * working_days
    most = poisson.quantile(settings.service, in_lead_time)
    return SupplyUse(
        kind=kind,
        id=id_,
        per_day=demand / in_one,
        in_lead_time=in_lead_time / in_one,
        reorder_at=math.ceil(most / in_one),
        pack=supply.pack,
        pack_price=supply.price,
        unit=_UNITS[kind],
        why_per_day=why,
        why=message(
            "figures.supply.reorder.in-rolls" if in_one > 1 else "figures.supply.reorder.why",
            used=why,
            lead_time=supply.lead_time,
            week=settings.day.per_week,
            demand=Fixed(demand, 2),
            mean=Fixed(in_lead_time),
            most=most,
            service=Share(settings.service),
            units=counted("figures.n-rolls", math.ceil(most / in_one)),
        ),
        path=path,
    )


_UNITS: Mapping[SupplyKind, str] = {
    "sheet": "sheets",
    "pouch": "pouches",
    "internal-indicator": "pieces",
    "external-indicator": "pieces",
    "tape": "rolls",
    "spore-test": "tests",
}


def supply_name(practice: Practice, use: SupplyUse) -> Value:
    """Return what a supply is called: its name in the folder, else what kitdocs calls it."""
    room = practice.room
    if use.kind == "sheet":
        return room.sheets[use.id].name
    return room.pouch_sizes[use.id].name if use.kind == "pouch" else message(f"card.supply.{use.kind}")


def _figures(practice: Practice, use: SupplyUse) -> tuple[Figure, ...]:
    id_ = use.id if use.id == use.kind else f"{use.kind}.{use.id}"
    name, unit = supply_name(practice, use), message(f"figures.unit.{use.unit}")
    service = str(practice.places.value("practice", "service"))
    inputs = (
        Input(name=message("figures.input.in-a-pack"), value=use.pack, source=str(practice.places.value(*use.path))),
        Input(name=message("figures.input.service"), value=Share(practice.settings.service), source=service),
    )
    return (
        Figure(
            id=f"supplies.{id_}.per-day",
            name=message("figures.supply.name", supply=name),
            value=round(use.per_day, 2),
            unit=unit,
            why=use.why_per_day,
            inputs=inputs,
            section="supplies",
        ),
        Figure(
            id=f"supplies.{id_}.reorder-at",
            name=message("figures.supply.reorder.name", supply=name),
            value=use.reorder_at,
            unit=unit,
            why=use.why,
            inputs=inputs,
            section="supplies",
        ),
    )
