"""Worker process: answers one function call after the other on its standard streams, until they are closed.

It is started with nothing but the module search path, on every system in the same way, and loads only what the
functions need. Calls and answers are pickled; both ends are the same kitdocs.
"""

from __future__ import annotations

import os
import pickle
import re
import sys
import traceback
from pathlib import Path
from typing import Any, BinaryIO

from kitdocs.errors import KitdocsError

#: A worker that has used more memory than this (MB) ends after its answer: Typst keeps what it worked out, and has no
#: call to drop it.
MOST_MEMORY = 192


def serve() -> None:
    """Answer calls until the parent closes the stream or is gone."""
    calls, answers = sys.stdin.buffer, _own_stdout()
    try:
        while True:
            function, arguments, named = pickle.load(calls)
            pickle.dump((*_answer(function, arguments, named), _is_full()), answers)
            answers.flush()
    except (EOFError, OSError):
        return


def _own_stdout() -> BinaryIO:
    """Return the standard output for answers alone; whatever is printed goes to the error stream."""
    own = os.fdopen(os.dup(sys.stdout.fileno()), "wb")
    os.dup2(sys.stderr.fileno(), sys.stdout.fileno())
    return own


def _answer(function: Any, arguments: Any, named: Any) -> tuple[Any, Exception | None]:
    """Return the result, or the error with which the call ended."""
    try:
        return function(*arguments, **named), None
    except KitdocsError as error:
        return None, error
    except Exception:
        return None, RuntimeError(traceback.format_exc())


def _is_full() -> bool:
    """Whether this process has used so much memory that another one should go on. It has where nobody knows."""
    used = most_memory()
    return used is None or used > MOST_MEMORY


def most_memory() -> float | None:
    """Return the most memory that this process has used (MB); None where the system does not tell (Windows)."""
    try:
        status = Path("/proc/self/status").read_text("ascii")
    except OSError:
        return _most_memory_of_unix()
    # Linux counts what the parent used as `ru_maxrss` of a process that it starts; proc(5) VmHWM does not.
    peak = re.search(r"^VmHWM:\s*(\d+) kB", status, re.MULTILINE)
    return int(peak[1]) / 1024 if peak else _most_memory_of_unix()


def _most_memory_of_unix() -> float | None:
    try:
        import resource  # noqa: PLC0415
    except ImportError:
        return None
    used = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return used / (2**20 if sys.platform == "darwin" else 2**10)
