"""A run of `kitdocs import` with photos: shown on a contact sheet, asked about, put into the practice folder."""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import replace
from pathlib import Path

import typer
from rich.console import Console

from kitdocs.command.boundary import PROBLEMS, QUESTIONS_LEFT
from kitdocs.command.console import console, progress, say
from kitdocs.command.import_answer import Say, question_json, sayer, show_merged, show_open, show_unused
from kitdocs.command.import_asked import ImportAsked, answers_on_sheets, may_ask, stopped, write_questions
from kitdocs.command.import_questions import asked_until_settled
from kitdocs.importing.bringing import known_of
from kitdocs.importing.found import NOTHING, About, Known
from kitdocs.importing.grids import UnreadableError
from kitdocs.importing.into_folder import answers_kept, refuse_other_folder
from kitdocs.importing.memory import MEMORY
from kitdocs.importing.photo_files import PHOTOS, FoundPhotos
from kitdocs.importing.photo_names import NamedPhotos, named_photos, things_of
from kitdocs.importing.photo_places import PhotoChanges, PhotoPlaces
from kitdocs.importing.photos_into_folder import photos_read, refuse_without_instruments, write_photos
from kitdocs.practice.message import counted, message
from kitdocs.practice.problems import KitdocsError
from kitdocs.practice.writing import write_whole

#: Where the contact sheet is written unless somebody says otherwise, and no sheet of questions is.
CONTACT_SHEET = "contact-sheet.pdf"


def run_photos(asked: ImportAsked) -> int:
    """Bring photos into the folder; return the exit status. Raises `KitdocsError` when nothing can be done."""
    refuse_other_folder(asked.folder)
    known = known_of(asked.folder, {**answers_kept(asked.folder)}, asked.language)
    tell = sayer(known.language)
    try:
        return _PhotoRun(asked, known, tell).run()
    except UnreadableError as error:
        raise KitdocsError(tell(error.message)) from error


def contact_sheet_file(asked: ImportAsked) -> Path | None:
    """Return where the contact sheet is written if there is anything to ask; None where nothing is."""
    if asked.dry_run or (not asked.contact_sheet and (asked.as_json or asked.quiet)):
        return None
    return asked.contact_sheet or (asked.ask.with_suffix(".pdf") if asked.ask else Path(CONTACT_SHEET))


