"""Console that a command writes to, plain lines on it, and progress on the error stream."""

from __future__ import annotations

import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager

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


@contextmanager
def progress(console: Console) -> Iterator[Callable[[str], None]]:
    """Yield a function that reports each step once work has taken half a second.

    On a terminal a spinner names the step, elsewhere a line does.
    """
    began, status = time.monotonic(), console.status("", spinner="dots")

    def tell(step: str) -> None:
        if console.is_terminal:
            status.update(f"{step} …")
            status.start()
        elif time.monotonic() - began > PATIENCE_SECONDS:
            console.print(f"{step} …", markup=False)

    try:
        yield tell
    finally:
        status.stop()
