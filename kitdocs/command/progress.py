"""Progress messages on the error stream, for work that takes longer than half a second."""

from __future__ import annotations

import time
from types import TracebackType

from rich.console import Console

PATIENCE_SECONDS = 0.5


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
