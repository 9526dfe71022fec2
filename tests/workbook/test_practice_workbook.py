"""The workbook of a practice folder, read back by openpyxl, which is another library than the one that writes it."""

from __future__ import annotations

import io
import shutil
from pathlib import Path
from typing import Any

import pytest
import yaml
from asking import Ask
from openpyxl import load_workbook
from openpyxl.utils import range_boundaries

from kitdocs.document.catalog import built_in_catalog
from kitdocs.practice.kinds import DrawingKind
from kitdocs.workbook.carried import MARK, carried, unpacked
from kitdocs.workbook.texts import read_texts
from kitdocs.workbook.write import HEAD_ROWS, practice_workbook

EXAMPLE = Path("example_practice")
TEXTS = read_texts(EXAMPLE)


def opened(texts: dict[str, str], language: str = "en") -> Any:
    return load_workbook(io.BytesIO(practice_workbook(texts, built_in_catalog(language))))


BOOK = opened(TEXTS)


def sheet(book: Any, name: str) -> Any:
    """The sheet whose second row begins with that name."""
    return next(page for page in book.worksheets if page["A2"].value == name)


def records(page: Any) -> dict[Any, dict[str, Any]]:
    """The rows of a sheet by their first cell, each cell by its key."""
    keys = [cell.value for cell in page[2]]
    rows = page.iter_rows(min_row=HEAD_ROWS + 1, values_only=True)
    return {row[0]: dict(zip(keys[1:], row[1:], strict=True)) for row in rows if row[0] is not None}


@pytest.mark.parametrize("stem", ["chairs", "instruments", "cassettes", "sets", "pouches", "procedures"])
def test_every_value_of_a_file_stands_in_its_cell(stem: str) -> None:
    data = yaml.load(TEXTS[stem], yaml.BaseLoader)  # each scalar as it is written
    found = records(sheet(BOOK, stem))
    assert list(found) == list(data)
    for id_, record in data.items():
        for path, text in leaves(record):
            cell = found[id_][path]
            assert (float(cell) == float(text)) if isinstance(cell, int | float) else (cell == text), (id_, path)
        written = {path for path, _ in leaves(record)}
        assert {path for path, cell in found[id_].items() if cell is not None} == written


def leaves(record: Any, at: str = "") -> list[tuple[str, str]]:
    """The values of a record by path, a list or map that stands in one cell as one text."""
    found = []
    for key, value in record.items():
        path = f"{at}{key}"
        in_one = path.rpartition(".")[2] in ("needs", "drawer", "add_ons", "capacity", "opening")
        if isinstance(value, dict) and not in_one:
            found += leaves(value, f"{path}.")
        elif isinstance(value, dict):
            found.append((path, ", ".join(f"{name}: {part}" for name, part in value.items())))
        elif isinstance(value, list):
            items = [next(f"{k}: {v}" for k, v in i.items()) if isinstance(i, dict) else i for i in value]
            found.append((path, ", ".join(items)))
        else:
            found.append((path, value))
    return found


def test_settings_stand_below_each_other_and_tables_of_the_room_on_sheets_of_their_own() -> None:
    practice = {row[0]: row[2] for row in sheet(BOOK, "practice").iter_rows(min_row=4, values_only=True)}
    assert practice["day.opens"] == "08:00"
    assert practice["service"] == "95%"
    assert practice["labels.columns"] == 3
    assert practice["opening"] == "pliers: 8 mm, cutters: 7 mm, removers: 8 mm, locking: 14 mm"
    stages = records(sheet(BOOK, "room.stages"))
    assert stages["sterilize"]["chamber.diameter"] == "11 in"
    assert stages["wash"]["capacity"].startswith("slim: 18, medium: 10")
    assert records(sheet(BOOK, "practice.ask"))[2]["who.es"] == "Coordinación clínica"
    assert records(sheet(BOOK, "stock"))["mirror"] == {"on_hand": 44, "in_repair": 0}


@pytest.mark.parametrize("language", ["en", "es", "de"])
def test_every_column_has_a_heading_a_hint_and_a_comment(language: str) -> None:
    book = opened(TEXTS, language)
    for page in book.worksheets[1:-1]:
        across = page["C2"].value == "value"
        cells = [row[1] for row in page.iter_rows(min_row=4)] if across else page[1][1:]
        hints = [row[3] for row in page.iter_rows(min_row=4)] if across else page[3][1:]
        assert len(cells) > 1
        assert all(cell.value and cell.comment and len(cell.comment.text) > 30 for cell in cells), page.title
        assert all(cell.value for cell in hints)
        assert len({cell.value for cell in cells}) == len(cells), page.title


def test_a_german_heading_within_another_keeps_its_capital_letter() -> None:
    # SOURCES: official German spelling, § 55: nouns begin with a capital letter, wherever they stand.
    headings = [cell.value for cell in sheet(opened(TEXTS, "de"), "instruments")[1]]
    assert "Reparatur: Tage fort" in headings
    assert "Repair: days away" in [cell.value for cell in sheet(BOOK, "instruments")[1]]


