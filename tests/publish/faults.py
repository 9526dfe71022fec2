"""Runs of `write_folder` that meet a fault at their n-th call that writes, each in a process of its own.

Started as ``python faults.py FOLDER STRATEGY``; prints one JSON object for each kind of fault and each n, until a run
meets no fault.
Python's audit events (PEP 578) tell of each call before it is made; what has no event is wrapped.
"""

from __future__ import annotations

import errno
import itertools
import json
import os
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from kitdocs.practice.problems import PublishError
from kitdocs.publish import folder
from kitdocs.publish.folder import write_folder
from kitdocs.publish.recovery import recover_all

BEFORE = {"index.html": b"before", "r/teal.html": b"teal"}
AFTER = {"index.html": b"after", "s/core.html": b"core"}
KINDS = ("kill", "error", "errors", "interrupt")
_EVENTS = {"os.mkdir", "os.rename", "os.remove", "os.rmdir", "os.chmod", "os.truncate", "os.link", "os.symlink"}
_FOR_WRITING = os.O_WRONLY | os.O_RDWR | os.O_CREAT | os.O_TRUNC
_KILLED, _FAILED, _INTERRUPTED = 9, 3, 4


class Faults:
    """Counts calls that write, and does what `kind` says at number `at`.

    * ``error``: the disk is full, once; ``errors``: from then on always
    * ``interrupt``: Ctrl-C
    * ``kill``: the process ends at once, without cleaning up
    """

    def __init__(self, kind: str, at: int) -> None:
        self.kind, self.at, self.count = kind, at, 0

    def call(self) -> None:
        self.count += 1
        if self.count < self.at or (self.count > self.at and self.kind != "errors"):
            return
        if self.kind == "kill":
            os._exit(_KILLED)
        if self.kind == "interrupt":
            raise KeyboardInterrupt
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    def audit(self, event: str, arguments: tuple[Any, ...]) -> None:
        if event in _EVENTS or (event == "open" and arguments[2] & _FOR_WRITING):
            self.call()

    def install(self, *, exchange: bool) -> None:
        """Meet faults from now on; for good, so only in a process that is thrown away."""
        swap = folder._exchange

        def fsync(_: int) -> None:
            self.call()

        def write_bytes(path: Path, content: bytes) -> int:
            with path.open("wb") as file:
                file.write(content[: len(content) // 2])
                file.flush()
                self.call()
                return file.write(content[len(content) // 2 :])

        def exchanged(one: Path, other: Path) -> bool:
            self.call()
            done = exchange and swap(one, other)
            self.call()
            return done

        os.fsync, Path.write_bytes, folder._exchange = fsync, write_bytes, exchanged  # type: ignore[method-assign, assignment]
        sys.addaudithook(self.audit)


def runs(parent: Path, strategy: str, kind: str) -> Iterator[dict[str, Any]]:
    """Yield what each run left, and what was there after the next command. The last run is the one without a fault."""
    for at in itertools.count(1):
        place = parent / f"{kind}-{at}"
        place.mkdir()
        os.environ["XDG_STATE_HOME"] = str(place / "state")
        if strategy != "new":
            write_folder(place / "work" / "out", BEFORE)
        status = _in_a_process(place / "work" / "out", Faults(kind, at), strategy)
        met = (place / "met").exists() or status == _KILLED
        (place / "met").unlink(missing_ok=True)
        after_fault = _files(place)
        said: list[str] = []
        recover_all(said.append)
        yield {
            "kind": kind,
            "at": at,
            "met": met,
            "status": status,
            "after_fault": after_fault,
            "recovered": _files(place),
            "said": said,
        }
        if not met:
            return


def _write(target: Path, faults: Faults, strategy: str) -> int:
    status = 0
    faults.install(exchange=strategy == "exchange")
    try:
        write_folder(target, AFTER)
    except PublishError:
        status = _FAILED
    except KeyboardInterrupt:
        status = _INTERRUPTED
    if faults.count >= faults.at:  # met, though it may have been of no consequence
        faults.kind, faults.at = "", sys.maxsize
        target.parent.with_name("met").touch()
    return status


def _in_a_process(target: Path, faults: Faults, strategy: str) -> int:
    child = os.fork()
    if child == 0:
        status = 99
        try:
            status = _write(target, faults, strategy)
        finally:
            os._exit(status)
    return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])


def _files(place: Path) -> dict[str, str]:
    """The files at the place, by path; and the folders beside the target, with nothing in them."""
    files = {
        path.relative_to(place).as_posix(): path.read_text("latin-1") for path in place.rglob("*") if path.is_file()
    }
    return {**files, **{path.relative_to(place).as_posix(): "" for path in place.glob("work/*") if path.is_dir()}}


if __name__ == "__main__":
    os.fsync = lambda fd: None  # a kill loses nothing that was written, so that nothing need wait for the disk
    for kind in KINDS:
        for found in runs(Path(sys.argv[1]), sys.argv[2], kind):
            print(json.dumps(found))
