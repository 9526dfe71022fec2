"""Savings of the change to sets: the practice's own counts of before, beside the plan's of after.

Only what the practice has counted is compared; nothing is assumed for what nobody counted.

Gloves: each walk to the store costs a pair. A pouch taken from the drawer with clean hands costs one, too, since used
gloves come off and a new pair goes on; an overglove, a second person and a sterile cotton plier cost none. Common
practice, no source.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from kitdocs.planning.figure import Figure, Input, Unit
from kitdocs.practice.message import Fixed, Message, Value, message
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

    @property
    def saved(self) -> float:
        """How much less there is; negative when there is more of it than before."""
        return self.before - self.after


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
    if before.walks_per_day is not None:
        yield _saving("walks", before.walks_per_day, walks)
    if before.glove_pairs_per_day is not None and before.walks_per_day is not None:
        # Gloves are only known to change with the walks, so without a count of those nothing can be said.
        fewer = before.walks_per_day - walks
        opened = drawer_openings * glove_pairs_per_opening(practice)
        drawers = message(f"figures.savings.gloves.{practice.settings.drawer_access}", opened=Fixed(drawer_openings))
        planned = max(0.0, before.glove_pairs_per_day - fewer + opened)
        yield _saving("gloves", before.glove_pairs_per_day, planned, fewer=Fixed(fewer), drawers=drawers)
    if before.loose_instruments_per_day is not None:
        yield _saving("loose", before.loose_instruments_per_day, 0.0, packed=Fixed(packed))
    if before.technician_time_per_day is not None:
        yield _saving("technician-time", before.technician_time_per_day, hand_minutes)


def savings_figures(practice: Practice, saved: tuple[Saving, ...]) -> tuple[Figure, ...]:
    """Return how much is saved a day of each thing."""
    source = str(practice.places.value("practice", "before"))
    return tuple(_figure(saving, source) for saving in saved)


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


def _saving(id_: str, before: float, after: float, **values: Value) -> Saving:
    return Saving(
        id=id_,
        name=message(f"figures.savings.{id_}.name"),
        before=before,
        after=after,
        unit=_UNITS[id_],
        why=message(f"figures.savings.{id_}.why", **values),
    )


_UNITS: Mapping[str, Unit] = {
    "walks": message("figures.unit.walks"),
    "gloves": message("figures.unit.pairs"),
    "loose": message("figures.unit.instruments"),
    "technician-time": "min",
}
