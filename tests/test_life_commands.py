"""`kitdocs printed` and `kitdocs changes`, as somebody types them, and two people's records merged by git."""

from __future__ import annotations

import io
import json
import os
import shutil
import subprocess
from collections.abc import Mapping
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pypdfium2 as pdfium
import pytest
from asking import Answer, Ask
from editing import edit

import kitdocs.planning.plan
from kitdocs.cache import Cache
from kitdocs.command.boundary import OUT_OF_DATE, PROBLEMS
from kitdocs.command.kept import BuiltHandbook, write_handbook
from kitdocs.handbook.build_handbook import make_handbooks
from kitdocs.planning.plan import Plan, make_plan
from kitdocs.practice.last_handbook import LAST_HANDBOOK, editions_of_last_handbook, remember_handbook
from kitdocs.practice.model import Practice
from kitdocs.practice.reading.reader import read_practice

pytestmark = pytest.mark.whole

EXAMPLE = Path(__file__).parent.parent / "example_practice"


def few_days(practice: Practice, **how: Any) -> Plan:
    return make_plan(practice, days=12, **how)


@pytest.fixture(autouse=True)
def _a_plan_of_few_days(monkeypatch: pytest.MonkeyPatch) -> None:
    """The figures do not matter here, and a thousand days take two seconds a command."""
    monkeypatch.setattr(kitdocs.planning.plan, "make_plan", few_days)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """The example in one language."""
    copy = Path(shutil.copytree(EXAMPLE, tmp_path / "practice"))
    edit(copy / "practice.yaml", "languages: [en, es]", "languages: [en]")
    return copy


def runs(folder: Path) -> list[str]:
    return sorted(file.name for file in (folder / "printed").iterdir())


def plain(answer: Answer) -> Any:
    return json.loads(answer.out)


def test_before_the_first_printing_there_is_nothing_to_exchange(folder: Path, tmp_path: Path, ask: Ask) -> None:
    out = tmp_path / "exchange.pdf"
    told = ask("changes", folder, "--print", out)
    assert told.status == OUT_OF_DATE
    assert "kitdocs printed" in told.out and "wrote" not in told.out
    assert not out.exists()


def test_what_was_recorded_is_current_until_the_folder_changes(folder: Path, ask: Ask) -> None:
    nothing_yet = ask("changes", folder)
    assert nothing_yet.status == OUT_OF_DATE
    assert "no print run is recorded yet" in nothing_yet.out
    first = ask("printed", folder, "--by", "lead", "--date", "2026-11-25")
    assert first.status == 0
    assert "printed and posted: " in first.out and len(first.out.splitlines()) <= 4
    (name,) = runs(folder)
    assert name.startswith("2026-11-25-") and name in first.out
    before = (folder / "printed" / name).read_bytes()
    again = ask("printed", folder, "--by", "somebody else")
    assert again.status == 0 and "nothing new to record" in again.out
    assert runs(folder) == [name]
    current = ask("changes", folder)
    assert current.status == 0
    assert "printed on 2026-11-25 by lead: everything posted is current" in current.out

    edit(folder / "chairs.yaml", "drawer: {bends: auto, ties: auto, hard", "drawer: {bends: 6, ties: auto, hard")
    edit(folder / "chairs.yaml", "colour: teal", "colour: {name: sea green, hex: '#1d7f5a'}")
    told = ask("changes", folder)
    assert told.status == OUT_OF_DATE
    lines = told.out.splitlines()
    card = lines.index("replace: Refill: Chair 1 · Sea green")
    assert lines[card + 2].startswith("  Colour: Teal → Sea green; Bending pouch ")
    assert not any("Chair 5" in line for line in lines if line.startswith("replace:"))
    assert "chairs.chair-1.drawer.bends" in told.out
    assert (folder / "printed" / name).read_bytes() == before, "a record is never changed"


def test_a_job_can_tell_what_is_out_of_date_from_what_cannot_be_read(folder: Path, ask: Ask) -> None:
    assert (OUT_OF_DATE, PROBLEMS) == (4, 1)
    assert ask("changes", folder, "--json").status == OUT_OF_DATE
    edit(folder / "procedures.yaml", "set: core", "set: croe")
    unread = ask("changes", folder, "--json")
    assert unread.status == PROBLEMS and any("'croe'" in told["message"] for told in plain(unread)["problems"])
    (folder / "practice.yaml").unlink()
    assert ask("changes", folder).status == PROBLEMS


