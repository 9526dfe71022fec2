"""Progress of work that takes longer than half a second, on the error stream, so that output stays clean."""

from __future__ import annotations

import time
from types import TracebackType

from rich.console import Console

PATIENCE_SECONDS = 0.5


class Progress:
    """Says each step once the work has gone on for half a second: a moving line on a terminal, else a line a step."""

    def __init__(self, console: Console) -> None:
        self._console = console
        self._began = 0.0
        self._status = console.status("", spinner="dots")

    def __enter__(self) -> Progress:
        self._began = time.monotonic()
        return self

    def __call__(self, step: str) -> None:
        """Say that `step` is being taken."""
        if self._console.is_terminal:
            self._status.update(f"{step} …")
            self._status.start()
        elif time.monotonic() - self._began > PATIENCE_SECONDS:
            self._console.print(f"{step} …", markup=False)

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._status.stop()
