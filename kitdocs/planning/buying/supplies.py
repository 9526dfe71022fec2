"""Supplies that reprocessing uses up on a busy day, and when to order them again.

One sheet, or two, and the stated strips of tape go round each cassette; one pouch holds each pouch's instruments. An
internal indicator lies in every pack, an external one is on every pack whose inside cannot be seen, which are the
wrapped ones (CDC, Guidelines for Infection Control in Dental Health-Care Settings, 2003, part VI). The indicator tape
is an external indicator by itself; one more is used only where the practice says so. Every sterilizer is tested with
spores once a week, with one control of the same lot for all (the same, part VI.F), and so is every load with an
implant-related pack, with a control on each day that has one. Every sterilizer that removes the air with a pump gets an
air-removal test each working day (CDC, Guideline for Disinfection and Sterilization in Healthcare Facilities, 2008).

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
from kitdocs.planning.day.turnaround import ImplantLoads
from kitdocs.planning.figure import Figure, stated
from kitdocs.planning.measures.wrap import sheets_for_cassettes
from kitdocs.practice.locations import Path
from kitdocs.practice.message import Fixed, Message, Share, Value, counted, message
from kitdocs.practice.model import Practice
from kitdocs.practice.room import Supply, Tape

SupplyKind = Literal[
    "sheet",
    "pouch",
    "internal-indicator",
    "external-indicator",
    "tape",
    "spore-test",
    "air-removal-test",
    "single-use",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class SupplyUse:
    """One thing that is used up. `unit` is what is counted: sheets, pouches, rolls, pieces."""

    kind: SupplyKind
    id: str
    """Of the sheet, pouch size or single-use instrument; the kind itself for the rest."""
    per_day: float
    """On a busy day, in units."""
    in_lead_time: float
    reorder_at: int
    """Order again when so many units are left."""
    in_one: int
    """So many are used of one unit before the next is begun: the strips of a roll; 1 of all else."""
    lead_time: float
    """Days from the order to the delivery."""
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
    def figures(self) -> str:
        """What the ids of its figures begin with: ``supplies.sheet.large``."""
        return f"supplies.{self.id if self.id == self.kind else f'{self.kind}.{self.id}'}"

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
    practice: Practice, taken: Mapping[str, float], visits: Mapping[str, float], implants: ImplantLoads
) -> tuple[SupplyUse, ...]:
    """Return the use of every sheet, pouch size, supply and single-use instrument that the practice states.

    `taken` is how often each set and pouch is taken on a busy day, `visits` how often each procedure is done.
    """
    sets = {id_: number for id_, number in taken.items() if id_ in practice.sets}
    pouches = {id_: number for id_, number in taken.items() if id_ in practice.pouches}
    return (*_packing(practice, sets, pouches), *_tests(practice, implants), *_single_use(practice, visits))


def supply_figures(practice: Practice, uses: tuple[SupplyUse, ...]) -> tuple[Figure, ...]:
    """Return the use a day and the reorder point of each supply."""
    return tuple(figure for use in uses for figure in _figures(practice, use))


def _packing(
    practice: Practice, sets_per_day: Mapping[str, float], pouches_per_day: Mapping[str, float]
) -> Iterator[SupplyUse]:
    room, supplies = practice.room, practice.room.supplies
    wrapped, pouched = fsum(sets_per_day.values()), fsum(pouches_per_day.values())
    cassettes, pouches = _cassettes_by_sheet(practice, sets_per_day), _pouches(practice, pouches_per_day)
    for id_, sheet in room.sheets.items():
        used, sheets_each = cassettes[id_], room.wrap.sheets
        why = _why_used("sheet-in-two" if used and sheets_each == 2 else "sheet", used)
        yield _use(practice, "sheet", id_, sheet, used * sheets_each, why, ("room", "sheets", id_))
    for id_, size in room.pouch_sizes.items():
        why = _why_used("pouch", pouches[id_])
        yield _use(practice, "pouch", id_, size, pouches[id_], why, ("room", "pouch_sizes", id_))
    if supplies.internal_indicator:
        why = message("figures.supply.internal-indicator", wrapped=Fixed(wrapped), pouched=Fixed(pouched))
        yield _own(practice, "internal-indicator", supplies.internal_indicator, wrapped + pouched, why)
    if supplies.external_indicator:
        labelled = wrapped if supplies.labels_outside else 0.0
        key = "external-indicator" if supplies.labels_outside else "no-external-indicator"
        why = message(f"figures.supply.{key}", wrapped=Fixed(wrapped))
        yield _own(practice, "external-indicator", supplies.external_indicator, labelled, why)
    if supplies.tape:
        yield _tape(practice, supplies.tape, wrapped)


def _tests(practice: Practice, implants: ImplantLoads) -> Iterator[SupplyUse]:
    room, supplies = practice.room, practice.room.supplies
    if supplies.spore_test:
        yield _spore_tests(practice, supplies.spore_test, implants)
    if supplies.air_removal_test:
        machines = sum(stage.count for stage in room.vacuum_sterilizers.values())
        why = message("figures.supply.air-removal-test", sterilizers=counted("figures.sterilizers", machines))
        yield _own(practice, "air-removal-test", supplies.air_removal_test, machines, why)


def _single_use(practice: Practice, visits_per_day: Mapping[str, float]) -> Iterator[SupplyUse]:
    for id_, instrument in practice.instruments.items():
        if instrument.single_use:
            needs = ((n, practice.procedures[p].needs.get(id_)) for p, n in visits_per_day.items())
            used = fsum(n * need.share * need.count for n, need in needs if need)
            why = message("figures.supply.single-use", used=Fixed(used))
            path = ("instruments", id_, "single_use")
            yield _use(practice, "single-use", id_, instrument.single_use, used, why, path)


def _why_used(thing: str, used: float) -> Message:
    return message(f"figures.supply.{thing}", used=Fixed(used)) if used else message(f"figures.supply.no-{thing}")


def _cassettes_by_sheet(practice: Practice, sets_per_day: Mapping[str, float]) -> Mapping[str, float]:
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


def _tape(practice: Practice, tape: Tape, wrapped: float) -> SupplyUse:
    strips = practice.room.wrap.strips
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


def _spore_tests(practice: Practice, supply: Supply, implants: ImplantLoads) -> SupplyUse:
    sterilizers = sum(stage.count for stage in practice.room.sterilizers.values())
    week = practice.settings.day.per_week
    a_week = sterilizers + 1 if sterilizers else 0
    why = message(
        "figures.supply.spore-test",
        sterilizers=counted("figures.sterilizers", sterilizers),
        a_week=a_week,
        days=counted("figures.working-days", week),
    )
    if implants.per_day:
        why = message(
            "figures.supply.spore-test-implants",
            weekly=why,
            loads=Fixed(implants.per_day, 2),
            days=Share(implants.days, 0),
        )
    return _own(practice, "spore-test", supply, a_week / week + implants.per_day + implants.days, why)


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
        in_one=in_one,
        lead_time=supply.lead_time,
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
    "air-removal-test": "tests",
    "single-use": "pieces",
}


def supply_name(practice: Practice, use: SupplyUse) -> Value:
    """Return what a supply is called: its name in the folder, else what kitdocs calls it."""
    room = practice.room
    if use.kind == "sheet":
        return room.sheets[use.id].name
    if use.kind == "single-use":
        return practice.instruments[use.id].name
    return room.pouch_sizes[use.id].name if use.kind == "pouch" else message(f"card.supply.{use.kind}")


def _figures(practice: Practice, use: SupplyUse) -> tuple[Figure, ...]:
    name, unit = supply_name(practice, use), message(f"figures.unit.{use.unit}")
    inputs = (
        stated(practice, "in-a-pack", use.pack, use.path),
        stated(practice, "service", Share(practice.settings.service), ("practice", "service")),
    )
    return (
        Figure(
            id=f"{use.figures}.per-day",
            name=message("figures.supply.name", supply=name),
            value=round(use.per_day, 2),
            unit=unit,
            why=use.why_per_day,
            inputs=inputs,
            section="supplies",
        ),
        Figure(
            id=f"{use.figures}.reorder-at",
            name=message("figures.supply.reorder.name", supply=name),
            value=use.reorder_at,
            unit=unit,
            why=use.why,
            inputs=inputs,
            section="supplies",
        ),
    )
