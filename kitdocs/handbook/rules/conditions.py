"""What a practice must have for a rule to apply to it."""

from __future__ import annotations

from collections.abc import Callable

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


def labels_outside(practice: Practice) -> bool:
    """Whether a wrapped cassette gets an external indicator of its own."""
    return practice.room.supplies.labels_outside


def tape_is_outside(practice: Practice) -> bool:
    return not labels_outside(practice)
