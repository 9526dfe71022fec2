"""Tables as CSV: the plan's numbers, for any spreadsheet, and never a formula."""

from __future__ import annotations

import csv
import io
from decimal import Decimal
from pathlib import Path

import pytest

from kitdocs.document.card import Handbook
from kitdocs.document.table import Column, Table, Tables, Value
from kitdocs.planning.plan import Plan
from kitdocs.practice.model import Practice
from kitdocs.publish import handbook_folder
from kitdocs.publish.print.render_all import AllDocuments
from kitdocs.publish.tables import csv_table, csv_tables
from kitdocs.publish.workbook import workbook
from kitdocs.report.tables import plan_tables


@pytest.fixture(scope="module")
def tables(example: Practice, example_plan: Plan) -> Tables:
    return plan_tables(example, example_plan)


def read_back(file: bytes) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(file.decode("utf-8-sig"), newline=""), strict=True))


def one_cell(value: Value, kind: str = "text") -> str:
    table = Table(name="t", title="T", columns=(Column(name="C", kind=kind),), rows=((value,),))  # type: ignore[arg-type]
    return read_back(csv_table(table))[0]["C"]


def test_every_table_is_there(tables: Tables) -> None:
    names = set(csv_tables(tables))
    assert {"order-list.csv", "stock.csv", "loads.csv", "consumables.csv", "count-sheet.csv"} <= names
    assert all(table.rows for table in tables.tables)


def test_python_reads_every_cell_back(tables: Tables) -> None:
    for table in tables.tables:
        rows = read_back(csv_table(table))
        assert len(rows) == len(table.rows)
        for row, values in zip(rows, table.rows, strict=True):
            assert list(row) == [column.header for column in table.columns]
            for cell, value in zip(row.values(), values, strict=True):
                if value is None:
                    assert cell == ""
                elif isinstance(value, str):
                    assert cell == value
                else:
                    assert Decimal(cell) == Decimal(str(value))


def test_the_order_list_has_the_plans_numbers(tables: Tables, example_plan: Plan) -> None:
    rows = {row["Id"]: row for row in read_back(csv_table(tables.table("order-list")))}
    assert len(rows) == len(example_plan.orders.lines)
    for line in example_plan.orders.lines:
        assert int(rows[line.id]["To buy (pieces)"]) == line.buy
        assert Decimal(rows[line.id]["Total (USD)"]) == line.total
    assert sum(Decimal(row["Total (USD)"]) for row in rows.values()) == example_plan.orders.total


def test_what_must_be_bought_comes_first(tables: Tables) -> None:
    buy = [int(row["To buy (pieces)"]) > 0 for row in read_back(csv_table(tables.table("order-list")))]
    assert buy == sorted(buy, reverse=True) and True in buy and False in buy


def test_stock_and_drawers_have_the_figures_of_the_plan(tables: Tables, example_plan: Plan) -> None:
    figures = {figure.id: figure.value for figure in example_plan.figures}
    for row in read_back(csv_table(tables.table("stock"))):
        section = "stock" if row["Kind"] == "set" else "pouches"
        assert int(row["To own (pieces)"]) == figures[f"{section}.{row['Id']}"]
    for row in read_back(csv_table(tables.table("drawers"))):
        assert int(row["In the drawer (pouches)"]) == figures[f"par.{row['Chair id']}.{row['Pouch id']}"]


def test_loads_and_consumables_have_the_figures_of_the_plan(tables: Tables, example_plan: Plan) -> None:
    figures = {figure.id: figure.value for figure in example_plan.figures}
    machines = [row for row in read_back(csv_table(tables.table("loads"))) if row["Kind"] == "machine"]
    assert machines
    for row in machines:
        assert float(row["Loads a day, mean (loads)"]) == figures[f"loads-a-day.{row['Id']}"]
        assert float(row["At work (%)"]) == figures[f"utilisation.{row['Id']}"]
    for use, row in zip(example_plan.supplies, read_back(csv_table(tables.table("consumables"))), strict=True):
        id_ = use.id if use.id == use.kind else f"{use.kind}.{use.id}"
        assert int(row["Order when left (units)"]) == figures[f"supplies.{id_}.reorder-at"]
        assert float(row["Used a busy day (units)"]) == figures[f"supplies.{id_}.per-day"]


def test_every_load_of_the_guide_fits(tables: Tables, example: Practice) -> None:
    """Σ count/capacity ≤ 1 for the cassettes of a row and any one of its pouches, from room.yaml itself."""
    names = {str(c.name): i for i, c in example.cassettes.items()}
    names |= {str(s.name): i for i, s in example.room.pouch_sizes.items()}
    for row in read_back(csv_table(tables.table("load-guide"))):
        capacity = example.room.stages[row["Machine id"]].capacity  # type: ignore[union-attr]
        cassettes, pouches = [], [Decimal(0)]
        for head, cell in list(row.items())[2:]:
            name, _, unit = head.rpartition(" (")
            kind = names[name.removeprefix("then ").removeprefix("or ")]
            share = Decimal(int(cell)) / capacity[kind]
            (cassettes if unit == "cassettes)" else pouches).append(share)
        assert sum(cassettes) + max(pouches) <= Decimal("1.0000001")


