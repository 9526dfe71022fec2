"""Terminal side of the preview: its address, and the result of each save."""

from __future__ import annotations

import io
import logging
import threading
from collections.abc import Iterator
from functools import partial
from pathlib import Path

import qrcode
from rich.console import Console
from watchfiles import Change, watch

from kitdocs.command.console import say
from kitdocs.command.problems_told import show_problems
from kitdocs.handbook.build_handbook import make_handbooks
from kitdocs.planning.plan import make_plan
from kitdocs.practice.reading.reader import read_practice
from kitdocs.publish.preview.builds import Build, Builder, LiveSite, Written
from kitdocs.publish.preview.server import LOOPBACK, PreviewServer, lan_address
from kitdocs.report.build_report import make_reports

#: Milliseconds of quiet after which a save counts as done: editors write a file in several steps.
QUIET_MS = 60
#: Seconds between two looks for a folder that has disappeared.
BACK_SECONDS = 0.25


def preview(console: Console, folder: Path, *, port: int, lan: bool, stop: threading.Event | None = None) -> None:
    """Show the handbook of `folder` until Ctrl-C (or `stop`), and update it with every save.

    Raises `PracticeError` when there is no such folder, `PublishError` when the port is taken, and `KitdocsError` when
    `lan` is set and there is no network. Problems in the files are shown, not raised.
    """
    if not folder.is_dir():
        read_practice(folder)  # reports what it is instead
    host = lan_address() if lan else LOOPBACK
    builder = Builder(partial(written, folder))
    live = LiveSite(builder.build())
    with PreviewServer(live, host=host, port=port) as server:
        threading.Thread(target=server.serve_forever, name="preview", daemon=True).start()
        _say_where(console, server.address, lan)
        _say_how_it_is(console, live.latest)
        for _ in _saves(folder, stop):
            live.show(builder.build())
            _say_how_it_is(console, live.latest)
        server.shutdown()


def written(folder: Path) -> Written:
    """Return what the preview shows of `folder`. Raises `PracticeError` when it has errors.

    The report leaves out its studies, which take longer than all the rest.
    """
    practice = read_practice(folder)
    plan = make_plan(practice)
    return Written(
        handbooks=make_handbooks(practice, plan), reports=make_reports(practice, plan, (), ()), problems=plan.problems
    )


def _saves(folder: Path, stop: threading.Event | None) -> Iterator[None]:
    """Yield once per save, until Ctrl-C or `stop`. A folder that disappears and returns is watched again."""
    logging.getLogger("watchfiles").setLevel(logging.ERROR)  # no message about Ctrl-C
    stop = stop or threading.Event()
    watched = _which(folder)
    while watched is not None:
        for changes in watch(
            folder,
            debounce=QUIET_MS * 10,
            step=QUIET_MS,
            stop_event=stop,
            raise_interrupt=False,
            recursive=True,
        ):
            yield
            # A new folder may get the number of the one that went: then only its deletion tells.
            if _which(folder) != watched or (Change.deleted, str(folder)) in changes:
                break
        else:
            return
        watched = _back(folder, stop)
        yield


def _which(folder: Path) -> tuple[int, int] | None:
    """Return the identity of the folder on disk, or None while there is none."""
    try:
        found = folder.stat()
    except OSError:
        return None
    return found.st_dev, found.st_ino


def _back(folder: Path, stop: threading.Event) -> tuple[int, int] | None:
    """Wait until the folder is back: a checkout or a sync tool may put a new one in its place.

    Return None when Ctrl-C or `stop` ends the wait.
    """
    try:
        while not folder.is_dir():
            if stop.wait(BACK_SECONDS):
                return None
    except KeyboardInterrupt:
        return None
    return _which(folder)


def _say_where(console: Console, address: str, lan: bool) -> None:
    say(console, f"preview at {address}; press Ctrl-C to stop")
    if lan:
        say(console, "anyone on this network can open it; to open it on a phone, scan:")
        console.print(_code(address), markup=False, highlight=False, soft_wrap=True)


def _code(address: str) -> str:
    """Return the QR code of an address as characters, light on dark as most terminals are."""
    drawn = qrcode.QRCode(border=2)
    drawn.add_data(address)
    text = io.StringIO()
    drawn.print_ascii(text, invert=True)
    return text.getvalue()


def _say_how_it_is(console: Console, build: Build) -> None:
    if build.good:
        pages = sum(path.endswith(".html") for path in build.changed)
        again = f"{pages} page{'' if pages == 1 else 's'} updated" if build.changed else "nothing changed"
        warnings = sum(not problem.accepted for problem in build.problems)
        noted = f"; {warnings} warning{'' if warnings == 1 else 's'}, see kitdocs check" if warnings else ""
        say(console, f"{again}{noted}")
        return
    if build.refused:
        say(console, build.refused)
    show_problems(console, [problem for problem in build.problems if problem.severity == "error"])
    if build.files:
        say(console, "showing the last good handbook until this is fixed")
