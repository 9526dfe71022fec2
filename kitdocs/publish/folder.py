"""The all-or-nothing folder: written beside its place and swapped in, so that a reader never finds half a handbook.

Nothing is deleted but what the list in the folder (`manifest`) proves to be kitdocs' own. What a killed run leaves is
finished or taken back by the next one (`recovery`).
"""

from __future__ import annotations

import ctypes
import os
import stat
import sys
import tempfile
from collections.abc import Iterator, Mapping
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from pathlib import Path

from kitdocs.locking import locked
from kitdocs.practice.problems import PublishError, TargetError
from kitdocs.publish.manifest import MANIFEST, Stranger, is_empty, listed, manifest, strangers
from kitdocs.publish.recovery import (
    BEFORE,
    READY,
    WRITING,
    Report,
    holder_prefix,
    holders,
    in_journal,
    lock_file,
    recover,
    tidy,
)


def write_folder(target: Path, files: Mapping[str, bytes], report: Report = lambda sentence: None) -> bool:
    """Write `files` (relative POSIX path → content) as the folder `target`, whole or not at all.

    Return whether anything changed: a folder that holds just these files already is left as it is. `report` is called
    with a sentence when a file that is not kitdocs' own had to be moved, or a killed run was taken back.

    Raise `TargetError` when `target` holds anything that kitdocs did not write, or that was edited since, and
    `PublishError` when it cannot be written; in both cases what was there stays as it was.
    """
    target = settled(target)
    files = {MANIFEST: manifest(files), **files}
    refuse_foreign(target)
    try:
        if not holders(target) and _holds_just(target, files):
            return False
        target.parent.mkdir(parents=True, exist_ok=True)
        with in_journal(target), locked(lock_file(target)) as held:
            recover(target, report, alone=held is True)
            refuse_foreign(target)
            if _holds_just(target, files):
                return False
            _replace(target, files, report)
    except OSError as error:
        raise PublishError(_not_written(target, error)) from error
    return True


def settled(target: Path) -> Path:
    """Return where `target` really is, without ``..`` and links on the way. Raise `TargetError` when it is a link."""
    try:
        if target.is_symlink():
            raise TargetError(f"{target} is not a folder; name a new folder, or one that kitdocs wrote")
        return target.resolve()
    except (OSError, RuntimeError) as error:  # a link that leads to itself
        reason = getattr(error, "strerror", "") or error
        raise TargetError(f"{target} cannot be looked into: {reason}") from error


def refuse_foreign(target: Path) -> None:
    """Raise `TargetError` when `target` holds anything that kitdocs did not write, or that was edited since."""
    target = settled(target)
    try:
        found = list(_strangers(target)) if _is_folder(target) else []
    except OSError as error:
        raise TargetError(f"{target} cannot be looked into: {error.strerror}") from error
    if found:
        raise TargetError(_would_lose(target, found))
    if _is_inside(target):
        raise TargetError(f"you are in {target}, which is swapped as a whole; go up one folder and name it there")


def _is_folder(target: Path) -> bool:
    """Whether `target` is there; raise `TargetError` when it is no folder, `OSError` when that cannot be told."""
    try:
        mode = target.stat().st_mode  # `exists` and `is_dir` hide from Python 3.14 on that they cannot tell.
    except (FileNotFoundError, NotADirectoryError):
        return False
    if not stat.S_ISDIR(mode):
        raise TargetError(f"{target} is not a folder; name a new folder, or one that kitdocs wrote")
    return True


def _strangers(target: Path) -> Iterator[Stranger]:
    """Yield what would be lost with `target`."""
    ours = listed(target)
    if ours is not None:
        yield from strangers(target, ours)
    elif not is_empty(target):
        raise TargetError(f"{target} holds files, and kitdocs did not write them; name a new or empty folder")


