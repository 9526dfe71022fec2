"""Photos brought and written into a practice folder: each whole or not at all, and what was answered."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from kitdocs.importing.bringing import known_of
from kitdocs.importing.found import About, Known
from kitdocs.importing.grids import UnreadableError
from kitdocs.importing.into_folder import answers_kept, keep_answers, refuse_other_folder
from kitdocs.importing.photo_files import PHOTOS, FoundPhotos, photo_paths, read_photos
from kitdocs.importing.photo_names import NamedPhotos, named_photos, things_of
from kitdocs.importing.photo_places import PhotoChanges, PhotoPlaces
from kitdocs.practice.reading.text_file import leaves


@dataclass(frozen=True, slots=True, kw_only=True)
class BroughtPhotos:
    """What photos came to: those that were read or are broken, what each shows, and the files that were written."""

    read: FoundPhotos
    named: NamedPhotos
    changes: PhotoChanges
    written: tuple[str, ...]


def import_photos(
    photos: Sequence[str | Path],
    folder: str | Path,
    *,
    answers: Mapping[About, str] | None = None,
    replace: bool = False,
    language: str = "",
) -> BroughtPhotos:
    """Bring photos, or folders of them, into a practice folder with instruments; return what they came to.

    A photo named after an instrument, a set, a pouch or a cassette is that thing's; what the others show, `answers`
    say: to each of `named.found.doubts`, by what it is about. Only with `replace` are photos of the folder replaced.
    Raises `UnreadableError` for a path that is not there and a folder without instruments, `PracticeError` when
    import.yaml cannot be read, `KitdocsError` when a photo cannot be written.
    """
    folder = Path(folder)
    refuse_other_folder(folder)
    known = known_of(folder, {**answers_kept(folder), **(answers or {})}, language)
    refuse_without_instruments(folder, known)
    places = PhotoPlaces(folder)
    read = photos_read([Path(photo) for photo in photos], known, places)
    named = named_photos(read, known, places.holds)
    changes = places.changes(named.shown)
    written = write_photos(folder, known, named, places, changes, with_changes=replace)
    return BroughtPhotos(read=read, named=named, changes=changes, written=tuple(written))


def refuse_without_instruments(folder: Path, known: Known) -> None:
    """Raise `UnreadableError` for a folder whose photos could show nothing, or would lie elsewhere."""
    if not known.of("instruments"):
        raise UnreadableError("photo-folder", folder=str(folder))
    if leaves(folder, folder / PHOTOS):
        raise UnreadableError("photo-outside", folder=str(folder))


def photos_read(paths: Sequence[Path], known: Known, places: PhotoPlaces) -> FoundPhotos:
    """Look at the photos that are meant, but at none that is in its place already."""
    return read_photos(photo_paths(paths, in_place=places.of(frozenset(things_of(known)))))


def write_photos(
    folder: Path, known: Known, named: NamedPhotos, places: PhotoPlaces, changes: PhotoChanges, *, with_changes: bool
) -> list[str]:
    """Write photos, and what was answered; return the names of the files."""
    written = places.write({**changes.added, **(changes.changed if with_changes else {})})
    return [*written, *keep_answers(folder, known.answers, named.found, known.language)]
