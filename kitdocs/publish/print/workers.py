"""Worker processes: as many as there are cores, each with one function call at a time.

A call waits until a worker is free; of the calls that wait, the one with the lowest order is next. Workers are started
when they are needed and replaced when they have used much memory.
"""

from __future__ import annotations

import heapq
import itertools
import os
import pickle
import subprocess
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from functools import partial
from pathlib import Path
from threading import Condition
from typing import Any

from kitdocs.errors import PublishError
from kitdocs.publish.print.run import P, Run, T

#: A worker looks for modules where this process does, and nowhere else.
_PROGRAM = "import sys; sys.path[:] = sys.argv[1:]; from kitdocs.publish.print.worker import serve; serve()"


def usable_cores() -> int:
    """Return the number of processor cores that this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0))
    return os.cpu_count() or 1


class Workers:
    """At most `count` processes at once. Use as a context manager: at its end, none is left, finished or not."""

    def __init__(self, count: int | None = None) -> None:
        self._room = count or usable_cores()
        self._idle: list[_Worker] = []
        self._all: set[_Worker] = set()
        self._waiting: list[tuple[int, int]] = []
        self._tickets = itertools.count()
        self._changed = Condition()
        self._closed = False

    def __enter__(self) -> Workers:
        return self

    def __exit__(self, *_: object) -> None:
        with self._changed:
            self._closed = True
            workers, idle = set(self._all), self._idle
            self._changed.notify_all()
        for worker in workers:
            worker.kill()
        for worker in idle:
            worker.close()

    def run(self, order: int = 0) -> Run:
        """Return a `Run` that calls in a worker; of the calls that wait, the lowest `order` is first."""
        return partial(self._call, order)

    def _call(self, order: int, function: Callable[P, T], /, *args: P.args, **kwargs: P.kwargs) -> T:
        """Call the function in a worker. Raises its `KitdocsError`, or `PublishError` when the worker is killed."""
        with self._worker(order) as worker:
            result: T = worker.call(function, args, kwargs)
            return result

    @contextmanager
    def _worker(self, order: int) -> Iterator[_Worker]:
        worker = self._taken(order)
        try:
            yield worker
        finally:
            with self._changed:
                if worker.usable and not self._closed:
                    self._idle.append(worker)
                else:
                    self._all.discard(worker)
                    worker.kill()
                    worker.close()
                self._room += 1
                self._changed.notify_all()

    def _taken(self, order: int) -> _Worker:
        """Wait for a place and return the worker that is to fill it, an idle one if there is one."""
        ticket = (order, next(self._tickets))
        with self._changed:
            heapq.heappush(self._waiting, ticket)
            self._changed.wait_for(lambda: self._closed or (self._room > 0 and self._waiting[0] == ticket))
            self._waiting.remove(ticket)
            heapq.heapify(self._waiting)
            if self._closed:
                raise PublishError("stopped before all documents were rendered")
            self._room -= 1
            self._changed.notify_all()
            worker = self._idle.pop() if self._idle else _Worker()
            self._all.add(worker)
            return worker


class _Worker:
    """One process, and the pipes to it."""

    def __init__(self) -> None:
        self._process = subprocess.Popen(
            [sys.executable, "-c", _PROGRAM, *(str(Path(folder).absolute()) for folder in sys.path)],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            # Ctrl-C is for the parent, which ends its workers.
            start_new_session=True,
            creationflags=getattr(subprocess, "CREATE_NEW_PROCESS_GROUP", 0),
        )
        self.usable = True

    def call(self, function: Callable[..., Any], arguments: tuple[Any, ...], named: dict[str, Any]) -> Any:
        """Send a call and wait for its answer."""
        assert self._process.stdin and self._process.stdout
        self.usable = False
        try:
            pickle.dump((function, arguments, named), self._process.stdin)
            self._process.stdin.flush()
            result, error, full = pickle.load(self._process.stdout)
        except (EOFError, OSError, pickle.UnpicklingError) as ended:
            raise PublishError(_ended(self._process.wait())) from ended
        self.usable = not full
        if error:
            raise error
        return result

    def kill(self) -> None:
        """End the process at once: it holds nothing that anybody else needs. Whoever waits for its answer is told."""
        self._process.kill()
        self._process.wait()

    def close(self) -> None:
        """Close the pipes to an ended process. Nobody may be waiting for its answer."""
        for stream in (self._process.stdin, self._process.stdout):
            if stream:
                with suppress(OSError):
                    stream.close()


def _ended(status: int) -> str:
    how = f"signal {-status}" if status < 0 else f"status {status}"
    return (
        f"a process that renders documents ended before it had finished ({how}); "
        "perhaps the machine is short of memory: close other programs and try again"
    )
