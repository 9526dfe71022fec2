"""The format of a practice folder: an older one is read, told what is new and rewritten; a newer one is refused.

Format 1 is today's, and no step exists yet. Steps of the kinds that formats are made of (a key renamed, a value written
otherwise, one taken out) are put in by these tests. tests/formats/ keeps a folder of each format for ever: never edit
one.
"""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

import pytest
from bad_inputs import VALID

from kitdocs.cli import main
from kitdocs.document.parse import parse_blocks
from kitdocs.errors import KitdocsError
from kitdocs.importing.bringing import known_of
from kitdocs.practice import formats
from kitdocs.practice.editing.edits import GONE, Edit
from kitdocs.practice.formats import FormatChange, FormatStep, KeyRenamed
from kitdocs.practice.problems import PracticeError
from kitdocs.practice.reading.reader import read_practice
from kitdocs.practice.upgrading import upgrade
from kitdocs.revisions.inputs import inputs_kept
from kitdocs.starter import start
from kitdocs.workbook.texts import read_texts

KEPT = Path(__file__).parents[1] / "formats"
#: Sentences that exist, in place of a step's news.
NEWS = "problems.half-of-the-day"


def old_names(data: Mapping[str, Any]) -> Iterator[FormatChange]:
    """The step that these tests invent: chairs had `title`, opening hours were numbers, and there was a `version`."""
    for chair in data["chairs"]:
        yield FormatChange(stem="chairs", change=KeyRenamed(path=(chair, "title"), to="name"))
    day = data["practice"]["day"]
    if isinstance(day["opens"], int):
        yield FormatChange(stem="practice", change=Edit(path=("day", "opens"), value=f"{day['opens']:02}:00"))
    if "version" in data["practice"]:
        yield FormatChange(stem="practice", change=Edit(path=("version",), value=GONE))


@pytest.fixture
def second(monkeypatch: pytest.MonkeyPatch) -> int:
    """Let format 2 be the newest; the folder of `older` is in format 1."""
    monkeypatch.setattr(formats, "STEPS", (FormatStep(news=NEWS, changes=old_names),))
    return formats.newest()


@pytest.fixture
def older(tmp_path: Path, second: int) -> Path:
    folder = Path(shutil.copytree(VALID, tmp_path / "practice"))
    chairs = (folder / "chairs.yaml").read_text("utf-8")
    assert "name: " in chairs
    chairs = re.sub(r"^  name: (.*)$", r"  title:   \1   # as it is painted on the door", chairs, flags=re.MULTILINE)
    (folder / "chairs.yaml").write_bytes(chairs.replace("\n", "\r\n").encode())
    practice = (folder / "practice.yaml").read_text("utf-8")
    practice = practice.replace("opens: 08:30", "opens: 8    # the door").replace("day:", "version: 3\nday:")
    (folder / "practice.yaml").write_text(practice, "utf-8")
    return folder


def test_a_folder_of_an_older_format_is_read_and_each_step_told_once_with_what_is_new(older: Path) -> None:
    practice = read_practice(older)
    told = [problem for problem in practice.problems if problem.rule == "old-format"]
    assert [str(problem.message) for problem in told] == [
        "this folder is in format 1; new in format 2: is it the right half of the day? Half past one in the afternoon "
        "is 13:30"
    ]
    assert "kitdocs check --upgrade" in str(told[0].remedy)
    assert practice.settings.day.opens == 8 * 60 and practice.settings.format == 2
    assert [chair.name.in_language("en") for chair in practice.chairs.values()] == [
        chair.name.in_language("en") for chair in read_practice(VALID).chairs.values()
    ]


def test_a_problem_with_a_renamed_key_points_at_the_line_that_is_there(older: Path) -> None:
    chairs = (older / "chairs.yaml").read_bytes().decode()
    line = next(n for n, text in enumerate(chairs.splitlines(), 1) if "title:" in text)
    (older / "chairs.yaml").write_bytes(re.sub(r"title:   [^#]*", "title: 5   ", chairs, count=1).encode())
    with pytest.raises(PracticeError) as caught:
        read_practice(older)
    assert [(p.place.file, p.place.line) for p in caught.value.problems if p.severity == "error"] == [
        ("chairs.yaml", line)
    ]


def test_an_upgrade_changes_what_the_step_says_and_keeps_every_other_byte(older: Path) -> None:
    before = {path.name: path.read_bytes() for path in older.iterdir() if path.is_file()}
    done = upgrade(older)
    assert (done.before, done.after, list(done.texts)) == (1, 2, ["chairs.yaml", "practice.yaml"])
    after = {path.name: path.read_bytes() for path in older.iterdir() if path.is_file()}
    assert after["chairs.yaml"] == before["chairs.yaml"].replace(b"  title:   ", b"  name:   ")
    wanted = before["practice.yaml"].replace(b"opens: 8    # the door", b"opens: 08:00    # the door")
    wanted = wanted.replace(b"version: 3\n", b"").replace(b"Orthodontics\n", b"Orthodontics\nformat: 2\n")
    assert after["practice.yaml"] == wanted
    same = {name for name in before if name not in ("chairs.yaml", "practice.yaml")}
    assert {name: after[name] for name in same} == {name: before[name] for name in same}


