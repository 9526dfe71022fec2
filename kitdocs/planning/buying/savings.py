"""What the change to sets saves: the practice's own counts of before, beside the plan's of after.

Only what the practice has counted is compared; nothing is assumed for what nobody counted.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from kitdocs.planning.figure import Figure, Input
from kitdocs.practice.model import Practice


@dataclass(frozen=True, slots=True, kw_only=True)
class Saving:
    """One thing a day, before and after."""

    id: str
    name: str
    before: float
    after: float
    unit: str
    why: str

    @property
    def saved(self) -> float:
        """Negative when there is more of it than before."""
        return self.before - self.after


def savings(
    practice: Practice, *, walks_per_day: float, hand_minutes_per_day: float, packed_per_day: float
) -> tuple[Saving, ...]:
    """What practice.yaml states under `before`, each beside its number on a planned busy day.

    `walks_per_day` to the store during visits, `hand_minutes_per_day` of people in the hand stages,
    `packed_per_day` instruments that come back in sets and pouches.
    """
    return tuple(_savings(practice, walks_per_day, hand_minutes_per_day, packed_per_day))


def savings_figures(practice: Practice, saved: tuple[Saving, ...]) -> tuple[Figure, ...]:
    """What is saved a day of each thing."""
    source = str(practice.places.value("practice", "before"))
    return tuple(
        Figure(
            id=f"savings.{each.id}",
            name=f"{each.name} saved a day",
            value=round(each.saved, 1),
            unit=each.unit,
            why=f"{each.before:g} before − {each.after:.1f} after; {each.why}",
            inputs=(
                Input(name="before, as counted", value=each.before, unit=each.unit, source=source),
                Input(name="after, as planned", value=round(each.after, 1), unit=each.unit),
            ),
            section="savings",
        )
        for each in saved
    )


def _savings(practice: Practice, walks: float, minutes: float, packed: float) -> Iterator[Saving]:
    before = practice.settings.before
    if before is None:
        return
    if before.walks_per_day is not None:
        yield Saving(
            id="walks",
            name="Walks to the store during visits",
            before=before.walks_per_day,
            after=walks,
            unit="walks",
            why="after: add-on pouches that only some of a procedure's visits take, each fetched when it is wanted",
        )
    if before.glove_pairs_per_day is not None and before.walks_per_day is not None:
        # Gloves are only known to change with the walks, so without a count of those nothing can be said.
        fewer = before.walks_per_day - walks
        yield Saving(
            id="gloves",
            name="Pairs of gloves",
            before=before.glove_pairs_per_day,
            after=max(0.0, before.glove_pairs_per_day - fewer),
            unit="pairs",
            why=f"each walk costs one pair, and there are {fewer:.1f} fewer",
        )
    if before.loose_instruments_per_day is not None:
        yield Saving(
            id="loose",
            name="Loose instruments",
            before=before.loose_instruments_per_day,
            after=0.0,
            unit="instruments",
            why=f"after: all {packed:.1f} come back in closed sets and pouches, none loose",
        )
    if before.technician_time_per_day is not None:
        yield Saving(
            id="technician-time",
            name="Technician's time",
            before=before.technician_time_per_day,
            after=minutes,
            unit="min",
            why="after: the minutes of all hand stages of room.yaml on a busy day",
        )
