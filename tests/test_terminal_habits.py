"""What people expect of any command: the folder they stand in, silence when asked, one line that names the step."""

from __future__ import annotations

import contextlib
import io
import os
import re
import subprocess
import sys
import time
from pathlib import Path

import pytest
from asking import Ask
from rich.cells import cell_len
from rich.console import Console

import kitdocs.planning.plan
from kitdocs.command.console import console, progress, say
from kitdocs.planning.plan import make_plan
from kitdocs.practice.model import StockLine, Visit
from kitdocs.practice.reading.reader import read_practice

STEP = "reading the folder and working out the figures"
_CONTROL = re.compile(r"\x1b\[[?0-9;]*[A-Za-z]")


@pytest.fixture
def here(ask: Ask, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A practice, in the folder in which the commands run."""
    monkeypatch.setattr(
        kitdocs.planning.plan, "make_plan", lambda practice, **how: make_plan(practice, **(how | {"days": 12}))
    )
    assert ask("start", tmp_path / "ours").status == 0
    monkeypatch.chdir(tmp_path / "ours")
    return tmp_path / "ours"


@pytest.mark.whole
@pytest.mark.parametrize(
    ("arguments", "status"),
    [
        (("check",), 0),
        (("plan",), 0),
        (("printed", "--date", "2026-11-25"), 0),
        (("changes",), 4),
        (("words", "it"), 0),
    ],
)
def test_without_a_folder_the_current_one_is_meant(
    ask: Ask, here: Path, arguments: tuple[str, ...], status: int
) -> None:
    unnamed = ask(*arguments)
    assert unnamed.status == status
    for written in [*here.glob("words.it.yaml"), *here.glob("printed/*")]:
        written.unlink()
    folder = (".",) if arguments[0] != "words" else ()
    named = ask(arguments[0], ".", *arguments[1:]) if folder else ask("words", ".", "it")
    assert (named.status, named.out) == (status, unnamed.out)


@pytest.mark.whole
def test_a_handbook_of_the_current_folder_is_written_beside_it(ask: Ask, here: Path) -> None:
    assert ask("handbook", "--to", "../out").status == 0
    assert (here.parent / "out" / "index.html").exists()


def test_start_fills_an_empty_current_folder_and_no_other(
    ask: Ask, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    assert ask("start").status == 0 and (tmp_path / "practice.yaml").exists()
    again = ask("start")
    assert again.status == 1 and "is not empty" in again.err


def test_a_current_folder_that_is_no_practice_is_told(
    ask: Ask, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.chdir(tmp_path)
    run = ask("check")
    assert run.status == 1 and "holds none of the files of a practice" in run.out


@pytest.mark.parametrize("quiet", ["--quiet", "-q"])
def test_quiet_says_nothing_where_nothing_is_wrong(ask: Ask, here: Path, quiet: str) -> None:
    for command in (("check",), ("words", "it"), ("start", here.parent / "another")):
        run = ask(*command, quiet)
        assert (run.status, run.out, run.err) == (0, "", ""), command


def test_quiet_still_says_what_is_wrong_and_answers(ask: Ask, here: Path) -> None:
    assert "stock.exam" in ask("plan", "--quiet", "--why", "stock.exam").out
    (here / "chairs.yaml").write_text("", "utf-8")
    run = ask("check", "--quiet")
    assert run.status == 1
    assert run.out.splitlines()[0].startswith("chairs.yaml:") and "error" not in run.out.splitlines()[-1]


def test_steps_are_named_on_one_line_that_goes_away() -> None:
    for width in (20, 33, 80):
        written = io.StringIO()
        with progress(Console(file=written, force_terminal=True, width=width, color_system=None)) as tell:
            for step in (STEP, "checking that the cards fit", "numbering the binder sheets"):
                tell(step)
                time.sleep(0.15)
        seen = _CONTROL.sub("", written.getvalue())
        assert seen.count("\n") == 1, "the cursor leaves the line once, and goes back to erase it"
        assert written.getvalue().endswith("\r\x1b[1A\x1b[2K")
        assert all(cell_len(frame) <= width for frame in re.split("[\r\n]", seen))
        assert "…" in seen


@pytest.mark.parametrize(("terminal", "quiet"), [(False, False), (True, True), (False, True)])
def test_no_step_is_named_where_no_person_watches_or_when_asked_not_to(terminal: bool, quiet: bool) -> None:
    written = io.StringIO()
    with progress(Console(file=written, force_terminal=terminal, width=80), quiet=quiet) as tell:
        tell(STEP)
        time.sleep(0.6)
        tell(STEP)
    assert written.getvalue() == ""


@pytest.mark.whole
@pytest.mark.skipif(sys.platform == "win32", reason="a terminal of POSIX systems")
def test_a_command_in_a_real_terminal_names_its_step_and_in_a_pipe_none() -> None:
    pty = pytest.importorskip("pty")
    command = [sys.executable, "-m", "kitdocs", "colours", "7"]
    ours, theirs = pty.openpty()
    env = {**os.environ, "TERM": "xterm", "COLUMNS": "40"}
    with subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=theirs, env=env) as running:
        os.close(theirs)
        written = b""
        with contextlib.suppress(OSError):  # the terminal is gone when the command has ended
            while part := os.read(ours, 1024):
                written += part
    os.close(ours)
    assert running.returncode == 0
    assert b"comparing colours" in written
    assert subprocess.run(command, capture_output=True, check=True).stderr == b""


def test_no_number_or_name_becomes_a_picture(capsys: pytest.CaptureFixture[str]) -> None:
    """A console of rich turns ``:100:``, as in a place in a file, into a sign."""
    say(console(), "sets.yaml:100:4: sets.core.name: 'Mirror :smile:'")
    console().print("sets.yaml:100:4 :tooth:", markup=False, soft_wrap=True)
    assert capsys.readouterr().out.splitlines() == [
        "sets.yaml:100:4: sets.core.name: 'Mirror :smile:'",
        "sets.yaml:100:4 :tooth:",
    ]


def test_the_plan_ends_with_a_question_that_it_answers(ask: Ask, here: Path) -> None:
    said = ask("plan", "--days", "12").out
    (id_,) = re.findall(r"--why ([a-z-]+)\.", said)
    assert id_ in read_practice(here).sets
    assert ask("plan", "--days", "12", "--why", id_).status == 0


def test_a_warning_is_printed_with_the_words_that_accept_it(ask: Ask, here: Path) -> None:
    """As the comments of a new folder promise: a person copies both from what `check` prints."""
    sets = here / "sets.yaml"
    sets.write_text(sets.read_text("utf-8").replace("[mirror, explorer]", "[mirror, explorer, weingart]"), "utf-8")
    procedures = here / "procedures.yaml"
    text = procedures.read_text("utf-8").replace("    bird-beak: 10%", "    weingart: never\n    bird-beak: 10%")
    procedures.write_text(text, "utf-8")
    (line,) = (line for line in ask("check").out.splitlines() if "warning" in line and "rides" in line)
    warned = re.search(r": (\S+): warning \(([a-z-]+)\): ", line)
    assert warned
    accepted = f"accepted:\n  - warning: {warned[2]}\n    at: {warned[1]}\n    reason: Rarely.\n"
    practice = here / "practice.yaml"
    practice.write_text(practice.read_text("utf-8") + accepted, "utf-8")
    assert "    accepted: Rarely." in ask("check").out.splitlines()


@pytest.mark.parametrize("stem", ["stock", "schedule"])
def test_a_table_is_explained_and_its_example_is_read(ask: Ask, here: Path, stem: str) -> None:
    said = ask("schema", f"{stem}.csv").out
    record = StockLine if stem == "stock" else Visit
    for name, field in record.model_fields.items():
        (told,) = re.findall(rf"^{name} +([A-Z].*(?:\n +.*)*)", said, re.MULTILINE)
        assert field.is_required() or "May be left out." in " ".join(told.split())
    (here / f"{stem}.csv").write_text(said.partition("\n\n")[2].partition("\n\n")[2], "utf-8")
    practice = read_practice(here)
    assert len(getattr(practice, stem)) == 2
    assert f"{stem}.csv" in ask("schema", "stok.csv").err
