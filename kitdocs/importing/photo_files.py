"""Photos as they come from a phone or camera: found in folders, looked at, and made small, upright and anonymous."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from kitdocs.importing.grids import UnreadableError
from kitdocs.practice.message import Message, message
from kitdocs.practice.photos import Photo, photo_to_keep
from kitdocs.practice.reading.photos import LARGEST_FILE, PictureFault, can_decode, fault_of, kind_of_picture

#: What is taken for a photo when it is named by itself.
PHOTO_SUFFIXES = (".jpg", ".jpeg", ".png", ".webp", ".heic", ".heif", ".avif")
#: Where the practice folder keeps photos.
PHOTOS = "photos"
#: No office takes more at once; each takes up to a second.
MOST_PHOTOS = 500
#: What systems put beside photos.
_NOBODYS = ("thumbs.db", "desktop.ini")


@dataclass(frozen=True, slots=True, kw_only=True)
class FoundPhoto:
    """A photo that can be used. `name` is that of its file, `digest` tells its content from any other."""

    name: str
    photo: Photo

    @property
    def digest(self) -> str:
        return self.photo.digest


@dataclass(frozen=True, slots=True, kw_only=True)
class UnusablePhoto:
    """A file that is no photo, or cannot be decoded, and why."""

    name: str
    why: Message
    is_broken: bool
    """Whether it should have been a photo, so that something can be done about it."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FoundPhotos:
    """All that was found, in the order of the names."""

    photos: tuple[FoundPhoto, ...]
    unusable: tuple[UnusablePhoto, ...]

    @property
    def broken(self) -> tuple[UnusablePhoto, ...]:
        """The files that should be photos and cannot be used."""
        return tuple(each for each in self.unusable if each.is_broken)


def is_photo_path(path: Path) -> bool:
    """Whether a path that was given to the command means photos: a folder, or a file named like one."""
    return path.is_dir() or path.suffix.lower() in PHOTO_SUFFIXES


def photo_paths(paths: Sequence[Path], *, in_place: Collection[Path] = ()) -> list[Path]:
    """Return the files that are meant, those of folders and the folders in them included; not those that are in place.

    Hidden files and links that lead elsewhere are none. Raises `UnreadableError` for a path that is not there, and
    where there are none, or more than `MOST_PHOTOS`.
    """
    found: dict[Path, None] = {}
    for path in paths:
        if path.is_dir():
            found |= dict.fromkeys(_inside(path))
        elif path.is_file():
            found[path] = None
        else:
            raise UnreadableError("no-photo", file=str(path))
    files = [path for path in found if path.resolve() not in in_place]
    if not files and not found:
        raise UnreadableError("no-photos", folder=", ".join(map(str, paths)))
    if len(files) > MOST_PHOTOS:
        raise UnreadableError("photos", most=MOST_PHOTOS, count=len(files))
    return files


def _inside(folder: Path) -> Iterator[Path]:
    for path in sorted(folder.rglob("*")):
        hidden = any(part.startswith(".") for part in path.relative_to(folder).parts)
        if path.is_file() and not path.is_symlink() and not hidden and path.name.lower() not in _NOBODYS:
            yield path


def read_photos(files: Sequence[Path]) -> FoundPhotos:
    """Look at each file and prepare what is a photo. No file is changed."""
    photos: list[FoundPhoto] = []
    unusable: list[UnusablePhoto] = []
    by_digest: dict[str, str] = {}
    for path in files:
        found = _read(path)
        if isinstance(found, UnusablePhoto):
            unusable.append(found)
        elif first := by_digest.get(found.digest):
            why = message("import.photo.twice", first=first)
            unusable.append(UnusablePhoto(name=path.name, why=why, is_broken=False))
        else:
            by_digest[found.digest] = path.name
            photos.append(found)
    return FoundPhotos(photos=tuple(photos), unusable=tuple(unusable))


def _read(path: Path) -> FoundPhoto | UnusablePhoto:
    try:
        if path.stat().st_size > LARGEST_FILE:
            return _unusable(path, "too-large", most=LARGEST_FILE // 1024 // 1024)
        data = path.read_bytes()
    except OSError as error:
        return _unusable(path, "unreadable", why=error.strerror or str(error))
    kind = kind_of_picture(data)
    if not kind:
        broken = path.suffix.lower() in PHOTO_SUFFIXES
        why = message(f"import.photo.{'broken' if broken else 'no-photo'}")
        return UnusablePhoto(name=path.name, why=why, is_broken=broken)
    if not can_decode(kind):
        return _unusable(path, "no-decoder", kind=kind)
    fault = fault_of(data, kind)
    if fault and fault.name != "picture.turned":
        return _faulty(path, fault)
    return FoundPhoto(name=path.name, photo=photo_to_keep(data))


def _faulty(path: Path, fault: PictureFault) -> UnusablePhoto:
    key = fault.name.removeprefix("picture.")
    return _unusable(path, "broken" if key == "other-kind" else key, **fault.values)


def _unusable(path: Path, key: str, **values: str | int) -> UnusablePhoto:
    return UnusablePhoto(name=path.name, why=message(f"import.photo.{key}", **values), is_broken=True)
