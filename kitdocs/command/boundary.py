"""The outer boundary of the command: every error becomes words and an exit status, none a traceback.

Exit status 1: problems in the folder, or an output that cannot be written; 2: wrong use; 3: a mistake of kitdocs;
4: posted cards are out of date; 5: questions about lists are left.
"""

from __future__ import annotations

import atexit
import errno
import gc
import io
import sys
from collections.abc import Callable, Sequence
from typing import NoReturn

from kitdocs.command.console import console, say
from kitdocs.errors import KitdocsError, TargetError, mistake_of_kitdocs
from kitdocs.publish.recovery import recover_all

PROBLEMS, WRONG_USE, MISTAKE, OUT_OF_DATE, QUESTIONS_LEFT = 1, 2, 3, 4, 5

# Whatever is left when the process ends goes back to the system: the collector need not look at all of it once more.
atexit.register(gc.freeze)


def run(command: Callable[..., object], arguments: Sequence[str] | None) -> NoReturn:
    """Run the command and exit with its status. First take back what a killed run left half done."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            # Where × or ΔE cannot be encoded, print a question mark rather than fail.
            stream.reconfigure(errors="replace")
    as_json = "--json" in (arguments if arguments is not None else sys.argv)
    try:
        recover_all(_warn)
        command(args=list(arguments) if arguments is not None else None, standalone_mode=True)
        status = 0
    except SystemExit as ended:
        status = int(ended.code or 0)
    except KitdocsError as error:
        status = _report_known(error, as_json)
    except OSError as error:
        status = _unwritten(error)
    except Exception as error:
        status = _report(mistake_of_kitdocs(error), as_json, MISTAKE)
    sys.exit(_flushed(status))


def _report_known(error: KitdocsError, as_json: bool) -> int:
    from kitdocs.command.problems_told import problems_json, show_problems, summary
    from kitdocs.practice.problems import PracticeError

    if not isinstance(error, PracticeError):
        return _report(str(error), as_json, WRONG_USE if isinstance(error, TargetError) else PROBLEMS)
    if as_json:
        print(problems_json(error.problems))
    else:
        show_problems(console(), error.problems)
        say(console(), summary(None, error.problems))
    return PROBLEMS


def _report(message: str, as_json: bool, status: int) -> int:
    from kitdocs.command.problems_told import error_json

    if as_json:
        print(error_json(message))
    _warn(message)
    return status


def _warn(sentence: str) -> None:
    say(console(stderr=True), f"kitdocs: {sentence}")


def _flushed(status: int) -> int:
    """Flush the output and return the exit status. A full disk may show only here."""
    try:
        if sys.stdout:  # None when the caller closed it
            sys.stdout.flush()
    except OSError as error:
        return _unwritten(error)
    return status


def _unwritten(error: OSError) -> int:
    """Report why a file or the output could not be used, unless the reader of the output has closed the pipe."""
    if error.filename is not None:
        _warn(f"{error.filename}: {error.strerror or error}")
    elif error.errno != errno.EPIPE:
        _warn(f"cannot write the output: {error.strerror or error}")
    sys.stdout = io.StringIO()  # or the interpreter tries again at exit
    return PROBLEMS
