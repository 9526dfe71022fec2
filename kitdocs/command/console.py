"""Console that a command writes to, plain lines on it, and progress on the error stream."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager

from rich.console import Console
from rich.text import Text

#: Least width of a window (columns); some programs report none at all.
NARROWEST = 20

#: What stands before and after the name of a step: a spinner, a blank, and room for the cursor.
_AROUND_A_STEP = 3


def console(*, stderr: bool = False) -> Console:
    """Return the console that a command writes to, as wide as its window."""
    made = Console(stderr=stderr, highlight=False, emoji=False)
    made.width = max(made.width, NARROWEST)
    return made


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
def progress(console: Console, *, quiet: bool = False) -> Iterator[Callable[[str], None]]:
    """Yield a function that names the step that is at work, on one line of a terminal that goes away at the end.

    Without a step, the line goes away before: somebody is asked.
    Nothing is written when `quiet`, or where no person watches: to a file or another program.
    """
    status = console.status("", spinner="dots")

    def tell(step: str) -> None:
        if not step:
            status.stop()
        elif console.is_terminal and not quiet:
            line = Text(f"{step} …")
            line.truncate(max(console.width - _AROUND_A_STEP, 1), overflow="ellipsis")
            status.update(line)
            status.start()

    try:
        yield tell
    finally:
        status.stop()
