"""`kitdocs import practice.xlsx FOLDER`: shown, checked, asked, written. The workbook is edited by openpyxl."""

from __future__ import annotations

import datetime
import json
import shutil
import subprocess
from pathlib import Path
from typing import Any

import pytest
from asking import Answer, Ask
from openpyxl import Workbook, load_workbook

import kitdocs
from kitdocs.workbook.returned import is_practice_workbook

pytestmark = pytest.mark.whole

EXAMPLE = Path("example_practice")


@pytest.fixture
def ours(ask: Ask, tmp_path: Path) -> Path:
    shutil.copytree(EXAMPLE, tmp_path / "ours")
    assert ask("workbook", tmp_path / "ours", "--to", tmp_path / "p.xlsx").status == 0
    return tmp_path / "ours"


def edit(folder: Path, sheet: str, row: Any, key: str, value: Any) -> str:
    """Change a cell; return where it stands."""
    file = folder.parent / "p.xlsx"
    book = load_workbook(file)
    page = next(page for page in book.worksheets if page["A2"].value == sheet)
    column = next(cell.column for cell in page[2] if cell.value == key)
    number = next(cells[0].row for cells in page.iter_rows(min_row=4) if cells[0].value == row)
    page.cell(number, column).value = value
    book.save(file)
    return f"{page.title}!{page.cell(number, column).coordinate}"


def files(folder: Path) -> dict[str, bytes]:
    return {path.relative_to(folder).as_posix(): path.read_bytes() for path in folder.rglob("*") if path.is_file()}


@pytest.fixture
def bring(ask: Ask, ours: Path) -> Any:
    def run(*options: object) -> Answer:
        return ask("import", ours.parent / "p.xlsx", ours, *options)

    return run


def test_a_workbook_without_edits_changes_no_byte(bring: Any, ours: Path) -> None:
    before = files(ours)
    answer = bring("--yes")
    assert (answer.status, answer.out) == (0, "the workbook brings nothing new\n")
    assert files(ours) == before


def test_what_changes_is_shown_with_cell_and_line_and_written_with_yes_only(bring: Any, ours: Path) -> None:
    where = edit(ours, "sets", "core", "name.en", "Core: set #1")
    edit(ours, "practice", "service", "value", 0.9)
    before = files(ours)
    number = before["sets.yaml"][: before["sets.yaml"].index(b"{en: Core set,")].count(b"\n") + 1
    line = f"{where}  sets.yaml:{number}  sets.core.name.en: Core set → Core: set #1"
    for options in (("--dry-run",), ()):
        answer = bring(*options)
        assert line in answer.out
        assert "practice.service: 95% → 90% (the spreadsheet program had made 0.9 of it)" in answer.out
        assert files(ours) == before
        assert answer.status == (0 if options else 5)
    answer = bring("--yes", "--language", "es")
    assert answer.status == 0
    assert answer.out.startswith("2 cambios:")
    assert answer.out.endswith("se escribió practice.yaml, sets.yaml\n")
    sets = before["sets.yaml"].replace(b"{en: Core set,", b'{en: "Core: set #1",')
    practice = before["practice.yaml"].replace(b"\nservice: 95% ", b"\nservice: 90% ")
    assert files(ours) == {**before, "sets.yaml": sets, "practice.yaml": practice}


def test_line_ends_and_the_byte_order_mark_stay(bring: Any, ours: Path) -> None:
    path = ours / "sets.yaml"
    before = b"\xef\xbb\xbf" + path.read_bytes().replace(b"\n", b"\r\n")
    path.write_bytes(before)
    edit(ours, "sets", "core", "code", "C2")
    assert bring("--yes", "-q").status == 0
    assert path.read_bytes() == before.replace(b"code: CO\r\n", b"code: C2\r\n")


def test_a_new_error_is_told_by_cell_and_line_and_nothing_is_written(bring: Any, ours: Path) -> None:
    where = edit(ours, "procedures", "chain", "set", "croe")
    before = files(ours)
    answer = bring("--yes")
    assert answer.status == 1
    assert f"{where}:\nprocedures.yaml:28:8: procedures.chain.set: there is no set 'croe' in sets.yaml" in answer.out
    assert answer.out.endswith("nothing was written\n")
    assert files(ours) == before
    found = json.loads(bring("--yes", "--json").out)
    (problem,) = found["problems"]
    assert (problem["cell"], problem["file"], problem["line"], found["written"]) == (where, "procedures.yaml", 28, [])
    assert found["changes"][0] == {
        "cell": where,
        "file": "procedures.yaml",
        "line": 28,
        "path": "procedures.chain.set",
        "before": "core",
        "after": "croe",
    }


