"""Practices below a folder, each as the files that another process or machine needs to read it."""

from __future__ import annotations

import tempfile
from collections.abc import Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

from kitdocs.cache import key_of
from kitdocs.command.kept import entries
from kitdocs.errors import KitdocsError
from kitdocs.practice.reading.common import FOLDERS, common_folder

#: The folder of the group's own pages in what is published; no practice can be called so.
GROUP = "group"
#: The file by which a practice folder is known.
_KNOWN_BY = "practice.yaml"


@dataclass(frozen=True, slots=True, kw_only=True)
class PackedPractice:
    """The files of one practice by path, as data: nothing in it says where they lie.

    `name` is its folder below the group's; `common` are the files of the folder that it shares records with, which is
    called `common_name`.
    """

    name: str
    files: Mapping[str, bytes] = field(repr=False)
    common: Mapping[str, bytes] = field(repr=False)
    common_name: str = ""

    def key(self, *asked: object) -> str:
        """Return what stands for the practice as it is now, and for what was asked of it."""
        return key_of("group", self.name, self.files, self.common, self.common_name, asked)


def practice_folders(folder: Path) -> dict[str, Path]:
    """Return every practice folder below one, by its name: its path from there. Raises `KitdocsError` for none."""
    found: dict[str, Path] = {}
    _look(folder, "", found)
    if not found:
        raise KitdocsError(f"no folder below {folder} has a {_KNOWN_BY}; each practice of a group is a folder in it")
    if GROUP in found or any(name.startswith(f"{GROUP}/") for name in found):
        raise KitdocsError(f"no practice can be in a folder '{GROUP}': the pages of all together go there; rename it")
    return dict(sorted(found.items()))


def _look(folder: Path, name: str, found: dict[str, Path]) -> None:
    try:
        inside = sorted(entry for entry in folder.iterdir() if entry.is_dir() and not entry.name.startswith("."))
    except OSError as error:
        raise KitdocsError(f"{folder} cannot be read: {error.strerror or error}") from error
    for entry in inside:
        own = f"{name}/{entry.name}" if name else entry.name
        if (entry / _KNOWN_BY).exists():
            found[own] = entry
        else:
            _look(entry, own, found)


def packed(name: str, folder: Path) -> PackedPractice:
    """Return a practice folder as data. Raises `KitdocsError` when a file cannot be read."""
    try:
        shared = common_folder(folder)
        return PackedPractice(
            name=name,
            files=_files(folder, entries(folder)),
            common=_files(shared, entries(shared, FOLDERS)) if shared else {},
            common_name=shared.name if shared else "",
        )
    except OSError as error:
        raise KitdocsError(f"{error.filename} cannot be read: {error.strerror or error}") from error


def _files(folder: Path, paths: Iterable[Path]) -> dict[str, bytes]:
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in sorted(paths) if path.is_file()}


@contextmanager
def unpacked(practice: PackedPractice) -> Iterator[Path]:
    """Yield the practice as a folder in a place for passing things."""
    with tempfile.TemporaryDirectory(prefix="kitdocs-") as place:
        own = Path(place) / "practices" / practice.name.rpartition("/")[2]
        _write(own, practice.files)
        if practice.common_name:
            _write(own.parent / practice.common_name, practice.common)
        yield own


def _write(folder: Path, files: Mapping[str, bytes]) -> None:
    folder.mkdir(parents=True)
    for name, content in files.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content)
