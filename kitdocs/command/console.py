"""Console that a command writes to, and the ways to write plain lines to it."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager

from rich.console import Console

#: Least width of a window (columns); some programs report none at all.
NARROWEST = 20


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