def test_another_program_reads_the_same(folder: Path, ask: Ask) -> None:
    recorded = plain(ask("printed", folder, "--json", "--date", "2026-11-25", "--cards", "r/chair-1,drawer"))
    assert {card["card"].split("/")[0] for card in recorded["cards"]} == {"r", "drawer"}
    assert all(card["sheets"] for card in recorded["cards"])
    edit(folder / "chairs.yaml", "drawer: {bends: auto, ties: auto, hard", "drawer: {bends: 6, ties: auto, hard")
    answer = ask("changes", folder, "--json")
    told = plain(answer)
    assert answer.status == OUT_OF_DATE and told["current"] is False
    assert told["since"]["date"] == "2026-11-25"
    exchanges: Mapping[str, Any] = {each["card"]: each for each in told["exchanges"]}
    replaced = exchanges["r/chair-1"]
    assert replaced["action"] == "replace" and replaced["marked"] == ["front.1.bends"]
    assert replaced["sheets"] == next(card["sheets"] for card in recorded["cards"] if card["card"] == "r/chair-1")
    assert exchanges["s/core"]["action"] == "add", "it was not recorded yet"
    assert {"path": "chairs.chair-1.drawer.bends", "before": "auto", "after": 6} in told["inputs"]
    assert "par.chair-1.bends" in {figure["id"] for figure in told["figures"]}


def test_the_sheets_to_exchange_hold_what_changed_and_nothing_else(folder: Path, ask: Ask) -> None:
    ask("printed", folder, "--date", "2026-11-25")
    out = folder.parent / "swap.pdf"
    nothing = ask("changes", folder, "--print", out)
    assert nothing.status == 0 and "was not written" in nothing.out and not out.exists()
    edit(folder / "pages" / "welcome.md", "# ", "# Heartily ")
    told = ask("changes", folder, "--print", out)
    assert told.status == OUT_OF_DATE and f"wrote {out}" in told.out
    document = pdfium.PdfDocument(io.BytesIO(out.read_bytes()))
    pages = [page.get_textpage().get_text_bounded() for page in document]
    text = " ".join(" ".join(pages).split())
    assert "Heartily" in text
    assert "How a pouch is packed" not in text, "no wall card is printed anew"
    assert len(pages) < 20


def test_packs_that_change_places_are_told_listed_and_done_with(folder: Path, ask: Ask) -> None:
    ask("printed", folder, "--date", "2026-11-25")
    for before, after in (("place: A3", "place: there"), ("place: A4", "place: A3"), ("place: there", "place: A4")):
        edit(folder / "pouches.yaml", before, after)
    out = folder.parent / "swap.pdf"
    told = ask("changes", folder, "--print", out)
    assert "2 labels to take off, 2 labels to put on" in told.out.splitlines()[0]
    assert "Trimming pouch: take off 1, put on 1. Moves from A3 to A4." in told.out
    with pdfium.PdfDocument(out.read_bytes()) as document:
        listed = " ".join(document[n].get_textpage().get_text_bounded() for n in range(2))
    assert "Moves from A3 to A4." in listed and "Moves from A4 to A3." in listed
    with pdfium.PdfDocument(out.with_name("swap.labels.pdf").read_bytes()) as document:
        printed = " ".join(document[0].get_textpage().get_text_bounded().split())
    assert printed.index("Interproximal strip pouch") < printed.index("Trimming pouch"), "places 1 and 2"
    ask("printed", folder, "--date", "2026-11-26")
    assert ask("changes", folder).status == 0


