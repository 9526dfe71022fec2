"""Lock files: one process at a time writes, and a killed process lets go at once.

The lock file is removed on release, so nothing stays beside what was written. A process that waited on a removed lock
file notices, and takes the new one.
"""

from __future__ import annotations

import errno
import os
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

if sys.platform == "win32":
    import msvcrt
else:
    import fcntl

#: Errors of a lock that another process holds, or that was not freed for so long that Windows gave up.
_BUSY = (errno.EACCES, errno.EAGAIN, errno.EDEADLK, getattr(errno, "EDEADLOCK", errno.EDEADLK))


@contextmanager
def locked(path: Path, *, wait: bool = True) -> Iterator[bool | None]:
    """Hold the lock file `path`; yield True when it is held, False when another process has it.

    With `wait`, wait for that process. Yield None where the disk cannot lock files, as some network disks cannot.
    Raise `OSError` when the lock file cannot be made.
    """
    descriptor, held = _taken(path, wait)
    try:
        yield held
    finally:
        _let_go(path, descriptor, remove=held is not False)


def _taken(path: Path, wait: bool) -> tuple[int, bool | None]:
    """Open and lock `path` until the file that is locked is the one that has the name."""
    while True:
        descriptor = os.open(path, os.O_RDWR | os.O_CREAT, 0o666)
        try:
            held = _lock(descriptor, wait)
            if not held or _is_named(path, descriptor):
                return descriptor, held
        except BaseException:
            os.close(descriptor)
            raise
        os.close(descriptor)


def _lock(descriptor: int, wait: bool) -> bool | None:
    while (held := _try_lock(descriptor, wait)) is False and wait:
        pass
    return held


def _try_lock(descriptor: int, wait: bool) -> bool | None:
    try:
        _system_lock(descriptor, wait)
    except OSError as error:
        return False if error.errno in _BUSY else None
    return True


def _system_lock(descriptor: int, wait: bool) -> None:
    if sys.platform == "win32":
        msvcrt.locking(descriptor, msvcrt.LK_LOCK if wait else msvcrt.LK_NBLCK, 1)
    else:
        fcntl.flock(descriptor, fcntl.LOCK_EX | (0 if wait else fcntl.LOCK_NB))


def _is_named(path: Path, descriptor: int) -> bool:
    """Whether `path` still names the file that is open; its last holder may have removed it meanwhile."""
    try:
        return os.path.samestat(path.stat(), os.fstat(descriptor))
    except FileNotFoundError:
        return False


def _let_go(path: Path, descriptor: int, *, remove: bool) -> None:
    """Remove the lock file and close it. Windows removes no open file, so there it is closed first."""
    if sys.platform == "win32":
        os.close(descriptor)
    try:
        if remove:
            path.unlink()
    except OSError:  # another process has it open, on Windows; or it is removed by the next run
        pass
    finally:
        if sys.platform != "win32":
            os.close(descriptor)
