"""Nothing about a patient leaves the file: no cell in the folder, the answer, a question sheet, a log or an error.

Every cell about a patient has the letters of `CANARY` in it; all that a run writes and says is searched for them.
"""

from __future__ import annotations

import csv
import io
import logging
import zipfile
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path

import openpyxl
import pytest
from appointment_book import CANARY, ENGLISH, SPANISH, Visit, book, csv_text, table
from asking import Answer, Ask
from test_calendars import calendar

from kitdocs.importing.kinds import appointments


def text(path: Path, rows: Sequence[Sequence[object]]) -> Path:
    path.write_text(csv_text(rows), "utf-8")
    return path


def workbook(path: Path, rows: Sequence[Sequence[object]]) -> Path:
    made = openpyxl.Workbook()
    for row in rows:
        made.worksheets[0].append(list(row))
    made.save(path)
    return path


def export(path: Path, columns: Mapping[str, Callable[[Visit], object]] = ENGLISH) -> Path:
    write = workbook if path.suffix == ".xlsx" else text
    return write(path, table(book(), columns))


def ics(path: Path) -> Path:
    path.write_bytes(calendar(book(weeks=3)).to_ical())
    return path


#: Exports in each form, and such as went wrong: no headings, a heading that is a cell, names in the column of types.
SOURCES: dict[str, Callable[[Path], Path]] = {
    "csv": lambda folder: export(folder / "appts.csv"),
    "es": lambda folder: export(folder / "citas.csv", SPANISH),
    "xlsx": lambda folder: export(folder / "appts.xlsx"),
    "ics": lambda folder: ics(folder / "appts.ics"),
    "no-headings": lambda folder: text(folder / "bare.csv", table(book())[1:]),
    "names-as-types": lambda folder: export(
        folder / "mixed.csv", {**ENGLISH, "Appt Type": lambda v: f"{v.type} {v.first} {v.last}"}
    ),
    "only-names": lambda folder: export(
        folder / "names.csv", {**ENGLISH, "Appt Type": lambda v: f"{v.first} {v.last}"}
    ),
    "names-as-chairs": lambda folder: export(
        folder / "who.csv", {**ENGLISH, "Operatory": lambda v: f"{v.first} {v.last}"}
    ),
    "names-as-outcomes": lambda folder: export(folder / "out.csv", {**ENGLISH, "Status": lambda v: f"late, {v.first}"}),
    "names-as-times": lambda folder: export(folder / "when.csv", {**ENGLISH, "Start Time": lambda v: v.first}),
    "schedule": lambda folder: export(folder / "schedule.csv"),
}


def everything(folder: Path) -> dict[str, bytes]:
    """The bytes of each file of a folder, and of each part of those that are archives; and their names."""
    found = {}
    for path in folder.rglob("*") if folder.is_dir() else [folder]:
        if path.is_file():
            found[str(path)] = path.read_bytes()
            if zipfile.is_zipfile(path):
                with zipfile.ZipFile(path) as archive:
                    found |= {f"{path}/{name}": archive.read(name) for name in archive.namelist()}
    return found


def assert_nobody(folder: Path, *answers: Answer, logged: str = "") -> None:
    for answer in answers:
        assert CANARY not in (answer.out + answer.err).lower()
    assert CANARY not in logged.lower()
    for name, data in everything(folder).items():
        assert CANARY.encode() not in data.lower() and CANARY not in name.lower(), name


def fill_in(sheet: Path) -> int:
    """Answer every question of a sheet: as suggested, else with the first choice. Return how many there are."""
    rows = list(csv.reader(io.StringIO(sheet.read_text("utf-8-sig"))))
    for row in rows[1:]:
        first = row[3].partition(" = ")[0].removeprefix("'")
        row[-1] = "y" if row[4] else first or "mirror"
    sheet.write_text(csv_text(rows), "utf-8")
    return len(rows) - 1


@pytest.mark.whole
@pytest.mark.parametrize("source", SOURCES)
def test_a_run_with_all_its_questions_and_answers_shows_nobody(
    ask: Ask, tmp_path: Path, source: str, caplog: pytest.LogCaptureFixture
) -> None:
    caplog.set_level(logging.DEBUG)
    file = SOURCES[source](tmp_path)
    out = tmp_path / "out"
    out.mkdir()
    answers = [
        ask("import", file, out / "dry", "--dry-run", "--all"),
        ask("import", file, out / "json", "--dry-run", "--json"),
        ask("import", file, out / "es", "--language", "es", "--all"),
        ask("import", file, out / "ours", "--ask", out / "questions.xlsx"),
        ask("import", file, out / "ours", "--ask", out / "questions.csv"),
    ]
    for _ in range(4):
        if not (out / "questions.csv").exists() or not fill_in(out / "questions.csv"):
            break
        assert_nobody(out)
        answers.append(ask("import", file, out / "ours", "--ask", out / "questions.csv", "--all", "--yes"))
    answers.append(ask("check", out / "ours"))
    assert_nobody(out, *answers, logged=caplog.text)
    assert all(answer.out for answer in answers)


@pytest.mark.whole
@pytest.mark.parametrize("kind", ["inventory", "chairs", "procedures", "cassettes", "appointments"])
@pytest.mark.parametrize("source", ["csv", "no-headings", "names-as-types"])
def test_an_export_that_is_taken_for_another_list_shows_nobody(
    ask: Ask, tmp_path: Path, source: str, kind: str
) -> None:
    """A person says which kind of list it is, wrongly."""
    out = tmp_path / "out"
    (out / "ours").mkdir(parents=True)
    file = SOURCES[source](tmp_path)
    (out / "ours" / "practice.yaml").write_text("name: Ours\n", "utf-8")
    memory = f"sheets:\n  bare: {kind}\n  appts: {kind}\n  mixed: {kind}\n"
    (out / "ours" / "import.yaml").write_text(memory, "utf-8")
    answers = [ask("import", file, out / "ours", "--ask", out / "questions.csv", "--all")]
    if (out / "questions.csv").exists():
        assert_nobody(out)
        fill_in(out / "questions.csv")
        answers.append(ask("import", file, out / "ours", "--ask", out / "questions.csv", "--all", "--yes"))
    assert_nobody(out, *answers)


def test_a_quick_run_shows_nobody(ask: Ask, tmp_path: Path) -> None:
    answer = ask("import", export(tmp_path / "appts.csv"), tmp_path / "ours", "--all")
    assert_nobody(tmp_path / "ours", answer)
    assert "column C" in answer.out


def test_a_mistake_of_kitdocs_quotes_no_cell(ask: Ask, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def stumble(rows: object, known: object) -> None:
        raise ValueError(f"cannot make sense of {rows}")

    monkeypatch.setattr(appointments, "meanings_of", stumble)
    answer = ask("import", export(tmp_path / "appts.csv"), tmp_path / "ours")
    assert answer.status == 3
    assert "this is a mistake of kitdocs: ValueError" in answer.err
    assert CANARY not in (answer.out + answer.err).lower()
