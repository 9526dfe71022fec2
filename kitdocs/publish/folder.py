"""The all-or-nothing folder: written beside its place and swapped in, so that a reader never finds half a handbook."""

from __future__ import annotations

import ctypes
import hashlib
import json
import os
import shutil
import sys
import tempfile
import time
from collections.abc import Mapping
from pathlib import Path, PurePosixPath

from kitdocs.practice.problems import PublishError, TargetError

#: The list of what kitdocs wrote; a folder without it is not ours to touch.
MANIFEST = "kitdocs.json"
#: What file managers leave in every folder that somebody looks into.
LITTER = {".DS_Store", "Thumbs.db", "desktop.ini"}
_BESIDE = ".kitdocs-"
_AN_HOUR = 3600.0


def write_folder(target: Path, files: Mapping[str, bytes]) -> bool:
    """Write `files` (relative POSIX path → content) as the folder `target`, whole or not at all.

    Returns whether anything changed: a folder that holds just these files already is left as it is.
    Raises `TargetError` when `target` holds anything that kitdocs did not write, and `PublishError` when it
    cannot be written; in both cases what was there stays as it was.
    """
    target = target.absolute()
    files = {**files, MANIFEST: _manifest(files)}
    refuse_foreign(target)
    if _holds_just(target, files):
        return False
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        _clear_leftovers(target)
        beside = Path(tempfile.mkdtemp(prefix=_beside(target), dir=target.parent))
    except OSError as error:
        raise PublishError(f"cannot write beside {target}: {error.strerror}") from error
    try:
        _fill(beside, files)
        _swap(beside, target)
    except OSError as error:
        raise PublishError(f"could not write {target}: {error.strerror}; what was there is untouched") from error
    finally:
        shutil.rmtree(beside, ignore_errors=True)
    return True


def _beside(target: Path) -> str:
    return f"{_BESIDE}{target.name}-"


def _manifest(files: Mapping[str, bytes]) -> bytes:
    digests = {path: hashlib.sha256(content).hexdigest() for path, content in sorted(files.items())}
    return (json.dumps({"written_by": "kitdocs", "files": digests}, indent=1) + "\n").encode()


def refuse_foreign(target: Path) -> None:
    """Raise `TargetError` when `target` holds anything that kitdocs did not write."""
    if target.is_symlink() or (target.exists() and not target.is_dir()):
        raise TargetError(f"{target} is not a folder; name a new folder, or one that kitdocs wrote")
    if not target.exists():
        return
    there = {
        path.relative_to(target).as_posix() for path in target.rglob("*") if not path.is_dir() or path.is_symlink()
    }
    there = {path for path in there if PurePosixPath(path).name not in LITTER}
    try:
        ours = set(json.loads((target / MANIFEST).read_text("utf-8"))["files"]) | {MANIFEST} if there else set()
    except (OSError, ValueError, KeyError, TypeError):
        raise TargetError(f"{target} holds files, and kitdocs did not write them; name a new or empty folder") from None
    foreign = sorted(there - ours)
    if foreign:
        raise TargetError(
            f"{target} also holds {foreign[0]}, which kitdocs did not write and would lose; move it away first"
        )


def _holds_just(target: Path, files: Mapping[str, bytes]) -> bool:
    there = {path.relative_to(target).as_posix() for path in target.rglob("*") if path.is_file()}
    if {path for path in there if PurePosixPath(path).name not in LITTER} != set(files):
        return False
    return all((target / path).read_bytes() == content for path, content in files.items())


def _fill(folder: Path, files: Mapping[str, bytes]) -> None:
    folder.chmod(0o755)
    for path, content in files.items():
        file = folder / path
        file.parent.mkdir(parents=True, exist_ok=True)
        with file.open("wb") as opened:
            opened.write(content)
            opened.flush()
            os.fsync(opened.fileno())


def _swap(beside: Path, target: Path) -> None:
    """Put `beside` in the place of `target`. Where the system can exchange two folders in one step, it does."""
    if not target.exists():
        beside.rename(target)
        return
    if _exchange(beside, target):
        return
    aside = Path(tempfile.mkdtemp(prefix=_beside(target), dir=target.parent)) / "before"
    target.rename(aside)
    try:
        beside.rename(target)
    except OSError:
        aside.rename(target)
        raise
    finally:
        shutil.rmtree(aside.parent, ignore_errors=True)


def _exchange(one: Path, other: Path) -> bool:
    """renameat2(2) with RENAME_EXCHANGE: no moment in which either name is missing. False where there is none."""
    if not sys.platform.startswith("linux"):
        return False
    at_fdcwd, rename_exchange = -100, 2
    try:
        renameat2 = ctypes.CDLL(None, use_errno=True).renameat2
    except (OSError, AttributeError):
        return False
    return bool(renameat2(at_fdcwd, os.fsencode(one), at_fdcwd, os.fsencode(other), rename_exchange) == 0)


def _clear_leftovers(target: Path) -> None:
    """What a killed run left beside the folder. A younger one may belong to a run that is still writing."""
    for left in target.parent.glob(f"{_beside(target)}*"):
        if time.time() - left.stat().st_mtime > _AN_HOUR:
            shutil.rmtree(left, ignore_errors=True)
