"""What the change to sets saves: the practice's own counts of before, beside the plan's of after.

Only what the practice has counted is compared; nothing is assumed for what nobody counted.

Gloves: each walk to the store costs a pair. A pouch taken from the drawer with clean hands costs one, too, since used
gloves come off and a new pair goes on; an overglove, a second person and a sterile cotton plier cost none. Common
practice, no source.
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


@dataclass(frozen=True, slots=True, kw_only=True)
class BusyDay:
    """What a planned busy day comes to, on average."""

    walks: float
    """To the store during visits."""
    drawer_openings: float
    """Pouches taken from the drawers at the chairs."""
    hand_minutes: float
    """Of people in the hand stages."""
    packed: float
    """Instruments that come back in sets and pouches."""


def glove_pairs_per_opening(practice: Practice) -> int:
    """Pairs of gloves that a pouch from the drawer costs."""
    return 1 if practice.settings.drawer_access == "clean-hands" else 0


def savings(practice: Practice, after: BusyDay) -> tuple[Saving, ...]:
    """What practice.yaml states under `before`, each beside its number on a planned busy day."""
    return tuple(_savings(practice, after))


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


def _savings(practice: Practice, after: BusyDay) -> Iterator[Saving]:
    before = practice.settings.before
    if before is None:
        return
    if before.walks_per_day is not None:
        yield Saving(
            id="walks",
            name="Walks to the store during visits",
            before=before.walks_per_day,
            after=after.walks,
            unit="walks",
            why="after: add-on pouches that only some of a procedure's visits take, each fetched when it is wanted",
        )
    if before.glove_pairs_per_day is not None and before.walks_per_day is not None:
        # Gloves are only known to change with the walks, so without a count of those nothing can be said.
        fewer = before.walks_per_day - after.walks
        opened = after.drawer_openings * glove_pairs_per_opening(practice)
        yield Saving(
            id="gloves",
            name="Pairs of gloves",
            before=before.glove_pairs_per_day,
            after=max(0.0, before.glove_pairs_per_day - fewer + opened),
            unit="pairs",
            why=f"each walk costs one pair, and there are {fewer:.1f} fewer; {_from_drawers(practice, after)}",
        )
    if before.loose_instruments_per_day is not None:
        yield Saving(
            id="loose",
            name="Loose instruments",
            before=before.loose_instruments_per_day,
            after=0.0,
            unit="instruments",
            why=f"after: all {after.packed:.1f} come back in closed sets and pouches, none loose",
        )
    if before.technician_time_per_day is not None:
        yield Saving(
            id="technician-time",
            name="Technician's time",
            before=before.technician_time_per_day,
            after=after.hand_minutes,
            unit="min",
            why="after: the minutes of all hand stages of room.yaml on a busy day",
        )


def _from_drawers(practice: Practice, after: BusyDay) -> str:
    """How the pouches that are taken from drawers cost gloves or do not."""
    taken = f"{after.drawer_openings:.1f} pouches a day are taken from drawers"
    return {
        "clean-hands": f"{taken} with clean hands, and each costs one pair",
        "overglove": f"{taken}, each with an overglove, which costs no pair",
        "second-person": f"{taken} by a second person, which costs no pair",
        "cotton-plier": f"{taken} with the set's sterile cotton plier, which costs no pair",
    }[practice.settings.drawer_access]
