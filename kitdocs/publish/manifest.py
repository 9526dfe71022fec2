"""Proof of what kitdocs wrote into a folder: a list with the digest of each file.

Whatever the list does not prove to be kitdocs' own, unchanged, belongs to somebody and is never removed.
"""

from __future__ import annotations

import hashlib
import json
import os
from collections.abc import Iterator, Mapping, Set
from pathlib import Path, PurePosixPath
from typing import NamedTuple

#: The list of what kitdocs wrote; a folder without it is not ours to touch.
MANIFEST = "kitdocs.json"
#: Files that file managers leave in every folder that somebody looks into.
LITTER = frozenset({".DS_Store", "Thumbs.db", "desktop.ini"})


class Stranger(NamedTuple):
    """A file, link or folder that is not proven to be kitdocs' own. `edited`: kitdocs wrote it, not as it is now."""

    path: str
    edited: bool


def manifest(files: Mapping[str, bytes]) -> bytes:
    """Return the list of `files` (relative POSIX path → content) that is stored with them."""
    digests = {path: _digest(content) for path, content in sorted(files.items())}
    return (json.dumps({"written_by": "kitdocs", "files": digests}, indent=1) + "\n").encode()


def listed(folder: Path) -> dict[str, str] | None:
    """Return the digest of each file that kitdocs wrote into `folder`; None when nothing proves that it wrote there."""
    try:
        found = json.loads((folder / MANIFEST).read_text("utf-8"))["files"]
        whole = all(_is_inside(path) and isinstance(digest, str) for path, digest in found.items())
    except (OSError, ValueError, KeyError, TypeError, AttributeError, RecursionError):
        return None
    return found if whole else None


def _is_inside(path: str) -> bool:
    """Whether a path of a list leads to something within its folder, on every system."""
    return "\\" not in path and ":" not in path and all(part not in ("", ".", "..") for part in path.split("/"))


def is_empty(folder: Path) -> bool:
    """Whether `folder` holds nothing but litter."""
    with os.scandir(folder) as entries:
        return all(_is_litter(entry) for entry in entries)


def is_whole(folder: Path) -> bool:
    """Whether each file that kitdocs wrote into `folder` is still there; when not, it was being deleted."""
    return all((folder / path).is_file() for path in listed(folder) or {})


def strangers(folder: Path, ours: Mapping[str, str]) -> Iterator[Stranger]:
    """Yield what `folder` holds that the list `ours` does not prove to be kitdocs' own. No link is followed."""
    for path, entry in _walk(folder, _folders(ours)):
        if path in ours and not _is_as_written(entry, ours[path]):
            yield Stranger(path, edited=True)
        elif path not in ours and not path.endswith("/"):
            yield Stranger(path + "/" * entry.is_dir(follow_symlinks=False), edited=False)


def remove_ours(folder: Path, *, half: bool = False) -> bool:
    """Delete what is proven to be kitdocs' own from `folder`, file by file; return whether nothing else was in it.

    A folder that was being written when its run was killed is `half`: its files are known by name only. The list goes
    last, so that a killed removal can be taken up again. Raise `OSError` when something cannot be deleted.
    """
    ours = listed(folder) or {}
    for path, entry in _walk(folder, _folders(ours)):
        if path.endswith("/"):
            _remove_empty(Path(entry.path))
        elif path in ours and (half or _is_as_written(entry, ours[path])):
            Path(entry.path).unlink()
    if (half or ours) and [entry.name for entry in folder.iterdir()] == [MANIFEST]:
        (folder / MANIFEST).unlink()
    return _remove_empty(folder)


def _remove_empty(folder: Path) -> bool:
    """Remove a folder that holds nothing but litter; return whether it did."""
    if not is_empty(folder):
        return False
    for litter in folder.iterdir():
        litter.unlink()
    folder.rmdir()
    return True


def _walk(folder: Path, known: Set[str], inside: str = "") -> Iterator[tuple[str, os.DirEntry[str]]]:
    """Yield files and links below `folder`, but its list and litter.

    A folder that is not `known` is not looked into. One that is comes after what it holds, its path with a slash at
    the end.
    """
    with os.scandir(folder / inside) as entries:
        found = sorted(entries, key=lambda entry: entry.name)
    for entry in found:
        path = f"{inside}{entry.name}"
        if path in known and entry.is_dir(follow_symlinks=False):
            yield from _walk(folder, known, f"{path}/")
            yield f"{path}/", entry
        elif path != MANIFEST and not _is_litter(entry):
            yield path, entry


def _folders(ours: Mapping[str, str]) -> set[str]:
    """The folders that the files of a list lie in."""
    return {parent.as_posix() for path in ours for parent in PurePosixPath(path).parents} - {"."}


def _is_litter(entry: os.DirEntry[str]) -> bool:
    return entry.name in LITTER and entry.is_file(follow_symlinks=False)


def _is_as_written(entry: os.DirEntry[str], digest: str) -> bool:
    """Whether a file holds just what kitdocs wrote; line ends may have become those of Windows on the way."""
    if not entry.is_file(follow_symlinks=False):
        return False
    content = Path(entry.path).read_bytes()
    return digest in (_digest(content), _digest(content.replace(b"\r\n", b"\n")))


def _digest(content: bytes) -> str:
    return hashlib.sha256(content).hexdigest()
