"""Spreadsheet files as grids: written by other libraries, read by ours; every value in its place."""

from __future__ import annotations

import csv
import io
import zipfile
from datetime import date, datetime, time
from pathlib import Path
from random import Random

import openpyxl
import pytest
import xlsxwriter
from hypothesis import given
from hypothesis import strategies as st
from odf.opendocument import OpenDocumentSpreadsheet
from odf.table import Table, TableCell, TableRow
from odf.text import P

from kitdocs.importing.grids import CellValue, Grid, UnreadableError, column_letters, read_grids
from kitdocs.importing.separated import decoded, rows_of

ROWS: list[list[CellValue]] = [
    ["Instrument", "Qty", "Length", "Bought", "Opens"],
    ["Weingart plier", 12, 139.7, date(2025, 3, 1), time(8, 30)],
    ["Alicate de Howe", 3, '5 1/2"', None, None],
]


def texts(grid: Grid) -> list[list[str]]:
    return [[cell.text for cell in row] for row in grid.rows]


READ = [
    ["Instrument", "Qty", "Length", "Bought", "Opens"],
    ["Weingart plier", "12", "139.7", "2025-03-01", "08:30"],
    ["Alicate de Howe", "3", '5 1/2"', "", ""],
]


def test_a_workbook_by_xlsxwriter_is_read_cell_by_cell(tmp_path: Path) -> None:
    file = tmp_path / "inventory.xlsx"
    with xlsxwriter.Workbook(str(file)) as book:
        sheet = book.add_worksheet("Pliers")
        days = book.add_format({"num_format": "yyyy-mm-dd"})
        hours = book.add_format({"num_format": "hh:mm"})
        for r, row in enumerate(ROWS):
            for c, value in enumerate(row):
                if isinstance(value, date | time):
                    sheet.write_datetime(r, c, value, days if isinstance(value, date) else hours)
                elif value is not None:
                    sheet.write(r, c, value)
        book.add_worksheet("Empty")
    (grid,) = read_grids(file)
    assert (grid.file, grid.sheet, texts(grid)) == ("inventory.xlsx", "Pliers", READ)
    assert grid.rows[2][1].where == "B3"


def test_a_workbook_by_openpyxl_keeps_results_of_formulas_places_and_merged_cells(tmp_path: Path) -> None:
    book = openpyxl.Workbook()
    sheet = book.active
    assert sheet is not None
    sheet["C4"], sheet["D4"], sheet["C5"] = "Name", "Qty", "Mirror"
    sheet["D5"] = 7
    sheet.merge_cells("C2:D2")
    sheet["C2"] = "Our inventory"
    book.save(tmp_path / "a.xlsx")
    (grid,) = read_grids(tmp_path / "a.xlsx")
    filled = {cell.where: cell.value for row in grid.rows for cell in row if cell.value is not None}
    assert filled == {"C2": "Our inventory", "C4": "Name", "D4": "Qty", "C5": "Mirror", "D5": 7}


def test_the_kept_result_of_a_formula_is_read_and_not_the_formula(tmp_path: Path) -> None:
    with xlsxwriter.Workbook(str(tmp_path / "a.xlsx")) as book:
        sheet = book.add_worksheet()
        sheet.write_formula("A1", "=5+7", None, 12)
        sheet.write_formula("A2", '="Mir"&"ror"', None, "Mirror")
    (grid,) = read_grids(tmp_path / "a.xlsx")
    assert [row[0].text for row in grid.rows] == ["12", "Mirror"]


def ods(path: Path, rows: list[list[object]], repeated: tuple[str, int] = ("", 1)) -> Path:
    document = OpenDocumentSpreadsheet()
    table = Table(name="Hoja 1")
    for row in rows:
        line = TableRow(**({"numberrowsrepeated": repeated[1]} if repeated[0] == "rows" else {}))
        for value in row:
            if value is None:
                line.addElement(TableCell())
                continue
            numeric = isinstance(value, int | float)
            about = {"valuetype": "float", "value": value} if numeric else {"valuetype": "string"}
            cell = TableCell(**about, **({"numbercolumnsrepeated": repeated[1]} if repeated[0] == "columns" else {}))
            cell.addElement(P(text=str(value)))
            line.addElement(cell)
        table.addElement(line)
    blank = TableRow(numberrowsrepeated=1_048_000)  # as every sheet of LibreOffice ends
    blank.addElement(TableCell(numbercolumnsrepeated=16_384))
    table.addElement(blank)
    document.spreadsheet.addElement(table)
    document.save(str(path))
    return path


