"""The monitoring of loads: indicators, air-removal tests, spore tests."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.practice.draft import Draft
from kitdocs.practice.problems import Problem
from kitdocs.practice.room import Supplies, machines
from kitdocs.practice.rules.looking import error, warning


def the_outside_indicator_is_bought(practice: Draft) -> Iterator[Problem]:
    """The outside indicator that is stated is among the supplies, and none is bought for nothing."""
    supplies = _supplies(practice)
    if supplies is None or not _are_written(practice):
        return
    path = ("room", "supplies", "outside_indicator")
    if supplies.outside_indicator == "tape" and supplies.tape is None:
        yield error(practice, "no-outside-indicator.tape", path)
    if supplies.outside_indicator == "label" and supplies.external_indicator is None:
        yield error(practice, "no-outside-indicator.label", path)
    if supplies.external_indicator and not supplies.labels_outside and supplies.tape:
        path = ("room", "supplies", "external_indicator")
        yield warning(practice, "problems.bought-for-nothing", path, at_key=True)


def vacuum_sterilizers_are_tested(practice: Draft) -> Iterator[Problem]:
    """A sterilizer that removes the air with a pump has test packs for it, and nothing else has.

    SOURCES: CDC 2008, monitoring.
    """
    supplies = _supplies(practice)
    if supplies is None or not _are_written(practice):
        return
    steam = {id_: stage.steam for id_, stage in machines(practice.room.stages).items() if stage.steam}
    vacuum = [id_ for id_, cycle in steam.items() if cycle.type == "dynamic-air-removal"]
    if vacuum and supplies.air_removal_test is None:
        yield warning(practice, "problems.no-air-removal-test", ("room", "stages", vacuum[0], "steam", "type"))
    if supplies.air_removal_test and not vacuum and practice.is_whole("room", "stages"):
        path = ("room", "supplies", "air_removal_test")
        yield warning(practice, "problems.no-vacuum-sterilizer", path, at_key=True)


def implants_are_held_back(practice: Draft) -> Iterator[Problem]:
    """Implant-related packs need spore tests, and the time until one is read.

    SOURCES: CDC 2003, part VI.F.
    """
    supplies = _supplies(practice)
    first = next(_implant_related(practice), None)
    if supplies is None or first is None:
        return
    if supplies.spore_test is None:
        yield error(practice, "no-spore-test", first)
    elif supplies.spore_test.read_after is None:
        yield warning(practice, "problems.no-reading-time", ("room", "supplies", "spore_test"), at_key=True)


def implants_wait_in_no_drawer(practice: Draft) -> Iterator[Problem]:
    """A pouch held back until a spore test is read is no drawer pouch: drawers are filled again the same day."""
    for id_, pouch in practice.pouches.items():
        inside = (practice.instruments[i] for i in pouch.contents if i in practice.instruments)
        if pouch.kind == "drawer" and (pouch.implant_related or any(one.implant_related for one in inside)):
            yield warning(practice, "problems.implant-in-a-drawer", ("pouches", id_, "kind"))


def _implant_related(practice: Draft) -> Iterator[tuple[str, str, str]]:
    for stem, records in (
        ("instruments", practice.instruments),
        ("sets", practice.sets),
        ("pouches", practice.pouches),
    ):
        for id_, record in records.items():
            if record.implant_related:
                yield (stem, id_, "implant_related")


def _are_written(practice: Draft) -> bool:
    """Whether room.yaml states any supplies: a practice that counts none is not asked for single ones."""
    return ("room", "supplies") in practice.places.keys


def _supplies(practice: Draft) -> Supplies | None:
    """The supplies of room.yaml, none where they could not be read."""
    if practice.has_broken("room") or not practice.is_whole("room", "supplies"):
        return None
    stated = practice.room.read.get("supplies")
    return stated if isinstance(stated, Supplies) else Supplies()
