"""`kitdocs import` as a person runs it: into a new folder, again next month, with questions on a sheet."""

from __future__ import annotations

import json
from pathlib import Path

import openpyxl
import pytest
from appointment_book import book, csv_text, table
from asking import Ask

from kitdocs.importing.found import About
from kitdocs.importing.into_folder import import_lists
from kitdocs.importing.memory import memory_text, remembered
from kitdocs.practice.reading.folder import read_folder
from kitdocs.starter import start

ROWS: list[list[object]] = [
    ["Instrument", "Qty", "Length", "Unit price", "Rep phone"],
    ["weingarts", 12, '5 1/2"', 78, "(555) 201-3345"],
    ["Weingart Plier", 3, "140 mm", "$78", "(555) 201-3345"],
    ["DEC", 9, "12 cm", "119,50", "(555) 201-3345"],
    ["mirror", 40, 165, 9.5, "(555) 201-3345"],
    ["tweezers", 5, 150, 7, "(555) 201-3345"],
    ["gloves M", 400, None, 0.1, "(555) 201-3345"],
]


def inventory(path: Path, rows: list[list[object]] = ROWS) -> Path:
    book = openpyxl.Workbook()
    sheet = book.worksheets[0]
    for row in rows:
        sheet.append(row)
    book.save(path)
    return path


@pytest.fixture
def lists(tmp_path: Path) -> Path:
    return inventory(tmp_path / "inventory.xlsx")


def test_a_new_folder_holds_what_is_certain_and_the_status_says_that_questions_are_left(
    ask: Ask, lists: Path, tmp_path: Path
) -> None:
    answer = ask("import", lists, tmp_path / "ours")
    assert answer.status == 5
    found = read_folder(tmp_path / "ours").files
    assert list(found["instruments"].data) == ["weingart-plier", "distal-end-cutter", "mouth-mirror"]
    assert found["instruments"].data["weingart-plier"] == {
        "name": "Weingart plier",
        "drawing": "weingart-plier",
        "length": "5 1/2 in",
        "width": "50 mm",
        "price": 78,
    }
    assert {i: line["on_hand"] for i, line in found["stock"].data.items()} == {
        "weingart-plier": 15,
        "distal-end-cutter": 9,
        "mouth-mirror": 40,
    }
    assert "weingarts → weingart-plier" in answer.out
    assert "A7: gloves M (this is no instrument that is reprocessed)" in answer.out
    assert "E2:E7 (column E" in answer.out and "201-3345" not in answer.out
    assert "What is “tweezers”?  [other-tweezers]" in answer.out
    assert "# usual; measure yours" in (tmp_path / "ours" / "instruments.yaml").read_text("utf-8")


def test_what_check_says_of_a_new_folder_names_the_files_that_are_still_to_be_written(
    ask: Ask, lists: Path, tmp_path: Path
) -> None:
    ask("import", lists, tmp_path / "ours")
    problems = json.loads(ask("check", tmp_path / "ours", "--json").out)["problems"]
    errors = [problem for problem in problems if problem["severity"] == "error"]
    assert {problem["file"] for problem in errors} == {"chairs.yaml", "sets.yaml", "pouches.yaml", "procedures.yaml"}
    assert {problem["rule"] for problem in errors} == {"empty-file"}
    assert {problem["rule"] for problem in problems} - {"empty-file"} == {"from-starter"}, (
        "hours and room are no office's"
    )


@pytest.mark.parametrize("name", ["questions.xlsx", "questions.csv"])
def test_questions_are_answered_on_a_sheet_once_and_not_asked_again(
    ask: Ask, lists: Path, tmp_path: Path, name: str
) -> None:
    sheet, ours = tmp_path / name, tmp_path / "ours"
    answer = ask("import", lists, ours, "--ask", sheet)
    assert answer.status == 5 and f"Wrote {sheet} with 2 questions" in answer.out.replace("\n", "")
    fill_in(sheet, {"names": "y", "practice": "Riverside"})
    assert ask("import", lists, ours, "--answers", sheet).status == 0
    assert "other-tweezers" in (ours / "instruments.yaml").read_text("utf-8")
    before = {path.name: path.read_bytes() for path in ours.iterdir() if path.is_file()}
    again = ask("import", lists, ours)
    assert (again.status, "is open" in again.out or "are open" in again.out) == (0, False)
    assert {path.name: path.read_bytes() for path in ours.iterdir() if path.is_file()} == before
    assert remembered(ours)[0] == {("names", "tweezers"): "other-tweezers", ("practice", "name"): "Riverside"}