def test_an_ods_by_odfpy_is_read_with_the_blank_end_that_programs_write(tmp_path: Path) -> None:
    file = ods(tmp_path / "lista.ods", [["Nombre", "Cantidad"], ["Espejo", 40], [None, 2.5]])
    (grid,) = read_grids(file)
    assert grid.sheet == "Hoja 1"
    assert texts(grid) == [["Nombre", "Cantidad"], ["Espejo", "40"], ["", "2.5"]]


@pytest.mark.parametrize("what", ["rows", "columns"])
def test_cells_that_are_said_to_repeat_without_end_are_refused_before_they_are_unpacked(
    tmp_path: Path, what: str
) -> None:
    file = ods(tmp_path / "bomb.ods", [["x", "y"], ["z", 1]], (what, 900_000))
    with pytest.raises(UnreadableError, match="reaches further"):
        read_grids(file)


def test_one_cell_far_out_is_refused_before_all_cells_before_it_are_made(tmp_path: Path) -> None:
    book = openpyxl.Workbook()
    sheet = book.active
    assert sheet is not None
    sheet["A1"], sheet["XFD1048576"] = 1, 2
    book.save(tmp_path / "far.xlsx")
    with pytest.raises(UnreadableError, match=r"2,?000,?000 cells"):
        read_grids(tmp_path / "far.xlsx")


def test_a_file_that_unpacks_to_much_is_refused(tmp_path: Path) -> None:
    with zipfile.ZipFile(tmp_path / "bomb.xlsx", "w", zipfile.ZIP_DEFLATED) as packed:
        packed.writestr("xl/worksheets/sheet1.xml", b" " * (201 * 1024 * 1024))
    with pytest.raises(UnreadableError, match="reaches further"):
        read_grids(tmp_path / "bomb.xlsx")


@pytest.mark.parametrize(
    ("name", "data", "says"),
    [
        ("a.pdf", b"%PDF", "Save it as .xlsx"),
        ("a.xls", b"\xd0\xcf\x11\xe0", "Save it as .xlsx"),
        ("a.xlsx", b"\xd0\xcf\x11\xe0 encrypted", "without a password"),
        ("a.xlsx", b"Name,Qty", "damaged"),
        ("a.xlsx", b"PK\x03\x04 cut off", "damaged"),
        ("a.csv", b"PK\x03\x04", "workbook under the name"),
    ],
)
def test_what_cannot_be_read_gets_a_sentence_that_says_what_to_do(
    tmp_path: Path, name: str, data: bytes, says: str
) -> None:
    (tmp_path / name).write_bytes(data)
    with pytest.raises(UnreadableError, match=says):
        read_grids(tmp_path / name)
    with pytest.raises(UnreadableError, match="cannot be read"):
        read_grids(tmp_path / "missing.csv")


@pytest.mark.parametrize("seed", range(40))
def test_a_damaged_workbook_is_read_or_told_and_never_more(tmp_path: Path, seed: int) -> None:
    draw = Random(seed)
    whole = ods(tmp_path / "a.ods", [["Nombre", "Cantidad"], ["Espejo", 40]]).read_bytes()
    told = 0
    for n in range(10):
        data = bytearray(whole)
        for _ in range(draw.randint(1, 6)):
            place = draw.randrange(len(data))
            data[place : place + draw.randint(0, 9)] = draw.randbytes(draw.randint(0, 9))
        (tmp_path / f"{n}.ods").write_bytes(data)
        try:
            read_grids(tmp_path / f"{n}.ods")
        except UnreadableError:
            told += 1
    assert told >= 3


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "cp1252"])
@pytest.mark.parametrize("separator", [",", ";", "\t", "|"])
def test_a_text_table_is_read_whatever_its_encoding_and_separator(encoding: str, separator: str) -> None:
    rows = [["Artículo", "Cantidad", "Medida"], ["Tijeras, curvas", "4", "11,5 cm"], ["Espejo", "40", '5½"; 140 mm']]
    rows += [["Cureta", str(n), "17,5 cm"] for n in range(9)]
    text = io.StringIO()
    csv.writer(text, delimiter=separator).writerows(rows)
    assert rows_of(text.getvalue().encode(encoding)) == rows


