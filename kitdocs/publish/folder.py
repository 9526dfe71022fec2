"""The all-or-nothing folder: written beside its place and swapped in, so that a reader never finds half a handbook."""

from __future__ import annotations

import ctypes
import glob
import hashlib
import json
import os
import shutil
import sys
import tempfile
import time
from collections.abc import Iterator, Mapping
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from pathlib import Path

if sys.platform != "win32":
    import fcntl

from kitdocs.practice.problems import PublishError, TargetError

#: The list of what kitdocs wrote; a folder without it is not ours to touch.
MANIFEST = "kitdocs.json"
#: What file managers leave in every folder that somebody looks into.
LITTER = {".DS_Store", "Thumbs.db", "desktop.ini"}
_BESIDE = ".kitdocs-"
_BEFORE = "before"
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
    try:
        _clear_leftovers(target)
        if _holds_just(target, files):
            return False
        target.parent.mkdir(parents=True, exist_ok=True)
        with _folder_beside(target) as beside:
            _fill(beside, files)
            _swap(beside, target)
    except OSError as error:
        if os.path.ismount(target):
            raise PublishError(f"{target} is a disk of its own; name a folder inside it") from error
        raise PublishError(f"could not write {target}: {error.strerror}; what was there is untouched") from error
    return True


def _manifest(files: Mapping[str, bytes]) -> bytes:
    digests = {path: hashlib.sha256(content).hexdigest() for path, content in sorted(files.items())}
    return (json.dumps({"written_by": "kitdocs", "files": digests}, indent=1) + "\n").encode()


def refuse_foreign(target: Path) -> None:
    """Raise `TargetError` when `target` holds anything that kitdocs did not write."""
    try:
        if target.is_symlink() or (target.exists() and not target.is_dir()):
            raise TargetError(f"{target} is not a folder; name a new folder, or one that kitdocs wrote")
        foreign = sorted(_foreign(target))
        stands_in = _stands_in(target)
    except OSError as error:
        raise TargetError(f"{target} cannot be looked into: {error.strerror}") from error
    if foreign:
        raise TargetError(
            f"{target} also holds {foreign[0]}, which kitdocs did not write and would lose; move it away first"
        )
    if stands_in:
        raise TargetError(f"you are in {target}, which is swapped as a whole; go up one folder and name it there")


def _stands_in(target: Path) -> bool:
    """Whether the command was started in `target` or below: a terminal there would be left in a folder that is gone."""
    try:
        return Path.cwd().is_relative_to(target.resolve())
    except FileNotFoundError:  # it is gone already
        return False


def _foreign(target: Path) -> Iterator[str]:
    """What is in `target` and not in its list; without a list, the first file is one too many."""
    ours = _listed(target)
    for name in _names(target) if target.exists() else ():
        if ours is None:
            raise TargetError(f"{target} holds files, and kitdocs did not write them; name a new or empty folder")
        if name not in ours:
            yield name


def _listed(target: Path) -> set[str] | None:
    """What kitdocs wrote into `target`; None when it wrote nothing there."""
    try:
        return set(json.loads((target / MANIFEST).read_text("utf-8"))["files"]) | {MANIFEST}
    except (OSError, ValueError, KeyError, TypeError):
        return None


def _names(target: Path) -> Iterator[str]:
    """The files and links in a folder, as POSIX paths, without what file managers leave."""

    def refuse(error: OSError) -> None:
        raise error

    for folder, folders, files in os.walk(target, onerror=refuse):
        links = [name for name in folders if (Path(folder) / name).is_symlink()]
        for name in (*files, *links):
            if name not in LITTER:
                yield (Path(folder) / name).relative_to(target).as_posix()


def _holds_just(target: Path, files: Mapping[str, bytes]) -> bool:
    if not target.exists() or set(_names(target)) != set(files):
        return False
    return all((target / path).read_bytes() == content for path, content in files.items())


def _fill(folder: Path, files: Mapping[str, bytes]) -> None:
    folder.chmod(0o755)
    for parent in {(folder / path).parent for path in files}:
        parent.mkdir(parents=True, exist_ok=True)
    for path, content in files.items():
        (folder / path).write_bytes(content)
    # Side by side: a disk takes many wishes together in a tenth of the time that it needs for one after the other.
    with ThreadPoolExecutor(16) as several:
        list(several.map(_put_on_the_disk, (folder / path for path in files)))


def _put_on_the_disk(file: Path) -> None:
    with file.open("rb+") as opened:
        os.fsync(opened.fileno())


def _swap(beside: Path, target: Path) -> None:
    """Put `beside` in the place of `target`. Where the system can exchange two folders in one step, it does."""
    if not target.exists():
        beside.rename(target)
        return
    if _exchange(beside, target):
        return
    with _folder_beside(target) as aside:
        target.rename(aside / _BEFORE)
        try:
            beside.rename(target)
        except BaseException:
            (aside / _BEFORE).rename(target)
            raise


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


@contextmanager
def _folder_beside(target: Path) -> Iterator[Path]:
    """An empty folder beside `target`, gone at the end; held, so that no other run takes it for a leftover."""
    beside = Path(tempfile.mkdtemp(prefix=f"{_BESIDE}{target.name}-", dir=target.parent))
    try:
        with _held(beside, wait=True):
            yield beside
    finally:
        shutil.rmtree(beside, ignore_errors=True)


@contextmanager
def _held(folder: Path, *, wait: bool = False) -> Iterator[bool]:
    """Whether this run could take hold of a folder. A killed run lets go of what it held.

    Where the system cannot hold folders (Windows, some network disks), one that is an hour old counts as let go.
    """
    if sys.platform == "win32":
        yield _is_old(folder)
        return
    opened = os.open(folder, os.O_RDONLY)
    try:
        fcntl.flock(opened, fcntl.LOCK_EX | (0 if wait else fcntl.LOCK_NB))
        held = True
    except BlockingIOError:
        held = False
    except OSError:
        held = _is_old(folder)
    try:
        yield held
    finally:
        os.close(opened)


def _is_old(folder: Path) -> bool:
    return time.time() - folder.stat().st_mtime > _AN_HOUR


def _clear_leftovers(target: Path) -> None:
    """Away with what a killed run left beside the folder; the handbook that it had moved aside goes back first."""
    for left in target.parent.glob(glob.escape(f"{_BESIDE}{target.name}-") + "?" * 8):
        with _held(left) as ours:
            # An empty one may belong to a run that is just about to take hold of it.
            if not ours or not (any(left.iterdir()) or _is_old(left)):
                continue
            if (left / _BEFORE).is_dir() and not target.exists():
                (left / _BEFORE).rename(target)
            shutil.rmtree(left, ignore_errors=True)