def test_the_first_rows_and_column_stay_in_sight_and_are_printed_on_every_page() -> None:
    for page in BOOK.worksheets[1:-1]:
        assert page.freeze_panes in ("B4", "C4")
        assert page.print_title_rows == "$1:$3"
        assert page.print_title_cols == "$A:$A"
        assert page.page_setup.orientation == "landscape"
        assert page.sheet_properties.pageSetUpPr.fitToPage
        assert page.page_setup.fitToHeight in (0, "0")
        assert "&P" in page.oddFooter.right.text or "&P" in str(page.oddFooter.right)
    assert {page.page_setup.paperSize for page in BOOK.worksheets[1:-1]} == {1}


def choices(page: Any, cell: str) -> list[str]:
    """What can be chosen in a cell."""
    rule = next(rule for rule in page.data_validations.dataValidation if cell in rule.sqref)
    if rule.formula1.startswith('"'):
        return str(rule.formula1).strip('"').split(",")
    name, _, where = rule.formula1.lstrip("=").rpartition("!")
    left, top, right, bottom = range_boundaries(where.replace("$", ""))
    rows = BOOK[name.strip("'")].iter_rows(top, bottom, left, right, values_only=True)
    return [row[0] for row in rows if row[0] is not None]


def column(page: Any, key: str) -> str:
    return str(next(cell.column_letter for cell in page[2] if cell.value == key))


def test_the_words_and_ids_that_are_allowed_can_be_chosen_in_new_rows_too() -> None:
    sets, procedures, instruments = (sheet(BOOK, name) for name in ("sets", "procedures", "instruments"))
    for row in (4, 60):
        assert choices(sets, f"{column(sets, 'cassette')}{row}") == ["slim", "medium", "large"]
        assert choices(procedures, f"{column(procedures, 'set')}{row}") == list(yaml.safe_load(TEXTS["sets"]))
        drawings = choices(instruments, f"{column(instruments, 'drawing')}{row}")
        assert set(drawings) >= {"mouth-mirror", "other-plier", "wire-turret"}
        assert all(word in str(DrawingKind) for word in drawings)


def test_the_same_folder_gives_the_same_bytes_and_no_text_becomes_a_formula() -> None:
    words = built_in_catalog("en")
    texts = {**TEXTS, "sets": TEXTS["sets"].replace("Core set", "'=1+1'")}
    assert practice_workbook(texts, words) == practice_workbook(dict(reversed(texts.items())), words)
    assert records(sheet(opened(texts), "sets"))["core"]["name.en"] == "=1+1"
    for page in opened(texts).worksheets:
        assert not [cell.coordinate for row in page.iter_rows() for cell in row if cell.data_type == "f"]


def test_it_carries_the_files_that_it_was_made_from() -> None:
    hidden = BOOK["kitdocs"]
    assert hidden.sheet_state == "hidden"
    cells = [row[0] for row in hidden.iter_rows(max_col=1, values_only=True) if row[0]]
    assert unpacked(cells) == TEXTS
    long = {"sets": "".join(chr(33 + n * n % 90) for n in range(200_000))}
    assert unpacked(carried(long)) == long
    for wrong in ([], ["x"], [MARK, "x"], [MARK, *cells[1:-1]] if len(cells) > 2 else [MARK, cells[1][:-40]]):
        with pytest.raises(ValueError, match=r"no practice workbook|damaged"):
            unpacked(wrong)


def test_a_starter_folder_becomes_a_workbook_and_a_file_that_is_there_is_left_alone(ask: Ask, tmp_path: Path) -> None:
    assert ask("start", tmp_path / "ours").status == 0
    answer = ask("workbook", tmp_path / "ours", "--to", tmp_path / "p.xlsx", "--language", "es")
    assert answer.status == 0, answer
    before = (tmp_path / "p.xlsx").read_bytes()
    assert sheet(load_workbook(io.BytesIO(before)), "chairs").title == "Sillones"
    answer = ask("workbook", tmp_path / "ours", "--to", tmp_path / "p.xlsx")
    assert (answer.status, (tmp_path / "p.xlsx").read_bytes()) == (2, before)
    assert "exists, and may hold edits" in answer.err
    assert ask("workbook", tmp_path / "ours", "--to", tmp_path / "p.pdf").status == 2


def test_a_folder_with_errors_is_not_written(ask: Ask, tmp_path: Path) -> None:
    shutil.copytree(EXAMPLE, tmp_path / "ours")
    (tmp_path / "ours" / "sets.yaml").write_text("core: {name: Core}\n", "utf-8")
    answer = ask("workbook", tmp_path / "ours", "--to", tmp_path / "p.xlsx")
    assert answer.status == 1
    assert not (tmp_path / "p.xlsx").exists()