def test_an_upgraded_folder_means_what_it_meant_and_is_not_upgraded_again(older: Path) -> None:
    before = read_practice(older)
    upgrade(older)
    after = read_practice(older)
    assert (after.chairs, after.settings, after.procedures) == (before.chairs, before.settings, before.procedures)
    assert [problem.rule for problem in after.problems] == []
    assert upgrade(older).texts == {}


def test_an_upgrade_that_was_killed_half_way_is_finished_by_the_next(
    older: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    whole = shutil.copytree(older, older.with_name("whole"))
    upgrade(Path(whole))

    def full(target: Path, content: bytes) -> None:
        if target.name == "practice.yaml":
            raise OSError(28, "No space left on device", str(target))
        target.write_bytes(content)

    with monkeypatch.context() as patch:
        patch.setattr("kitdocs.practice.upgrading.write_whole", full)
        with pytest.raises(KitdocsError, match=r"practice\.yaml: No space left"):
            upgrade(older)
    assert formats.format_of({}) == 1 and b"format:" not in (older / "practice.yaml").read_bytes()
    assert read_practice(older).settings.format == 2, "half upgraded, it is read all the same"
    upgrade(older)
    for path in Path(whole).iterdir():
        if path.is_file():
            assert (older / path.name).read_bytes() == path.read_bytes()


def test_nothing_is_written_into_an_older_folder_but_an_upgrade(older: Path) -> None:
    before = {path: path.read_bytes() for path in older.rglob("*") if path.is_file()}
    for refused in (read_texts, lambda folder: known_of(folder, {})):
        with pytest.raises(PracticeError, match="run 'kitdocs check --upgrade' in the folder first"):
            refused(older)
    assert {path: path.read_bytes() for path in older.rglob("*") if path.is_file()} == before


def test_the_command_upgrades_tells_what_is_new_and_goes_on_to_check(
    older: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    with pytest.raises(SystemExit):  # the plan of this small practice has errors of its own
        main(["check", str(older), "--upgrade"])
    said = capsys.readouterr().out
    assert said.splitlines()[:2] == [
        "rewrote chairs.yaml, practice.yaml: format 1 is now format 2",
        "new: is it the right half of the day? Half past one in the afternoon is 13:30",
    ]
    assert "Pebble Lane Orthodontics: " in said and "old-format" not in said


def test_a_folder_of_a_newer_format_is_not_upgraded_and_nothing_else_of_it_is_looked_at(tmp_path: Path) -> None:
    folder = Path(shutil.copytree(VALID, tmp_path / "practice"))
    text = (folder / "practice.yaml").read_text("utf-8")
    (folder / "practice.yaml").write_text(f"format: {formats.newest() + 1}\nkinds: of things\n{text}", "utf-8")
    (folder / "sets.yaml").write_text("later: [", "utf-8")
    for refused in (read_practice, upgrade, read_texts):
        with pytest.raises(PracticeError) as caught:
            refused(folder)
        assert [problem.rule for problem in caught.value.problems] == ["newer-format"]


def test_a_new_folder_says_the_newest_format(tmp_path: Path) -> None:
    start(tmp_path / "ours")
    assert f"\nformat: {formats.newest()}\n" in (tmp_path / "ours" / "practice.yaml").read_text("utf-8")


def test_a_folder_of_every_format_is_kept() -> None:
    assert sorted(path.name for path in KEPT.iterdir()) == [str(n) for n in range(1, formats.newest() + 1)]


@pytest.mark.parametrize("number", sorted(path.name for path in KEPT.iterdir()))
def test_a_kept_folder_is_read_and_says_what_it_said_when_it_was_printed(number: str) -> None:
    practice = read_practice(KEPT / number)
    others = [problem for problem in practice.problems if problem.rule != "old-format" and not problem.accepted]
    assert [str(problem) for problem in others] == []
    now = inputs_kept(practice)
    (run,) = practice.printed.runs.values()
    assert len(run.inputs) > 100
    assert {path: now.get(path) for path in run.inputs} == dict(run.inputs)


@pytest.mark.parametrize("number", sorted(path.name for path in KEPT.iterdir()))
def test_what_hangs_by_a_kept_record_is_read_word_for_word(number: str) -> None:
    (run,) = read_practice(KEPT / number).printed.runs.values()
    assert len(run.cards) >= 20
    for card in run.cards:
        lost: list[str] = []
        blocks = [*parse_blocks(card.front, "front", lost), *parse_blocks(card.back, "back", lost)]
        assert blocks and lost == [], card.card


@pytest.mark.whole
@pytest.mark.parametrize("number", sorted(path.name for path in KEPT.iterdir()))
def test_the_changes_of_a_kept_folder_can_be_told(number: str, tmp_path: Path) -> None:
    folder = shutil.copytree(KEPT / number, tmp_path / "practice")
    said = subprocess.run(
        [sys.executable, "-m", "kitdocs", "changes", str(folder)], capture_output=True, text=True, check=False
    )
    assert said.returncode in (0, 4), said.stdout + said.stderr
