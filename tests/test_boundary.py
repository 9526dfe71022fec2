"""The outer boundary: an error that nobody foresaw is one sentence that says so, with its place in the code."""

from __future__ import annotations

import json
import subprocess
import sys
from collections.abc import Iterator
from functools import partial
from pathlib import Path

import pytest
from asking import Ask
from editing import edit

from kitdocs.command.preview import written
from kitdocs.errors import mistake_of_kitdocs
from kitdocs.practice.model import Practice
from kitdocs.practice.problems import Problem
from kitdocs.publish.preview.builds import Builder


def broken_rule(practice: Practice) -> Iterator[Problem]:
    raise TypeError("'<=' not supported\nand a page of explanations")
    yield


@pytest.fixture
def with_a_broken_rule(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("kitdocs.practice.reading.reader.RULES", (broken_rule,))


@pytest.mark.usefixtures("with_a_broken_rule")
@pytest.mark.parametrize("command", ["check", "plan"])
def test_an_unforeseen_error_is_one_sentence_and_status_3(ask: Ask, started: Path, command: str) -> None:
    answer = ask(command, started)
    assert answer.status == 3
    said = " ".join(answer.err.split())
    assert "kitdocs: this is a mistake of kitdocs: TypeError: '<=' not supported (" in said
    assert "practice/reading/reader.py:" in said
    assert "Traceback" not in answer.out + answer.err
    assert "page of explanations" not in said


@pytest.mark.usefixtures("with_a_broken_rule")
def test_a_program_is_told_of_an_unforeseen_error_as_json(ask: Ask, started: Path) -> None:
    answer = ask("check", started, "--json")
    assert answer.status == 3
    assert "this is a mistake of kitdocs" in json.loads(answer.out)["error"]


@pytest.mark.whole
def test_the_preview_shows_an_unforeseen_error_and_goes_on(started: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    builder = Builder(partial(written, started))
    good = builder.build()
    with monkeypatch.context() as patched:
        patched.setattr("kitdocs.practice.reading.reader.RULES", (broken_rule,))
        spoilt = builder.build()
    assert (spoilt.good, spoilt.files) == (False, good.files)
    assert "this is a mistake of kitdocs: TypeError" in spoilt.refused
    edit(started / "pages" / "house-rules.md", "# ", "# Read me: ")
    assert builder.build().good


def test_a_lack_of_memory_is_no_mistake() -> None:
    assert mistake_of_kitdocs(MemoryError()).startswith("there is not enough memory")


@pytest.mark.whole
def test_a_file_that_cannot_be_used_is_named_and_not_taken_for_the_output(tmp_path: Path) -> None:
    program = (
        "import sys; from kitdocs.command.boundary import run\ndef command(**_): open(sys.argv[1])\nrun(command, [])"
    )
    done = subprocess.run(
        [sys.executable, "-c", program, str(tmp_path / "missing")], capture_output=True, text=True, check=False
    )
    assert done.returncode == 1
    assert "missing: No such file or directory" in " ".join(done.stderr.split())