def test_a_record_says_what_it_does_not_hold(folder: Path, ask: Ask) -> None:
    ask("printed", folder, "--date", "2026-11-25", "--cards", "labels")
    told = ask("changes", folder)
    assert "no print run is recorded" not in told.out
    assert "nothing is recorded as printed in en, so all of it is new" in told.out
    ask("printed", folder, "--undo")
    ask("printed", folder, "--date", "2026-11-25")
    (name,) = runs(folder)
    file = folder / "printed" / name
    whole = file.read_text("utf-8")
    assert "after kitdocs wrote it" not in ask("changes", folder).out
    file.write_bytes(whole.replace("\n", "\r\n").encode())
    assert "after kitdocs wrote it" not in ask("changes", folder).out, "line ends of another system"
    file.write_text(whole[: whole.rindex("\n- card: ") + 1], "utf-8")
    told = ask("changes", folder)
    assert f"printed/{name} was edited or cut short after kitdocs wrote it" in told.out
    assert "no labels are recorded in en, so none are compared" in told.out
    assert plain(ask("changes", folder, "--json"))["not_recorded"] == {"cards": [], "labels": ["en"]}


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("printed", "--date", "25.11.2026"), "is not a day as in '2026-11-25'"),
        (("printed", "--cards", "r/chair-11"), "did you mean 'r/chair-1'?"),
        (("printed", "--cards", "by-picture"), "no card, kind or place is named 'by-picture'"),  # only on the site
        (("changes", "--print", "swap.docx"), "is not a PDF file name"),
    ],
)
def test_wrong_use_is_told_and_nothing_is_written(
    folder: Path, ask: Ask, arguments: tuple[str, ...], said: str
) -> None:
    answer = ask(arguments[0], folder, *arguments[1:])
    assert answer.status == 2
    assert said in " ".join(answer.err.replace("│", " ").split())
    assert not (folder / "printed").exists()


def test_a_folder_that_cannot_be_written_to_is_told(folder: Path, ask: Ask) -> None:
    (folder / "printed").mkdir()
    (folder / "printed").chmod(0o500)
    if os.access(folder / "printed", os.W_OK):
        pytest.skip("this user may write everywhere")
    answer = ask("printed", folder)
    assert answer.status == 1 and "nothing was recorded" in answer.err


@pytest.mark.skipif(shutil.which("git") is None, reason="git is not installed")
def test_two_peoples_records_of_one_day_merge_without_a_conflict(folder: Path, tmp_path: Path, ask: Ask) -> None:
    """Real git: one hangs the wall cards, the other the drawers' lists; both record it, and both are merged."""
    git(folder, "init", "--quiet", "--initial-branch", "main")
    commit(folder, "as it is")
    other = tmp_path / "other"
    git(tmp_path, "clone", "--quiet", str(folder), str(other))
    for place, where, by in ((folder, "wall", "lead"), (other, "drawer", "assistant")):
        assert ask("printed", place, "--cards", where, "--by", by, "--date", "2026-11-25").status == 0
        commit(place, f"{where} printed")
    git(folder, "pull", "--quiet", "--no-rebase", "--no-edit", str(other), "main")
    assert len(runs(folder)) == 2
    record = read_practice(folder).printed
    assert {run.by for run in record.runs.values()} == {"lead", "assistant"}
    assert {hung.card.place for hung in record.posted.values()} == {"wall", "drawer"}
    assert len(record.latest) == 2
    ask("printed", folder, "--by", "lead", "--date", "2026-11-25")
    joined = read_practice(folder).printed
    assert len(joined.latest) == 1 and set(joined.runs[joined.latest[0]].follows) == set(record.runs)
    assert ask("changes", folder).status == 0


def git(where: Path, *arguments: str) -> None:
    names = ("AUTHOR", "COMMITTER")
    who = {f"GIT_{name}_{what}": value for name in names for what, value in (("NAME", "t"), ("EMAIL", "t@example.org"))}
    alone = {"GIT_CONFIG_GLOBAL": os.devnull, "GIT_CONFIG_NOSYSTEM": "1"}
    subprocess.run(["git", *arguments], cwd=where, env={**os.environ, **who, **alone}, check=True, capture_output=True)


def commit(where: Path, message: str) -> None:
    git(where, "add", "--all")
    git(where, "commit", "--quiet", "--message", message)


def test_the_last_record_can_be_taken_back(folder: Path, ask: Ask) -> None:
    nothing = ask("printed", folder, "--undo")
    assert nothing.status == 1 and "nothing is recorded" in nothing.err
    ask("printed", folder, "--by", "lead", "--date", "2026-11-25", "--cards", "wall")
    first = {file.name: file.read_bytes() for file in (folder / "printed").iterdir()}
    assert "--undo takes this back" in ask("printed", folder, "--date", "2026-11-26").out
    assert len(runs(folder)) == 2
    assert ask("printed", folder, "--undo", "--by", "lead").status == 2
    taken = ask("printed", folder, "--undo").out
    assert taken.startswith("took back printed/2026-11-26-") and "what was recorded before it counts again" in taken
    assert {file.name: file.read_bytes() for file in (folder / "printed").iterdir()} == first
    assert plain(ask("printed", folder, "--undo", "--json")) == {"taken_back": f"printed/{next(iter(first))}"}
    assert runs(folder) == [] and ask("changes", folder).status == OUT_OF_DATE


