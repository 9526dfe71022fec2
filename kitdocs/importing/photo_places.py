"""Photos in the practice folder: one for each thing, named by its id, and what bringing others changes."""

from __future__ import annotations

import io
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

from PIL import Image, ImageChops, ImageStat

from kitdocs.errors import KitdocsError
from kitdocs.importing.photo_files import PHOTOS, FoundPhoto
from kitdocs.practice.reading.photos import FORMATS
from kitdocs.practice.writing import write_whole

#: Two pictures of one size that differ by no more, of 255 and on average of squares, are one, saved by two programs.
#: Ours: a photo of 12 megapixels that was decoded and saved anew differs from itself by 0.1; from a second one of the
#: same thing, whose frame is the same to the pixel and whose noise is another, by 1.5.
_SAME = 1.0


@dataclass(frozen=True, slots=True, kw_only=True)
class PhotoChanges:
    """What is to be written. `added` are things without a photo so far, `changed` those with another, by id."""

    added: Mapping[str, FoundPhoto] = field(default_factory=dict)
    changed: Mapping[str, FoundPhoto] = field(default_factory=dict)
    as_they_are: tuple[str, ...] = ()


class PhotoPlaces:
    """The photos that a practice folder has."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder / PHOTOS
        files = sorted(self._folder.iterdir()) if self._folder.is_dir() else []
        self._files = {path.stem: path for path in files if path.suffix.lower() in FORMATS and path.is_file()}
        self._same: dict[tuple[str, str], bool] = {}

    def of(self, things: frozenset[str]) -> frozenset[Path]:
        """Return the files, links followed, that are photos of these things already."""
        return frozenset(path.resolve() for thing, path in self._files.items() if thing in things)

    def file_of(self, thing: str) -> str:
        """Return the path of a thing's photo in the folder, that it has or that it gets: ``photos/mirror.jpg``."""
        return f"{PHOTOS}/{self._files[thing].name if thing in self._files else f'{thing}.jpg'}"

    def holds(self, thing: str, photo: FoundPhoto) -> bool:
        """Whether the folder has this photo of a thing, perhaps as another version of a program saved it."""
        if (thing, photo.digest) not in self._same:
            self._same[thing, photo.digest] = thing in self._files and _is_same(self._files[thing], photo)
        return self._same[thing, photo.digest]

    def changes(self, shown: Mapping[str, FoundPhoto]) -> PhotoChanges:
        """Return what the folder lacks of these photos, and what would replace others."""
        other = {thing: photo for thing, photo in shown.items() if not self.holds(thing, photo)}
        return PhotoChanges(
            added={thing: photo for thing, photo in other.items() if thing not in self._files},
            changed={thing: photo for thing, photo in other.items() if thing in self._files},
            as_they_are=tuple(thing for thing in shown if thing not in other),
        )

    def write(self, photos: Mapping[str, FoundPhoto]) -> list[str]:
        """Write photos, each whole or not at all; return their paths in the folder. Raises `KitdocsError`."""
        written = []
        for thing, photo in photos.items():
            target = self._folder.resolve() / f"{thing}.jpg"
            try:
                target.parent.mkdir(exist_ok=True)
                write_whole(target, photo.photo.jpeg)
                before = self._files.get(thing)
                if before and not before.samefile(target):
                    before.unlink()
            except OSError as error:
                raise KitdocsError(f"could not write {target}: {error.strerror or error}") from error
            written.append(f"{PHOTOS}/{target.name}")
        return written


def _is_same(path: Path, photo: FoundPhoto) -> bool:
    try:
        if path.read_bytes() == photo.photo.jpeg:
            return True
        there, brought = _image(path.read_bytes()), _image(photo.photo.jpeg)
        if there.size != brought.size:
            return False
        return max(ImageStat.Stat(ImageChops.difference(there, brought)).rms) <= _SAME
    except Exception:  # what is there cannot be read, and so it is another one
        return False


def _image(jpeg: bytes) -> Image.Image:
    return Image.open(io.BytesIO(jpeg)).convert("RGB")
