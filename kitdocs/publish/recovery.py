"""Interrupted publishing: a journal of the folders being written, and how a later run tidies up after a killed one.

A new handbook is made in a holder beside its target, and the names inside tell how far the run came:

* ``writing``: being filled; known by its list, which is written first
* ``ready``: whole; or, after the two folders were exchanged in one step, the handbook before
* ``before``: the handbook before, moved aside where two folders cannot be exchanged in one step

Who holds the target's lock file knows that no other run uses the holder. The journal, in the user's state folder, names
the targets, so that any command can tidy up.
"""

from __future__ import annotations

import glob
import hashlib
import os
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path

import platformdirs

from kitdocs.locking import locked
from kitdocs.publish.manifest import is_empty, is_whole, listed, remove_ours

Report = Callable[[str], None]

WRITING, READY, BEFORE = "writing", "ready", "before"
_BESIDE = ".kitdocs-"
_AN_HOUR = 3600.0


def lock_file(target: Path) -> Path:
    """The lock file that a run holds while it writes `target`."""
    return target.with_name(f"{_BESIDE}{target.name}.lock")


def holder_prefix(target: Path) -> str:
    """How a holder of `target` is named; eight characters follow."""
    return f"{_BESIDE}{target.name}-"


def holders(target: Path) -> list[Path]:
    """The holders beside `target`: its own, while it is being written, and those of killed runs."""
    return sorted(target.parent.glob(glob.escape(holder_prefix(target)) + "?" * 8))


@contextmanager
def in_journal(target: Path) -> Iterator[None]:
    """Name `target` in the journal until it is written. Without a state folder to write to, there is no journal."""
    entry = _journal() / hashlib.sha256(os.fsencode(target)).hexdigest()[:16]
    with suppress(OSError):
        entry.parent.mkdir(parents=True, exist_ok=True)
        entry.write_bytes(os.fsencode(target))
    try:
        yield
    finally:
        with suppress(OSError):
            if not (holders(target) or lock_file(target).exists()):
                entry.unlink(missing_ok=True)


def recover_all(report: Report) -> None:
    """Finish or take back what killed runs were writing. A folder that another run is writing is left to it."""
    with suppress(OSError):
        for entry in list(_journal().iterdir()):
            with suppress(OSError):
                _recover_named(entry, report)


def _recover_named(entry: Path, report: Report) -> None:
    """Tidy up after the run that made an entry of the journal."""
    target = Path(os.fsdecode(entry.read_bytes()))
    if not target.is_absolute() and _is_old(entry):
        entry.unlink()  # its run was killed before it did anything else
    if not target.is_absolute() or not target.parent.is_dir():
        return  # being written; or on a disk that is not connected
    with locked(lock_file(target), wait=False) as held:
        if held is not False:
            recover(target, report, alone=held is True)
            if not holders(target):
                entry.unlink(missing_ok=True)


def recover(target: Path, report: Report, *, alone: bool = True) -> None:
    """Tidy up beside `target`, whose lock the caller holds. Raise `OSError` when that is not possible.

    Where locks do not work, the caller is not known to be `alone`; then a holder counts as left when it is an hour old.
    """
    for holder in holders(target):
        if alone or _is_old(holder):
            tidy(holder, target, report)


def _is_old(path: Path) -> bool:
    return time.time() - path.stat().st_mtime > _AN_HOUR


def tidy(holder: Path, target: Path, report: Report) -> None:
    """Bring the handbook before back when its place is free, and remove the rest of `holder` as far as it is ours.

    Anything else is kept beside the target and reported. Raise `OSError` when something cannot be moved or deleted.
    """
    before = holder / BEFORE
    if before.is_dir() and is_whole(before) and not target.is_symlink() and _is_free(target):
        before.rename(target)
        report(f"{target} is again as it was before the new handbook was put in its place")
    for part in sorted(holder.iterdir()):
        known = part.name in (WRITING, READY, BEFORE) and part.is_dir() and not part.is_symlink()
        replaced = part.name != BEFORE or listed(target) is not None or not is_whole(part)
        if not (known and replaced and remove_ours(part, half=part.name == WRITING)):
            _keep(part, target, report)
    holder.rmdir()


def _is_free(target: Path) -> bool:
    """Whether a folder can be moved to `target`. An empty one is removed for it."""
    return not target.exists() or (target.is_dir() and is_empty(target) and remove_ours(target))


def _keep(part: Path, target: Path, report: Report) -> None:
    """Move what is not proven to be kitdocs' own beside the target, under a name that says so."""
    for number in range(1, 1000):
        kept = target.with_name(f"{target.name}-not-by-kitdocs-{number}")
        if not (kept.exists() or kept.is_symlink()):
            break
    part.rename(kept)
    report(f"{kept} holds files that stood in {target.name} and that kitdocs did not write, or not as they are now")


def _journal() -> Path:
    return platformdirs.user_state_path("kitdocs", appauthor=False) / "journal"