def _would_lose(target: Path, found: list[Stranger]) -> str:
    first = next((stranger for stranger in found if not stranger.edited), found[0])
    if not first.edited:
        return f"{target} also holds {first.path}, which kitdocs did not write and would lose; move it away first"
    more = f" (and {len(found) - 1} more)" if len(found) > 1 else ""
    return (
        f"{target / first.path}{more} was changed since kitdocs wrote it, and that would be lost; "
        "move it away first, or delete it if nothing in it is yours"
    )


def _is_inside(target: Path) -> bool:
    """Whether the command was started in `target` or below: a terminal there would be left in a folder that is gone."""
    try:
        return Path.cwd().is_relative_to(target)
    except FileNotFoundError:  # it is gone already
        return False


def _holds_just(target: Path, files: Mapping[str, bytes]) -> bool:
    """Whether `target`, in which nothing is foreign, has each of the files."""
    try:
        return all((target / path).read_bytes() == content for path, content in files.items())
    except (FileNotFoundError, NotADirectoryError):
        return False


def _replace(target: Path, files: Mapping[str, bytes], report: Report) -> None:
    """Write the new folder in a holder beside `target` and swap it in."""
    with _holder(target, report) as holder:
        _fill(holder / WRITING, files)
        (holder / WRITING).rename(holder / READY)
        _swap(holder, target)
        _store(target.parent)


@contextmanager
def _holder(target: Path, report: Report) -> Iterator[Path]:
    """Make an empty folder beside `target`; in the end, tidy up what is in it."""
    holder = Path(tempfile.mkdtemp(prefix=holder_prefix(target), dir=target.parent))
    try:
        yield holder
    finally:
        try:
            tidy(holder, target, report)
        except OSError as error:
            report(f"{holder} could not be cleared away ({error.strerror}); the next run will do it")


def _fill(folder: Path, files: Mapping[str, bytes]) -> None:
    """Write the files, the list first: it tells what a killed run was writing."""
    folder.mkdir()
    for path in sorted(files, key=lambda path: path != MANIFEST):
        (folder / path).parent.mkdir(parents=True, exist_ok=True)
        (folder / path).write_bytes(files[path])
    # Together, because a disk stores many files at once in a tenth of the time that it needs for one after the other.
    with ThreadPoolExecutor(16) as several:
        list(several.map(_store, (*(folder / path for path in files), *{(folder / path).parent for path in files})))


def _store(path: Path) -> None:
    """Wait until a file or folder is on the disk. Windows stores its folders by itself."""
    if path.is_dir() and sys.platform == "win32":
        return
    opened = os.open(path, os.O_RDONLY if path.is_dir() else os.O_RDWR)
    try:
        os.fsync(opened)
    finally:
        os.close(opened)


def _swap(holder: Path, target: Path) -> None:
    """Put the new folder in the place of `target`, in one step where the system can exchange two folders.

    Raise `OSError`; when that happens between two steps, the handbook before is in the holder.
    """
    if target.exists() and not _exchange(holder / READY, target):
        target.rename(holder / BEFORE)
    if (holder / BEFORE).exists() or not target.exists():
        (holder / READY).rename(target)


def _exchange(one: Path, other: Path) -> bool:
    """Exchange two folders with renameat2(2): no moment in which either name is missing. False where there is none."""
    if not sys.platform.startswith("linux"):
        return False
    at_fdcwd, rename_exchange = -100, 2
    try:
        renameat2 = ctypes.CDLL(None, use_errno=True).renameat2
    except (OSError, AttributeError):
        return False
    return bool(renameat2(at_fdcwd, os.fsencode(one), at_fdcwd, os.fsencode(other), rename_exchange) == 0)


def _not_written(target: Path, error: OSError) -> str:
    if os.path.ismount(target):
        return f"{target} is a disk of its own; name a folder inside it"
    aside = [holder / BEFORE for holder in holders(target) if (holder / BEFORE).is_dir()]
    is_moved = aside and not target.exists()
    kept = (
        f"what was there is in {aside[0]}, and the next run puts it back" if is_moved else "what was there is untouched"
    )
    return f"could not write {target}: {error.strerror}; {kept}"