def test_errors_that_the_folder_has_already_do_not_keep_other_edits_out(bring: Any, ours: Path) -> None:
    (ours / "stock.csv").write_text("instrument,on_hand,in_repair\nnothing,1,0\n", "utf-8")
    edit(ours, "sets", "core", "code", "C2")
    assert bring("--yes").status == 0
    assert "code: C2" in (ours / "sets.yaml").read_text("utf-8")


def test_a_conflict_with_the_folder_keeps_everything_out(bring: Any, ours: Path) -> None:
    where = edit(ours, "sets", "core", "code", "C2")
    edit(ours, "sets", "exam", "code", "E2")
    path = ours / "sets.yaml"
    path.write_text(path.read_text("utf-8").replace("code: CO", "code: C3"), "utf-8")
    before = files(ours)
    answer = bring("--yes")
    assert answer.status == 1
    assert f"{where}: it was changed in the folder, too, to 'C3'" in answer.out
    assert files(ours) == before


def test_another_workbook_and_a_damaged_one_are_no_practice_workbook(bring: Any, ours: Path) -> None:
    file = ours.parent / "p.xlsx"
    book = load_workbook(file)
    book["kitdocs"]["A2"].value = "x"
    book.save(file)
    answer = bring("--yes")
    assert answer.status == 1
    assert "the hidden sheet is damaged; write a new one with kitdocs workbook" in answer.err


def test_another_spreadsheet_is_no_practice_workbook(tmp_path: Path) -> None:
    book = Workbook()
    book.active.append(["kitdocs practice workbook 1"])
    book.save(tmp_path / "inventory.xlsx")
    (tmp_path / "broken.xlsx").write_bytes(b"PK\x03\x04 no archive")
    names = ("inventory.xlsx", "broken.xlsx", "missing.xlsx", "list.csv")
    assert not [name for name in names if is_practice_workbook(tmp_path / name)]


@pytest.mark.skipif(not shutil.which("soffice"), reason="LibreOffice is not installed")
@pytest.mark.parametrize("suffix", ["xlsx", "ods"])
def test_a_workbook_that_libreoffice_has_saved_brings_nothing_new(ask: Ask, ours: Path, suffix: str) -> None:
    out = ours.parent / "saved"
    home = f"-env:UserInstallation=file://{ours.parent}/office"
    convert = ["soffice", home, "--headless", "--convert-to", suffix, "--outdir", str(out), str(ours.parent / "p.xlsx")]
    subprocess.run(convert, check=True, capture_output=True)
    before = files(ours)
    answer = ask("import", out / f"p.{suffix}", ours, "--yes")
    assert (answer.status, answer.out) == (0, "the workbook brings nothing new\n")
    assert files(ours) == before


def test_the_same_workbook_is_edited_on_and_brought_back_again(
    bring: Any, ours: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("KITDOCS_CACHE", str(tmp_path / "cache"))
    for code in ("C2", "C3"):
        edit(ours, "sets", "core", "code", code)
        assert bring("--yes").status == 0
        assert f"code: {code}" in (ours / "sets.yaml").read_text("utf-8")
    path = ours / "sets.yaml"
    path.write_text(path.read_text("utf-8").replace("code: C3", "code: C9"), "utf-8")
    edit(ours, "sets", "core", "code", "C4")
    assert bring("--yes").status == 1  # somebody else changed it since


def test_a_workbook_comes_back_from_python_too(ours: Path) -> None:
    file = ours.parent / "p.xlsx"
    assert kitdocs.import_workbook(file, ours) == []
    edit(ours, "stock", "mirror", "on_hand", 45)
    before = (ours / "stock.csv").read_text("utf-8")
    assert kitdocs.import_workbook(str(file), str(ours)) == ["stock.csv"]
    assert (ours / "stock.csv").read_text("utf-8") == before.replace("\nmirror,44,", "\nmirror,45,")
    where = edit(ours, "procedures", "chain", "set", "croe")
    with pytest.raises(kitdocs.PracticeError, match="there is no set 'croe'"):
        kitdocs.import_workbook(file, ours)
    edit(ours, "procedures", "chain", "set", datetime.date(2026, 1, 2))
    with pytest.raises(kitdocs.KitdocsError, match=f"{where}: the spreadsheet program made a date of it"):
        kitdocs.import_workbook(file, ours)
