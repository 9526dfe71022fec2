"""The workbook, read back with openpyxl: real numbers, formulas that are right, set up for printing."""

from __future__ import annotations

import io
import re
import zipfile
from decimal import Decimal

import openpyxl
import pytest
from openpyxl.workbook import Workbook
from openpyxl.worksheet.worksheet import Worksheet

from kitdocs.document.table import Column, Table, Tables
from kitdocs.planning.plan import Plan
from kitdocs.practice.model import Practice
from kitdocs.publish.workbook import sheet_name, workbook
from kitdocs.report.tables import plan_tables


@pytest.fixture(scope="module")
def tables(example: Practice, example_plan: Plan) -> Tables:
    return plan_tables(example, example_plan)


@pytest.fixture(scope="module")
def file(tables: Tables) -> bytes:
    return workbook(tables)


@pytest.fixture(scope="module")
def values(file: bytes) -> Workbook:
    """As a program sees it that works nothing out: the stored results."""
    return openpyxl.load_workbook(io.BytesIO(file), data_only=True)


@pytest.fixture(scope="module")
def formulas(file: bytes) -> Workbook:
    return openpyxl.load_workbook(io.BytesIO(file))


def rows_of(sheet: Worksheet, table: Table) -> list[tuple[object, ...]]:
    return [tuple(row) for row in sheet.iter_rows(min_row=2, max_row=len(table.rows) + 1, values_only=True)]


def test_every_table_has_its_sheet_with_the_same_values(values: Workbook, tables: Tables) -> None:
    assert values.sheetnames == [sheet_name(table) for table in tables.tables]
    for table in tables.tables:
        for row, told in zip(rows_of(values[sheet_name(table)], table), table.rows, strict=True):
            for cell, value in zip(row, told, strict=True):
                if value is None:
                    assert cell in (None, "")
                elif isinstance(value, str):
                    assert cell == value
                else:
                    assert isinstance(cell, int | float) and Decimal(str(cell)) == Decimal(str(value))


def test_the_sum_of_the_order_list_is_the_plans_total(values: Workbook, tables: Tables, example_plan: Plan) -> None:
    table = tables.table("order-list")
    last = [cell.value for cell in list(values["Order list"].rows)[-1]]
    assert last[0] == "Total"
    assert Decimal(str(last[table.column("cost")])) == example_plan.orders.total
    assert last[table.column("to-buy")] == sum(line.buy for line in example_plan.orders.lines)


def test_every_formula_gives_the_number_stored_with_it(formulas: Workbook, values: Workbook) -> None:
    """Each formula is worked out again here, in Python, from the other cells of its sheet."""
    worked = 0
    for sheet in formulas:
        stored = values[sheet.title]
        for cell in (cell for row in sheet.iter_rows() for cell in row if cell.data_type == "f"):
            worked += 1
            result = in_python(str(cell.value), stored)
            told = stored[cell.coordinate].value
            if result == "":
                assert told in (None, "")
            else:
                assert told == pytest.approx(result, abs=0.005), f"{sheet.title}!{cell.coordinate}: {cell.value}"
    assert worked > 150


def in_python(formula: str, sheet: Worksheet) -> object:
    subtotal = re.fullmatch(r"=SUBTOTAL\(9,([A-Z]+\d+:[A-Z]+\d+)\)", formula)
    if subtotal:
        cells = [cell.value for row in sheet[subtotal[1]] for cell in row]
        return sum(value for value in cells if isinstance(value, int | float))

    def is_empty(match: re.Match[str]) -> str:
        return repr(sheet[match[1]].value in (None, ""))

    def number(match: re.Match[str]) -> str:
        return repr(sheet[match[0]].value or 0)  # an empty cell counts nothing

    python = re.sub(r"\b([A-Z]{1,2}\d+) = \"\"", is_empty, formula.removeprefix("="))
    python = re.sub(r"\b[A-Z]{1,2}\d+\b", number, python)
    names = {
        "MAX": max,
        "ROUNDUP": roundup,
        "AND": lambda *all_: all(all_),
        "IF": lambda test, yes, no: yes if test else no,
    }
    return eval(python, names)


def roundup(number: float, digits: int) -> int:
    assert digits == 0
    return -int(-number // 1)


def test_the_header_stays_in_sight_and_on_every_printed_page(formulas: Workbook, tables: Tables) -> None:
    for table in tables.tables:
        sheet = formulas[sheet_name(table)]
        assert re.fullmatch("[BC]2", sheet.freeze_panes or "")
        assert sheet.print_title_rows == "$1:$1"
        assert sheet.auto_filter.ref and sheet.auto_filter.ref.startswith("A1:")
        assert sheet.auto_filter.ref.endswith(str(len(table.rows) + 1)), "the total is not filtered"


def test_a_sheet_prints_on_the_practices_paper_one_page_wide(formulas: Workbook, tables: Tables) -> None:
    for table in tables.tables:
        setup = formulas[sheet_name(table)].page_setup
        assert setup.paperSize == 1  # letter, ECMA-376 part 1, 18.3.1.63
        assert (setup.fitToWidth or 1, setup.fitToHeight) == (1, 0)
        assert setup.orientation == ("landscape" if table.landscape else "portrait")


def test_an_ampersand_in_the_practices_name_is_printed(formulas: Workbook) -> None:
    assert formulas["Order list"].oddFooter.left.text == "Tern && Juniper Orthodontics"


def test_money_and_counts_are_shown_as_such(formulas: Workbook, tables: Tables) -> None:
    sheet, table = formulas["Order list"], tables.table("order-list")
    assert sheet.cell(2, table.column("price") + 1).number_format == "#,##0.00"
    assert sheet.cell(2, table.column("needed") + 1).number_format == "#,##0"


def test_the_same_tables_give_the_same_bytes(tables: Tables, file: bytes) -> None:
    assert workbook(tables) == file
    assert b"2026-01-01T00:00:00Z" in zipfile.ZipFile(io.BytesIO(file)).read("docProps/core.xml")


def test_there_are_no_macros_and_no_links(file: bytes) -> None:
    names = zipfile.ZipFile(io.BytesIO(file)).namelist()
    assert not [name for name in names if "vba" in name.lower() or "externalLink" in name]


def test_no_name_becomes_a_formula() -> None:
    names = ("=1+1", "+1", "-1", "@A1", "{=1}", "https://handbook.example")
    table = Table(name="t", title="T", columns=(Column(name="A"), Column(name="B")), rows=tuple((n, n) for n in names))
    made = workbook(Tables(practice="P", paper="a4", currency="EUR", tables=(table,)))
    sheet = openpyxl.load_workbook(io.BytesIO(made))["t"]
    assert [cell.value for cell in sheet["A"]][1:] == list(names)
    assert {cell.data_type for cell in sheet["A"]} == {"s"}
    assert sheet.page_setup.paperSize == 9  # A4


def test_a_kind_without_a_price_has_no_total(example: Practice, example_plan: Plan) -> None:
    columns = plan_tables(example, example_plan).table("order-list").columns
    row = ("x", "X", "instrument", 3, 0, 0, 3, 1, 0, 2, 0, None, None, "")
    table = Table(name="Order list", title="T", columns=columns, rows=(row,))
    made = workbook(Tables(practice="P", paper="a4", currency="EUR", tables=(table,)))
    last = list(openpyxl.load_workbook(io.BytesIO(made), data_only=True)["Order list"].rows)
    assert [cell.value or None for cell in last[1]][9:13] == [2, None, None, None]
    assert last[2][12].value == 0
