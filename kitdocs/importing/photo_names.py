"""Which instrument each photo shows: by the name of its file where that says it, else by what a person answered.

An answer is kept by a digest of the photo, never by the name of its file: a phone gives its names again and again, and
a person may have named a file after somebody.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field

from kitdocs.importing.found import NOTHING, Doubt, Found, Known, MergedName, UnusedCells
from kitdocs.importing.names import match_name
from kitdocs.importing.naming import ThingNames
from kitdocs.importing.photo_files import FoundPhoto, FoundPhotos
from kitdocs.importing.vocabulary import folded
from kitdocs.practice.message import message

#: A number behind a name, as programs give it to a second file of that name.
_NUMBERED = re.compile(r"[\s_-]*\(?\d+\)?$")


@dataclass(frozen=True, slots=True, kw_only=True)
class NamedPhotos:
    """What each photo shows, and all that is told and asked. `shown`: the photo of each thing, by id."""

    shown: Mapping[str, FoundPhoto] = field(default_factory=dict)
    found: Found


def named_photos(found: FoundPhotos, known: Known, is_in_place: Callable[[str, FoundPhoto], bool]) -> NamedPhotos:
    """Return what the photos show. `is_in_place` says whether the folder has a photo already as that of a thing."""
    things = _Things(known)
    doubts: list[Doubt] = []
    merged: list[MergedName] = []
    unused = [UnusedCells(where=each.name, why=each.why) for each in found.unusable if not each.is_broken]
    of_thing: defaultdict[str, dict[int, FoundPhoto]] = defaultdict(dict)
    for number, photo in enumerate(found.photos, 1):
        stem = photo.name.rpartition(".")[0]
        answer = known.answer("photos", photo.digest)
        meant = things.meant(answer) if answer and answer != NOTHING else ""
        by_name = "" if answer else things.called(stem)
        if answer == NOTHING:
            unused.append(UnusedCells(where=photo.name, why=message("import.unused.said")))
        elif meant or by_name:
            of_thing[meant or by_name][number] = photo
            if by_name and stem != by_name:
                why = message("import.why.whole")
                merged.append(MergedName(written=stem, meant=by_name, sure=1.0, why=why, sources=(photo.name,)))
        else:
            doubts.append(_asked(number, photo, things.meant(_NUMBERED.sub("", stem))))
    shown: dict[str, FoundPhoto] = {}
    for thing, photos in of_thing.items():
        only = next(iter(photos.values())) if len(photos) == 1 else None
        chosen = only or _chosen(thing, photos, known, is_in_place, doubts, things)
        if chosen:
            shown[thing] = chosen
            others = (photo for photo in photos.values() if photo is not chosen)
            why = message("import.photo.other", id=thing, name=chosen.name)
            unused += [UnusedCells(where=photo.name, why=why) for photo in others]
    return NamedPhotos(shown=shown, found=Found(doubts=tuple(doubts), merged=tuple(merged), unused=tuple(unused)))


def _asked(number: int, photo: FoundPhoto, suggested: str) -> Doubt:
    return Doubt(
        about=("photos", photo.digest),
        asked=message("import.ask.photo", number=number, name=photo.name),
        choices={NOTHING: message("import.choice.no-instrument")},
        suggested=suggested,
        sure=0.6 if suggested else 0.0,
        sources=(photo.name,),
        any_text=True,
    )


def _chosen(
    thing: str,
    photos: Mapping[int, FoundPhoto],
    known: Known,
    is_in_place: Callable[[str, FoundPhoto], bool],
    doubts: list[Doubt],
    things: _Things,
) -> FoundPhoto | None:
    """Which of several photos of one thing is shown: as a person says, asked again when there is another one."""
    by_digest = {photo.digest: photo for photo in photos.values()}
    about = ("photo", thing, " ".join(sorted(by_digest)))
    if answer := known.chosen(*about, among=by_digest):
        return by_digest[answer]
    in_place = next((photo for photo in photos.values() if is_in_place(thing, photo)), None)
    doubts.append(
        Doubt(
            about=about,
            asked=message("import.ask.which-photo", name=things.name_of(thing)),
            choices={
                photo.digest: message("import.choice.photo", number=number, name=photo.name)
                for number, photo in photos.items()
            },
            suggested=(in_place or photos[max(photos)]).digest,
            sure=0.6,
            sources=tuple(photo.name for photo in photos.values()),
        )
    )
    return None


def things_of(known: Known) -> dict[str, str]:
    """Return what a photo of this folder can show: names by id, instruments first."""
    return dict(_Things(known).names)


class _Things:
    """What a photo can show, by all that it can be called: instruments as lists name them, sets and pouches."""

    def __init__(self, known: Known) -> None:
        self._lists = ThingNames(known)
        self._called: dict[str, str] = {}
        self._drawn: defaultdict[str, list[str]] = defaultdict(list)
        self.names: dict[str, str] = {}
        for id_, record in known.of("instruments").items():
            if isinstance(record, Mapping):
                self._drawn[str(record.get("drawing"))].append(id_)
        for stem in ("instruments", "sets", "pouches", "cassettes"):
            for id_, record in known.of(stem).items():
                name = record.get("name", id_) if isinstance(record, Mapping) else id_
                names = [*map(str, name.values())] if isinstance(name, Mapping) else [str(name)]
                said = str(name.get(known.language, names[0])) if isinstance(name, Mapping) and names else str(name)
                self.names.setdefault(id_, said)
                for text in (id_, id_.replace("-", " "), *names):
                    self._called.setdefault(folded(text), id_)

    def name_of(self, thing: str) -> str:
        """Return what a thing is called in the language of the folder."""
        return self.names.get(thing, thing)

    def called(self, text: str) -> str:
        """Return the id of what is called so, in the spellings that need no question; '' when nothing surely is."""
        text = " ".join(text.replace("_", " ").split())
        return self._called.get(folded(text), "") or self._lists.existing(text, match_name(text))

    def meant(self, text: str) -> str:
        """Return the id of what a person means: also by its kind, where the folder has one instrument of it."""
        return self.called(text) or self._lists.meant(text, self._drawn)