def test_of_two_last_records_none_is_taken_back(folder: Path, ask: Ask) -> None:
    """Two people recorded, and git merged it: which is wrong, only they know."""
    ask("printed", folder, "--date", "2026-11-25", "--cards", "wall")
    (one,) = runs(folder)
    aside = (folder / "printed" / one).rename(folder / "aside")
    ask("printed", folder, "--date", "2026-11-26", "--cards", "drawer")
    aside.rename(folder / "printed" / one)
    refused = ask("printed", folder, "--undo")
    assert refused.status == 1 and one in refused.err and len(runs(folder)) == 2


def editions(folder: Path) -> dict[str, str]:
    practice = read_practice(folder)
    books = make_handbooks(practice, few_days(practice))
    return {f"{book.language} {card.id}": card.edition for book in books for card in book.kept}


def test_without_a_handbook_that_is_known_it_is_asked_too(folder: Path, ask: Ask) -> None:
    (folder / LAST_HANDBOOK).unlink(missing_ok=True)  # somebody may have made a handbook of the example
    told = ask("printed", folder, "--cards", "wall", "--date", "2026-11-25")
    assert f"no handbook made of {folder} is known, so only you know how" in told.err and len(runs(folder)) == 1
    (folder / LAST_HANDBOOK).write_text("[1", "utf-8")
    assert "is known, so only you" in ask("printed", folder, "--cards", "drawer", "--date", "2026-11-25").err


def test_the_handbook_command_keeps_its_editions_in_the_folder(folder: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Only when the handbook is written. A folder that is locked is no mistake: it takes no record either."""
    built = BuiltHandbook(files={"cards.json": b"{}"}, editions=editions(folder), cards=1, problems=())
    monkeypatch.setattr("kitdocs.command.kept.build_handbook", lambda *_: built)
    write_handbook(folder, folder.parent / "out", Cache(None), lambda step: None, lambda sentence: None)
    assert editions_of_last_handbook(folder) == built.editions
    monkeypatch.setattr("kitdocs.practice.last_handbook.write_whole", no_room)
    remember_handbook(folder, {"en r/chair-1": "ABCDE"})
    assert editions_of_last_handbook(folder) == built.editions


def no_room(*_: object) -> None:
    raise OSError("no room")


def test_sheets_to_replace_count_as_made_now(folder: Path, ask: Ask, tmp_path: Path) -> None:
    remember_handbook(folder, editions(folder))
    ask("printed", folder, "--date", "2026-11-25")
    edit(folder / "chairs.yaml", "colour: teal", "colour: {name: sea green, hex: '#1d7f5a'}")
    assert "not as in the last handbook" in ask("printed", folder, "--date", "2026-11-26").err
    ask("printed", folder, "--undo")
    assert ask("changes", folder, "--print", tmp_path / "replace.pdf").status == OUT_OF_DATE
    assert "last handbook" not in ask("printed", folder, "--date", "2026-11-26").err


@pytest.mark.parametrize("answer", [None, True, False])
def test_cards_that_are_not_those_of_the_last_handbook_are_asked_about(
    folder: Path, ask: Ask, monkeypatch: pytest.MonkeyPatch, tmp_path: Path, answer: bool | None
) -> None:
    """They may hang as they were. Where nobody can be asked, it is told, and recorded as before.

    What was printed is known without a cache, and in another place.
    """
    monkeypatch.setenv("KITDOCS_CACHE", "off")
    remember_handbook(folder, editions(folder))
    folder = folder.rename(tmp_path / "moved")
    assert "last handbook" not in ask("printed", folder, "--cards", "r/chair-1", "--date", "2026-11-25").err
    before = runs(folder)
    edit(folder / "chairs.yaml", "colour: teal", "colour: {name: sea green, hex: '#1d7f5a'}")
    if answer is not None:
        monkeypatch.setattr("kitdocs.command.printed.sys", SimpleNamespace(stdin=SimpleNamespace(isatty=lambda: True)))
        monkeypatch.setattr("kitdocs.command.printed.typer.confirm", lambda *_, **__: answer)
    told = ask("printed", folder, "--cards", "r/chair-1", "--date", "2026-11-26")
    assert "1 card of 1 not as in the last handbook" in told.err and "Refill: Chair 1 (en)" in told.err
    assert told.status == (1 if answer is False else 0)
    assert (runs(folder) == before) == (answer is False)