class _PhotoRun:
    def __init__(self, asked: ImportAsked, known: Known, tell: Say) -> None:
        refuse_without_instruments(asked.folder, known)
        self.asked, self.tell, self.known_before = asked, tell, known
        self.out: Console = console(stderr=asked.as_json)
        self.answers: dict[About, str] = {**known.answers, **answers_on_sheets(asked, self.out, tell)}
        self.things = things_of(known)
        self.places = PhotoPlaces(asked.folder)
        with progress(console(stderr=True), quiet=asked.quiet) as step:
            step("looking at the photos")
            self.read: FoundPhotos = photos_read(asked.files, known, self.places)

    @property
    def told(self) -> bool:
        return not (self.asked.as_json or self.asked.quiet)

    def run(self) -> int:
        asked = self.asked
        named = self.named()
        if self.told:
            say(self.out, self.tell(counted("import.told.photos", len(self.read.photos))))
        if named.found.doubts and (file := contact_sheet_file(asked)):
            self.show_contact_sheet(named, file)
        if may_ask(asked):
            try:
                named = asked_until_settled(self.answers, named, self.named, self.tell)
            except typer.Abort:
                return stopped(asked, self.answers, self.named().found, self.known_before.language, self.tell)
        changes = self.places.changes(named.shown)
        if self.told:
            self.show(named, changes)
        for each in () if asked.as_json else self.read.broken:
            say(self.out, f"{each.name}: {self.tell(each.why)}")
        with_changes = asked.yes
        if changes.changed and not asked.yes and may_ask(asked) and not asked.dry_run:
            with_changes = typer.confirm(self.tell(message("import.told.photo-confirm")), default=False, err=True)
        written = [] if asked.dry_run else self.write(named, changes, with_changes)
        if asked.as_json:
            print(json.dumps(self.as_json(named, changes, written), ensure_ascii=False, indent=1))
        return self.end(named, changes, written, with_changes)

    def known(self) -> Known:
        return replace(self.known_before, answers=dict(self.answers))

    def named(self) -> NamedPhotos:
        return named_photos(self.read, self.known(), self.places.holds)

    def show_contact_sheet(self, named: NamedPhotos, file: Path) -> None:
        from kitdocs.document.catalog import built_in_catalog  # noqa: PLC0415  # only where a sheet is written
        from kitdocs.publish.print.contact_sheet import ContactPhoto, contact_sheet  # noqa: PLC0415

        asked, known = self.asked, self.known()
        suggested = {doubt.about[-1]: self.things.get(doubt.suggested, "") for doubt in named.found.doubts}
        shown = {photo.digest: self.things[thing] for thing, photo in named.shown.items()}
        photos = [
            ContactPhoto(
                number=number,
                name=photo.name,
                jpeg=photo.photo.jpeg,
                answer=shown.get(photo.digest) or suggested.get(photo.digest, ""),
            )
            for number, photo in enumerate(self.read.photos, 1)
        ]
        settings = known.of("practice")
        name = settings.get("name", "")
        name = name.get(known.language, "") if isinstance(name, Mapping) else name
        with progress(console(stderr=True), quiet=asked.quiet) as step:
            step("setting the contact sheet")
            pdf = contact_sheet(
                photos,
                self.things,
                words=built_in_catalog(known.language),
                practice=str(name),
                paper="a4" if settings.get("paper") == "a4" else "letter",
            )
        write_whole(file.resolve(), pdf)
        if self.told:
            say(self.out, self.tell(message("import.told.contact", file=str(file))))
            say(self.out, self.tell(message("import.told.photo-people")))

    def show(self, named: NamedPhotos, changes: PhotoChanges) -> None:
        tell, out = self.tell, self.out
        show_merged(out, named.found.merged, tell, self.asked.everything)
        show_unused(out, named.found.unused, tell, self.asked.everything, key="import.told.photo-unused")
        say(out, "")
        for key, photos in (("added", changes.added), ("changed", changes.changed)):
            for thing, photo in photos.items():
                file = self.places.file_of(thing)
                say(out, tell(message(f"import.told.photo-{key}", file=file, name=photo.name)))
        if changes.as_they_are:
            say(out, tell(counted("import.told.photo-same", len(changes.as_they_are))))

    def write(self, named: NamedPhotos, changes: PhotoChanges, with_changes: bool) -> list[str]:
        return write_photos(self.asked.folder, self.known(), named, self.places, changes, with_changes=with_changes)

    def as_json(self, named: NamedPhotos, changes: PhotoChanges, written: list[str]) -> dict[str, object]:
        found = named.found
        return {
            "photos": [
                {"number": n, "file": photo.name, "digest": photo.digest} for n, photo in enumerate(self.read.photos, 1)
            ],
            "added": {thing: photo.name for thing, photo in changes.added.items()},
            "changed": {thing: photo.name for thing, photo in changes.changed.items()},
            "as_they_are": list(changes.as_they_are),
            "merged": [{"written": each.written, "id": each.meant} for each in found.merged],
            "unused": [{"file": each.where, "why": self.tell(each.why)} for each in found.unused],
            "broken": [{"file": each.name, "why": self.tell(each.why)} for each in self.read.broken],
            "questions": [question_json(each, self.tell) for each in found.doubts],
            "written": written,
        }

    def end(self, named: NamedPhotos, changes: PhotoChanges, written: list[str], with_changes: bool) -> int:
        asked, out, tell, doubts = self.asked, self.out, self.tell, named.found.doubts
        if asked.ask and doubts and not asked.dry_run:
            things = {NOTHING: tell(message("import.choice.no-instrument")), **self.things}
            write_questions(asked.ask, doubts, self.answers, tell, things=things)
            if not asked.as_json:
                say(out, "\n" + tell(counted("import.told.sheet", len(doubts), file=str(asked.ask))))
        elif not asked.as_json:
            show_open(out, doubts, tell)
        left = bool(changes.changed) and not with_changes
        if self.told:
            self.say_more(changes, written, left)
        if doubts or left:
            return QUESTIONS_LEFT
        return PROBLEMS if self.read.broken else 0

    def say_more(self, changes: PhotoChanges, written: list[str], left: bool) -> None:
        asked, out, tell = self.asked, self.out, self.tell
        if left:
            say(out, "\n" + tell(counted("import.told.photo-kept-back", len(changes.changed))))
        if asked.dry_run:
            say(out, "\n" + tell(message("import.told.dry")))
        elif any(file != MEMORY for file in written):
            folder = str(asked.folder)
            say(out, "\n" + tell(message("import.told.wrote", folder=folder, files=", ".join(written))))
            settings = self.known().of("practice").get("photos")
            if not (isinstance(settings, Mapping) and settings.get("instruments") == "instead"):
                say(out, tell(message("import.told.photo-beside")))
            say(out, tell(message("import.told.photo-next", folder=folder)))
        inside = (asked.folder / PHOTOS).resolve()
        if self.read.photos and any(inside in (path.resolve(), *path.resolve().parents) for path in asked.files):
            say(out, tell(message("import.told.photo-sources", folder=str(asked.folder / PHOTOS))))
