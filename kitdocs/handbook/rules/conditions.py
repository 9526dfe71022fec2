"""Conditions under which a rule applies to a practice."""

from __future__ import annotations

from collections.abc import Callable
from typing import Literal

from kitdocs.practice.kinds import DrawerAccess
from kitdocs.practice.model import Practice


def labels_have_a_date(practice: Practice) -> bool:
    return practice.settings.expiration == "date"


def packs_keep(practice: Practice) -> bool:
    """Whether a pack is good until something happens to it, instead of until a date on its label."""
    return practice.settings.expiration == "event"


def packs_pouches(practice: Practice) -> bool:
    return bool(practice.pouches)


def reached_by(access: DrawerAccess) -> Callable[[Practice], bool]:
    """Return whether a practice reaches into its drawers that way during a visit."""
    return lambda practice: practice.settings.drawer_access == access


def removes_air(practice: Practice) -> bool:
    """Whether a sterilizer draws the air out with a pump, which has to be tested every day."""
    return bool(practice.room.vacuum_sterilizers)


def washes(practice: Practice) -> bool:
    """Whether a machine cleans, so that how well it cleans is tested."""
    return bool(practice.room.washers)


def keeps_moist_by(how: Literal["spray", "soak", "cover"]) -> Callable[[Practice], bool]:
    """Return whether a practice keeps soil from drying that way."""
    return lambda practice: practice.room.keep_moist is not None and practice.room.keep_moist.how == how


def keeps_drawers(practice: Practice) -> bool:
    """Whether a chair has a drawer with pouches in it."""
    return any(chair.drawer for chair in practice.chairs.values())


def has_handpieces(practice: Practice) -> bool:
    return any(instrument.drawing == "handpiece" for instrument in practice.instruments.values())


def packs_implants(practice: Practice) -> bool:
    """Whether a set or a pouch holds something implantable, so that its load carries a spore test."""
    return any(practice.is_implant_related(pack) for pack in (*practice.sets, *practice.pouches))


def maintenance_is_logged(practice: Practice) -> bool:
    return bool(practice.room.maintenance or practice.room.water)


def changes_water(practice: Practice) -> bool:
    return practice.room.water is not None and practice.room.water.change is not None


def measures_water(practice: Practice) -> bool:
    return practice.room.water is not None and practice.room.water.test is not None


def limits_water(practice: Practice) -> bool:
    return measures_water(practice) and practice.room.water is not None and practice.room.water.limit is not None
