"""Console that a command writes to, plain lines on it, and progress on the error stream."""

from __future__ import annotations

import time
from collections.abc import Iterator
from contextlib import contextmanager
from types import TracebackType

from rich.console import Console

#: Least width of a window (columns); some programs report none at all.
NARROWEST = 20

PATIENCE_SECONDS = 0.5


def console(*, stderr: bool = False) -> Console:
    """Return the console that a command writes to, as wide as its window."""
    made = Console(stderr=stderr, highlight=False)
    return made if made.width >= NARROWEST else Console(stderr=stderr, highlight=False, width=NARROWEST)


@contextmanager
def trimmed(console: Console) -> Iterator[None]:
    """Trim the ends of the lines printed within, when they go to a file or another program."""
    if console.is_terminal:
        yield
        return
    with console.capture() as held:
        yield
    console.file.writelines(f"{line.rstrip()}\n" for line in held.get().splitlines())


def say(console: Console, text: str) -> None:
    """Print a line as it is, without markup; the window wraps it."""
    console.print(text, markup=False, soft_wrap=True)


class Progress:
    """Report each step once work has taken half a second: a spinner on a terminal, else one line per step."""

    def __init__(self, console: Console) -> None:
        self._console = console
        self._began = 0.0
        self._status = console.status("", spinner="dots")

    def __enter__(self) -> Progress:
        self._began = time.monotonic()
        return self

    def __call__(self, step: str) -> None:
        """Report that `step` has begun."""
        if self._console.is_terminal:
            self._status.update(f"{step} …")
            self._status.start()
        elif time.monotonic() - self._began > PATIENCE_SECONDS:
            self._console.print(f"{step} …", markup=False)

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._status.stop()