def fill_in(sheet: Path, answers: dict[str, str]) -> None:
    """Write answers into the last column, as a person does in a spreadsheet program; by the first word of the key."""
    if sheet.suffix == ".csv":
        lines = sheet.read_text("utf-8-sig").splitlines()
        kept = [lines[0]]
        for line in lines[1:]:
            answer = next(a for about, a in answers.items() if line.startswith(f'"[""{about}'))
            kept.append(line + answer)
        sheet.write_text("\n".join(kept), "utf-8")
        return
    book = openpyxl.load_workbook(sheet)
    rows = book.worksheets[0]
    assert rows.column_dimensions["A"].hidden
    for row in rows.iter_rows(min_row=2):
        row[5].value = next(a for about, a in answers.items() if str(row[0].value).startswith(f'["{about}'))
    book.save(sheet)


def test_an_answer_that_is_another_name_is_understood(ask: Ask, lists: Path, tmp_path: Path) -> None:
    sheet = tmp_path / "questions.xlsx"
    ask("import", lists, tmp_path / "ours", "--ask", sheet)
    fill_in(sheet, {"names": "college tweezers", "practice": "Riverside"})
    assert ask("import", lists, tmp_path / "ours", "--ask", sheet).status == 0
    stock = read_folder(tmp_path / "ours").files["stock"].data
    assert stock["cotton-plier"]["on_hand"] == 5


def test_an_answer_that_is_not_understood_stays_on_the_sheet_and_out_of_import_yaml(
    ask: Ask, lists: Path, tmp_path: Path
) -> None:
    sheet, ours = tmp_path / "questions.xlsx", tmp_path / "ours"
    ask("import", lists, ours, "--ask", sheet)
    fill_in(sheet, {"names": "carrot", "practice": "Riverside"})
    assert ask("import", lists, ours, "--ask", sheet).status == 5
    (row,) = openpyxl.load_workbook(sheet).worksheets[0].iter_rows(min_row=2, values_only=True)
    assert row[0] == '["names", "tweezers"]' and row[5] == "carrot"
    assert list(remembered(ours)[0]) == [("practice", "name")]


def test_what_the_folder_has_stays_until_somebody_says_so(ask: Ask, lists: Path, tmp_path: Path) -> None:
    ours = tmp_path / "ours"
    start(ours)
    text = (ours / "instruments.yaml").read_text("utf-8")
    (ours / "instruments.yaml").write_text(text.replace("  price: 78\n", "  price: 80  # agreed\n"), "utf-8")
    first = ask("import", lists, ours)
    assert "instruments.weingart.price: 80 → 78" in first.out and first.status == 5
    assert "  price: 80  # agreed\n" in (ours / "instruments.yaml").read_text("utf-8")
    assert "instruments.weingart.length" not in first.out  # 5 1/2 in is 140 mm, as far as people measure
    now = (ours / "instruments.yaml").read_text("utf-8")
    ask("import", lists, ours, "--yes")
    assert (ours / "instruments.yaml").read_text("utf-8") == now.replace("price: 80  # agreed", "price: 78  # agreed")
    assert read_folder(ours).files["stock"].data["weingart"]["on_hand"] == 15


def test_the_comments_and_records_of_a_folder_stay_where_they_are(ask: Ask, lists: Path, tmp_path: Path) -> None:
    ours = tmp_path / "ours"
    start(ours)
    before = (ours / "instruments.yaml").read_text("utf-8")
    ask("import", lists, ours)
    after = (ours / "instruments.yaml").read_text("utf-8")
    assert after.startswith(before.rstrip("\n")) and "\ndistal-end-cutter:\n" in after[len(before) :]


def test_a_dry_run_writes_nothing(ask: Ask, lists: Path, tmp_path: Path) -> None:
    answer = ask("import", lists, tmp_path / "ours", "--dry-run")
    assert "instruments.yaml: 3 new" in answer.out and "Nothing was written." in answer.out
    assert not (tmp_path / "ours").exists()


def test_import_yaml_is_a_file_of_a_practice(ask: Ask, tmp_path: Path) -> None:
    start(tmp_path / "ours")
    (tmp_path / "ours" / "import.yaml").write_text(memory_text({("names", "x"): "mirror"}, "kept"), "utf-8")
    assert read_folder(tmp_path / "ours").problems == []


def test_a_broken_import_yaml_is_told_with_its_line(ask: Ask, lists: Path, tmp_path: Path) -> None:
    start(tmp_path / "ours")
    (tmp_path / "ours" / "import.yaml").write_text("names: [\n", "utf-8")
    answer = ask("import", lists, tmp_path / "ours")
    assert answer.status == 1 and "import.yaml:" in answer.out


def test_everything_is_told_in_spanish(ask: Ask, lists: Path, tmp_path: Path) -> None:
    answer = ask("import", lists, tmp_path / "nuestra", "--language", "es")
    assert "¿Qué es «tweezers»?" in answer.out and "instrumentos y existencias" in answer.out
    found = read_folder(tmp_path / "nuestra").files
    assert found["instruments"].data["mouth-mirror"]["name"] == "Espejo bucal"
    assert found["practice"].data["languages"] == ["es"]


