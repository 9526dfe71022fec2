"""The people of the reprocessing room: their hours, the room's, and the hand stages that they serve."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.practice.draft import Draft
from kitdocs.practice.locations import Path
from kitdocs.practice.message import Clock
from kitdocs.practice.problems import Problem, nearest
from kitdocs.practice.room import HandStage
from kitdocs.practice.rules.looking import Values, error, ids


def the_room_opens_before_it_closes(practice: Draft) -> Iterator[Problem]:
    """Opening before closing; a room that is never left has no opening to state."""
    room, day = practice.room, practice.settings.day
    if room.closes is None:
        if room.opens is not None and not room.people and practice.is_whole("room"):
            yield error(practice, "room-hours.opens-only", ("room", "opens"), at_key=True)
        return
    opens = day.opens if room.opens is None and not room.people and day else room.opens
    if opens is not None and room.closes <= opens:
        times: Values = {"closes": Clock(room.closes), "opens": Clock(opens)}
        yield error(practice, "room-hours.closes", ("room", "closes"), **times)


def hours_are_within_the_rooms(practice: Draft) -> Iterator[Problem]:
    """Everybody goes after they came, has lunch in between, and is there only while the room is open."""
    room = practice.room
    for id_, person in room.people.items():
        hours, lunch = person.hours, person.lunch
        times: Values = {"start": Clock(hours.start), "end": Clock(hours.end)}
        path: Path = ("room", "people", id_)
        if hours.end <= hours.start:
            yield error(practice, "hours.end", (*path, "hours", "end"), **times)
            continue
        if room.closes is not None and hours.end > room.closes:
            closes = Clock(room.closes)
            yield error(practice, "hours.after-closing", (*path, "hours", "end"), closes=closes, **times)
        if room.opens is not None and hours.start < room.opens:
            opens = Clock(room.opens)
            yield error(practice, "hours.before-opening", (*path, "hours", "start"), opens=opens, **times)
        if lunch and not hours.start < lunch.start < lunch.end < hours.end:
            yield error(practice, "hours.lunch", (*path, "lunch"), **times)


def people_serve_hand_stages(practice: Draft) -> Iterator[Problem]:
    """Everybody serves stages of the room that are done by hand, each named once."""
    known = ids(practice, "room", "stages")
    stages = practice.room.stages
    by_hand = [id_ for id_, stage in stages.items() if isinstance(stage, HandStage)]
    for id_, person in practice.room.people.items():
        for index, stage in enumerate(person.stages):
            path: Path = ("room", "people", id_, "stages", index)
            if stage not in known:
                if practice.is_whole("room", "stages"):
                    yield error(practice, "unknown-id.stage", path, id=stage, nearest=nearest(stage, known))
            elif stage in stages and stage not in by_hand:
                kind, hands = stages[stage].kind, " and ".join(f"'{one}'" for one in by_hand)
                yield error(practice, f"not-by-hand.{kind}", path, stage=stage, hands=hands)
            elif stage in person.stages[:index]:
                yield error(practice, "served-twice", path, stage=stage)


def every_hand_stage_is_served(practice: Draft) -> Iterator[Problem]:
    """Where people are named, each hand stage is served by one of them, and counts no people of its own."""
    people = practice.room.people
    if not (people and practice.is_whole("room", "people")):
        return
    for id_, stage in practice.room.stages.items():
        if not isinstance(stage, HandStage):
            continue
        if all(person.stages and id_ not in person.stages for person in people.values()):
            yield error(practice, "nobody-serves", ("room", "stages", id_), at_key=True, stage=id_)
        if stage.people != 1:
            yield error(practice, "people-twice", ("room", "stages", id_, "people"), at_key=True, stage=id_)
