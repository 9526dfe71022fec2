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
    why_per_day: str
    why: str
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
        used = sheets[id_]
        why = f"{used:.1f} cassettes a day are wrapped in it" if used else "no set's cassette takes this sheet"
        yield _use(practice, "sheet", id_, sheet, sheets[id_], why, ("room", "sheets", id_))
    for id_, size in room.pouch_sizes.items():
        used = pouches[id_]
        why = f"{used:.1f} pouches a day are of this size" if used else "no pouch is of this size"
        yield _use(practice, "pouch", id_, size, pouches[id_], why, ("room", "pouch_sizes", id_))
    if supplies.internal_indicator:
        why = f"one in each of {wrapped:.1f} cassettes and {pouched:.1f} pouches a day"
        yield _own(practice, "internal-indicator", supplies.internal_indicator, wrapped + pouched, why)
    if supplies.external_indicator:
        why = f"one on each of {wrapped:.1f} wrapped cassettes a day, whose inside cannot be seen"
        yield _own(practice, "external-indicator", supplies.external_indicator, wrapped, why)
    if supplies.tape:
        yield _tape(practice, wrapped)
    if supplies.spore_test:
        yield _spore_tests(practice, supplies.spore_test)


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


def _own(practice: Practice, kind: SupplyKind, supply: Supply, per_day: float, why: str) -> SupplyUse:
    return _use(practice, kind, kind, supply, per_day, why, ("room", "supplies", kind.replace("-", "_")))


def _tape(practice: Practice, wrapped: float) -> SupplyUse:
    tape, strips = practice.room.supplies.tape, practice.room.wrap.strips
    assert tape is not None
    strips_a_roll = max(1, int(tape.roll / tape.strip + 1e-9))
    why = (
        f"{strips} strips of {tape.strip:g} mm on each of {wrapped:.1f} cassettes a day; a roll of "
        f"{tape.roll / 1000:g} m has {strips_a_roll}"
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
    why = f"{sterilizers} sterilizers a week and one control = {a_week}, over {week} working days"
    return _own(practice, "spore-test", supply, a_week / week, why)


def _use(
    practice: Practice,
    kind: SupplyKind,
    id_: str,
    supply: Supply,
    demand: float,
    why: str,
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
        why=(
            f"{why}; until an order comes, {supply.lead_time:g} days × {settings.day.per_week}/7 working days × "
            f"{demand:.2f} a day = {in_lead_time:.1f} on average, at most {most} in "
            f"{100 * settings.service:g} % of times (Poisson)"
        )
        + (f", which are {math.ceil(most / in_one)} {_UNITS[kind]}" if in_one > 1 else ""),
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


#: Of what has no name of its own in the folder.
_NAMES: Mapping[SupplyKind, str] = {
    "internal-indicator": "Internal indicators",
    "external-indicator": "External indicators",
    "tape": "Indicator tape",
    "spore-test": "Spore tests",
}


def supply_name(practice: Practice, use: SupplyUse) -> str:
    """What a supply is called, in English where the folder has no name of its own for it."""
    if use.kind == "sheet":
        return str(practice.room.sheets[use.id].name)
    return str(practice.room.pouch_sizes[use.id].name) if use.kind == "pouch" else _NAMES[use.kind]


def _figures(practice: Practice, use: SupplyUse) -> tuple[Figure, ...]:
    id_ = use.id if use.id == use.kind else f"{use.kind}.{use.id}"
    name = supply_name(practice, use)
    inputs = (
        Input(name="in a pack", value=use.pack, source=str(practice.places.value(*use.path))),
        Input(
            name="service", value=practice.settings.service, source=str(practice.places.value("practice", "service"))
        ),
    )
    return (
        Figure(
            id=f"supplies.{id_}.per-day",
            name=f"{name}: used on a busy day",
            value=round(use.per_day, 2),
            unit=use.unit,
            why=use.why_per_day,
            inputs=inputs,
            section="supplies",
        ),
        Figure(
            id=f"supplies.{id_}.reorder-at",
            name=f"{name}: left when it is time to order",
            value=use.reorder_at,
            unit=use.unit,
            why=use.why,
            inputs=inputs,
            section="supplies",
        ),
    )