def test_json_tells_the_same_with_the_cells(ask: Ask, lists: Path, tmp_path: Path) -> None:
    told = json.loads(ask("import", lists, tmp_path / "ours", "--json").out)
    assert told["lists"] == [{"sheet": "inventory.xlsx, Sheet", "kind": "inventory"}]
    assert told["merged"][0] == {
        "written": "weingarts",
        "id": "weingart-plier",
        "sure": 1.0,
        "certain": True,
        "why": "every word of the name is known",
        "cells": ["inventory.xlsx, Sheet, A2"],
    }
    assert [question["about"] for question in told["questions"]] == [["names", "tweezers"], ["practice", "name"]]


@pytest.mark.parametrize(
    ("make", "says"),
    [
        (lambda folder: (folder / "x").write_text("hello"), "holds other files and no practice"),
        (lambda folder: None, ""),
    ],
)
def test_a_folder_with_other_things_is_left_alone(ask: Ask, lists: Path, tmp_path: Path, make, says: str) -> None:
    folder = tmp_path / "mine"
    folder.mkdir()
    make(folder)
    answer = ask("import", lists, folder)
    assert says in answer.err.replace("\n", " ")
    assert answer.status == (2 if says else 5)


def test_a_list_of_another_kind_is_asked_about_and_its_headings_too(ask: Ask, tmp_path: Path) -> None:
    rows: list[list[object]] = [["Herramienta", "Tengo"], ["espejo", 12], ["mosquito", 4]]
    file = inventory(tmp_path / "cosas.xlsx", rows)
    sheet, ours = tmp_path / "q.xlsx", tmp_path / "ours"
    assert ask("import", file, ours, "--ask", sheet).status == 1
    fill_in(sheet, {"sheets": "inventory", "practice": "Riverside"})
    sheet2 = tmp_path / "q2.xlsx"
    assert ask("import", file, ours, "--answers", sheet, "--ask", sheet2).status == 5
    fill_in(sheet2, {'columns", "inventory", "herramienta': "name", 'columns", "inventory", "tengo': "stock"})
    assert ask("import", file, ours, "--answers", sheet2).status == 0
    assert {i: n["on_hand"] for i, n in read_folder(ours).files["stock"].data.items()} == {
        "mouth-mirror": 12,
        "mosquito-forceps": 4,
    }


def test_an_unreadable_file_is_told_and_nothing_is_written(ask: Ask, tmp_path: Path) -> None:
    (tmp_path / "a.xlsx").write_bytes(b"PK\x03\x04 cut off")
    answer = ask("import", tmp_path / "a.xlsx", tmp_path / "ours")
    assert answer.status == 1 and "a.xlsx is damaged" in answer.err
    assert not (tmp_path / "ours").exists()


def test_lists_are_imported_from_python_with_the_answers_as_a_mapping(lists: Path, tmp_path: Path) -> None:
    brought = import_lists([str(lists)], str(tmp_path / "ours"), answers={("names", "tweezers"): "cotton-plier"})
    assert [doubt.about for doubt in brought.found.doubts] == [("practice", "name")] and not brought.needed
    assert read_folder(tmp_path / "ours").files["stock"].data["cotton-plier"]["on_hand"] == 5


def test_the_answer_is_short_and_all_of_it_is_there_when_asked_for(ask: Ask, tmp_path: Path) -> None:
    """What a figure rests on stands beside it in the folder; a name that is its own id is no match."""
    appointments = tmp_path / "appts.csv"
    appointments.write_text(csv_text(table(book())), "utf-8")
    lists = [inventory(tmp_path / "inventory.xlsx", [*ROWS[:2], ["howe plier", 2, None, None, None]]), appointments]
    answers: dict[About, str] = {("types", each): "new" for each in ("adj l", "adj s", "bond u l", "deband", "ret chk")}
    import_lists(lists, tmp_path / "ours", answers=answers)
    short, whole = (ask("import", *lists, tmp_path / "ours", "--dry-run", *more) for more in ((), ("--all",)))
    assert "95 % interval" in whole.out and "sentences about figures" not in whole.out
    assert "adj-l: booked for" in whole.out and "adj-l: booked for" not in short.out and "--all shows them" in short.out
    assert "weingarts → weingart-plier\n" in short.out and "howe plier →" not in short.out
    assert "95 % interval" in (tmp_path / "ours" / "procedures.yaml").read_text("utf-8")
    chairs = (tmp_path / "ours" / "chairs.yaml").read_text("utf-8")
    assert "# chosen for you; any other will do" in chairs and "measure yours" not in chairs
