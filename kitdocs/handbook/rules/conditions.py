"""Conditions under which a rule applies to a practice."""

from __future__ import annotations

from collections.abc import Callable
from typing import Literal

from kitdocs.practice.kinds import DrawerAccess
from kitdocs.practice.model import Practice
from kitdocs.practice.room import MachineStage


def labels_have_a_date(practice: Practice) -> bool:
    return practice.settings.expiration == "date"


def packs_pouches(practice: Practice) -> bool:
    return bool(practice.pouches)


def reached_by(access: DrawerAccess) -> Callable[[Practice], bool]:
    """Return whether a practice reaches into its drawers that way during a visit."""
    return lambda practice: practice.settings.drawer_access == access


def removes_air(practice: Practice) -> bool:
    """Whether a sterilizer draws the air out with a pump, which has to be tested every day."""
    return any(isinstance(stage, MachineStage) and has_air_test(stage) for stage in practice.room.stages.values())


def has_air_test(stage: MachineStage) -> bool:
    return stage.steam is not None and stage.steam.type == "dynamic-air-removal"


def keeps_moist_by(how: Literal["spray", "soak", "cover"]) -> Callable[[Practice], bool]:
    """Return whether a practice keeps soil from drying that way."""
    return lambda practice: practice.room.keep_moist is not None and practice.room.keep_moist.how == how


def keeps_moist_somehow(practice: Practice) -> bool:
    """Whether a practice leaves it to the cleaner's maker how soil is kept from drying."""
    return practice.room.keep_moist is None


def oils_with(practice: Practice) -> bool:
    return practice.room.lubrication is not None


def oils_somehow(practice: Practice) -> bool:
    return practice.room.lubrication is None


def states_how_long_logs_are_kept(practice: Practice) -> bool:
    return practice.settings.records_kept is not None


def leaves_open_how_long_logs_are_kept(practice: Practice) -> bool:
    return practice.settings.records_kept is None


def wraps_twice(practice: Practice) -> bool:
    return practice.room.wrap.sheets == 2


def has_single_use_items(practice: Practice) -> bool:
    return any(instrument.single_use for instrument in practice.instruments.values())


def states_water(practice: Practice) -> bool:
    return practice.room.water is not None


def changes_water(practice: Practice) -> bool:
    return practice.room.water is not None and practice.room.water.change is not None


def measures_water(practice: Practice) -> bool:
    return practice.room.water is not None and practice.room.water.test is not None


def limits_water(practice: Practice) -> bool:
    return measures_water(practice) and practice.room.water is not None and practice.room.water.limit is not None


def keeps_up_machines(practice: Practice) -> bool:
    """Whether a practice lists what is done to its machines again and again."""
    return bool(practice.room.maintenance)


def labels_outside(practice: Practice) -> bool:
    """Whether a wrapped cassette gets an external indicator of its own."""
    return practice.room.supplies.labels_outside


def tape_is_outside(practice: Practice) -> bool:
    return not labels_outside(practice)