def test_the_count_sheet_has_room_to_write(tables: Tables, example: Practice) -> None:
    rows = {row["Id"]: row for row in read_back(csv_table(tables.table("count-sheet")))}
    assert set(rows) >= {*example.instruments, *example.cassettes, *example.pouches}
    assert {row["Counted: on hand (pieces)"] for row in rows.values()} == {""}
    assert int(rows["mirror"]["Written: on hand (pieces)"]) == example.stock["mirror"].on_hand


def test_lines_end_as_rfc_4180_says_and_the_text_is_marked_as_utf_8(tables: Tables) -> None:
    """RFC 4180, section 2, rule 1: each record ends with CRLF."""
    file = csv_table(tables.table("order-list"))
    assert file.startswith(b"\xef\xbb\xbf") and file.endswith(b"\r\n")
    assert file.count(b"\n") == file.count(b"\r\n") == len(tables.table("order-list").rows) + 1


def test_units_stand_in_the_header(tables: Tables) -> None:
    for table in tables.tables:
        for column in table.columns:
            assert column.kind in ("text", "long-text") or column.unit or "Machines or people" in column.name
    header = [column.header for column in tables.table("order-list").columns]
    assert "Price (USD)" in header and "To buy (pieces)" in header


def test_the_handbooks_folder_holds_the_tables_and_the_workbook(
    example_handbooks: tuple[Handbook, ...], tables: Tables, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The pages and sheets are left out here: only what the tables add is looked at."""
    monkeypatch.setattr(handbook_folder, "site", lambda handbooks, reports, paper: {"index.html": b"-"})
    monkeypatch.setattr(AllDocuments, "start", lambda documents, handbooks: {})
    assert handbook_folder.publish_handbook(example_handbooks, tmp_path / "out", tables=[tables])
    for name, file in csv_tables(tables).items():
        assert (tmp_path / "out" / "tables" / name).read_bytes() == file
    assert (tmp_path / "out" / "plan.xlsx").read_bytes() == workbook(tables)
    again = handbook_folder.publish_handbook(example_handbooks, tmp_path / "out", tables=[tables])
    assert not again, "the same tables change nothing"


@pytest.mark.parametrize("name", ["=1+1", "+1", "-1", "@SUM(A1)", "\t1", "\r1", "  =1+1", "＝1"])
def test_no_name_is_taken_for_a_formula(name: str) -> None:
    """CWE-1236: a cell that begins with one of these is a formula to a spreadsheet, in quotes too."""
    assert one_cell(name) == "'" + name


@pytest.mark.parametrize(
    "name",
    ["a;=1+1", "a; =1+1", 'a;"=1+1"', "a\t=1", "a;;@SUM(A1)", "a\n-1", "\t=1", "\r=1", ";=1", 'a;"\'";+1', '"=1'],
)
def test_no_part_of_a_name_is_taken_for_a_formula(name: str) -> None:
    """Where the list separator of the machine is a semicolon, a cell ends there: read so, no cell begins a formula."""
    table = Table(name="t", title="T", columns=(Column(name="C", kind="text"),), rows=((name,),))
    text = csv_table(table).decode("utf-8-sig")
    for line in csv.reader(io.StringIO(text.replace("\t", ";")), delimiter=";"):
        for cell in line:
            assert not cell.lstrip(" \"'").startswith(("=", "+", "-", "@")) or cell.lstrip(' "').startswith("'")


@pytest.mark.parametrize("name", ["Scaler", "a;b", "2; 3 - 1", "3 = 2 + 1", 'a "b", c', "Umsetzer ö", "a\nb"])
def test_an_ordinary_name_stays_as_it_is(name: str) -> None:
    assert one_cell(name) == name


def test_numbers_are_plain_numbers_with_a_point() -> None:
    assert one_cell(Decimal("1234567.50"), "money") == "1234567.50"
    assert one_cell(Decimal("1E+3"), "money") == "1000"
    assert one_cell(1234567, "count") == "1234567"
    assert one_cell(0.5, "number") == "0.5"


def test_a_number_is_rounded_once_for_every_drawing() -> None:
    columns = (Column(name="A", kind="number", digits=1), Column(name="B", kind="money"))
    table = Table(name="t", title="T", columns=columns, rows=((0.25001, Decimal("0.125")),)).rounded()
    assert table.rows == ((0.3, Decimal("0.13")),)


def test_a_column_adds_up_without_rounding_errors() -> None:
    column = Column(name="A", kind="money", total=True)
    rows = tuple((value,) for value in (Decimal("0.10"), None, 0.2, 1))
    assert Table(name="t", title="T", columns=(column,), rows=rows).total(0) == Decimal("1.30")