def test_the_examples_of_rfc_4180_are_read_as_it_says() -> None:
    """SOURCES: RFC 4180, section 2, points 1 to 7."""
    assert rows_of(b"aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n") == [["aaa", "bbb", "ccc"], ["zzz", "yyy", "xxx"]]
    assert rows_of(b"aaa,bbb,ccc\r\nzzz,yyy,xxx") == [["aaa", "bbb", "ccc"], ["zzz", "yyy", "xxx"]]
    assert rows_of(b'"aaa","bbb","ccc"\r\nzzz,yyy,xxx') == [["aaa", "bbb", "ccc"], ["zzz", "yyy", "xxx"]]
    assert rows_of(b'"aaa","b\r\nbb","ccc"\r\nzzz,yyy,xxx') == [["aaa", "b\r\nbb", "ccc"], ["zzz", "yyy", "xxx"]]
    assert rows_of(b'"aaa","b""bb","ccc"') == [["aaa", 'b"bb', "ccc"]]


def test_a_first_line_that_names_the_separator_is_obeyed_and_counts_as_a_row() -> None:
    assert rows_of(b"sep=|\r\na,b|c\r\n") == [[], ["a,b", "c"]]


def test_a_decimal_comma_stays_as_it_was_written() -> None:
    assert rows_of(b"Pinza;6,5\nEspejo;16,5\n") == [["Pinza", "6,5"], ["Espejo", "16,5"]]


@given(
    st.lists(
        st.lists(
            st.text(st.characters(codec="utf-8", exclude_categories=["Cs", "Cc"]), max_size=8), min_size=3, max_size=3
        ),
        min_size=1,
        max_size=5,
    )
)
def test_whatever_the_csv_module_writes_with_utf8_is_read_again(rows: list[list[str]]) -> None:
    rows = [["Name", "Quantity", "Length"], *rows]
    text = io.StringIO()
    csv.writer(text, quoting=csv.QUOTE_ALL).writerows(rows)
    assert rows_of(text.getvalue().encode("utf-8-sig")) == rows


def test_old_codes_of_offices_are_told_from_each_other() -> None:
    said = "Código;Descripción;Tamaño\nA1;Alicate de contorneado, pequeño;13 cm\nA2;Retracción según medición;9 cm\n"
    assert decoded(said.encode("cp1252")) == said
    assert decoded(said.encode("mac_roman")) == said


def test_columns_have_the_letters_of_openpyxl() -> None:
    from openpyxl.utils import get_column_letter  # noqa: PLC0415

    assert [column_letters(n) for n in range(1, 2000)] == [get_column_letter(n) for n in range(1, 2000)]


def test_a_text_is_what_a_person_reads(tmp_path: Path) -> None:
    with xlsxwriter.Workbook(str(tmp_path / "a.xlsx")) as book:
        sheet = book.add_worksheet()
        for n, value in enumerate([True, 1.2000000000000002, 3.0, "  two\n words "]):
            sheet.write(0, n, value)
        sheet.write_datetime(0, 4, datetime(2026, 1, 2, 8, 5), book.add_format({"num_format": "d.m.yy hh:mm"}))
        sheet.write_datetime(0, 5, datetime(2026, 1, 2), book.add_format({"num_format": "d-mmm"}))
    (grid,) = read_grids(tmp_path / "a.xlsx")
    assert texts(grid) == [["TRUE", "1.2", "3", "two words", "2026-01-02 08:05", "2026-01-02"]]


@pytest.mark.parametrize("sign", ["\x0b", "\x0c", "\x1c", "\x85", "\u2028"])
def test_only_the_ends_of_lines_of_rfc_4180_and_old_ones_end_a_row(sign: str) -> None:
    """SOURCES: RFC 4180, section 2. Other signs that Python takes for the end of a line are part of a cell."""
    text = f"Instrument;Qty\r\nHowe{sign}plier;2\r\nMirror;12\r\n"
    assert rows_of(text.encode()) == [["Instrument", "Qty"], [f"Howe{sign}plier", "2"], ["Mirror", "12"]]
