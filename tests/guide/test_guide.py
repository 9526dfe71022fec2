"""The guide: everything there is has its page, nothing is said of what is not there, and every link leads somewhere."""

from __future__ import annotations

import re
from collections.abc import Mapping
from html.parser import HTMLParser
from pathlib import Path
from urllib.parse import unquote, urljoin, urlsplit

import pypdfium2 as pdfium
import pytest
import typer.main
from asking import Ask

import kitdocs
from kitdocs.cli import app
from kitdocs.cli_guide import told_commands
from kitdocs.document.blocks import Matrix, Prose
from kitdocs.document.card import Card, Handbook
from kitdocs.document.purpose import Purpose
from kitdocs.document.walk import words_in
from kitdocs.guide.chapters import SECTIONS, make_guide, written, written_names
from kitdocs.guide.commands import ToldCommand
from kitdocs.guide.figures import example_figures
from kitdocs.practice.schema import schemas
from kitdocs.publish.guide_folder import guide_pdf, guide_site

SOURCES = (Path(__file__).parent.parent / "SOURCES.md").read_text("utf-8")


@pytest.fixture(scope="module")
def commands() -> tuple[ToldCommand, ...]:
    return told_commands(typer.main.get_command(app))


@pytest.fixture(scope="module")
def guide(commands: tuple[ToldCommand, ...]) -> Handbook:
    return make_guide(commands)


@pytest.fixture(scope="module")
def files(guide: Handbook) -> dict[str, bytes]:
    return guide_site(guide)


class Links(HTMLParser):
    def __init__(self, page: bytes) -> None:
        super().__init__()
        self.targets: list[str] = []
        self.feed(page.decode())

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.targets += [value for name, value in attrs if name in ("href", "src") and value]


def said(card: Card) -> str:
    return "\n".join(words_in(card.blocks, Purpose.SEARCHED))


def test_every_written_page_stands_in_the_guide_and_every_command_has_one(
    guide: Handbook, commands: tuple[ToldCommand, ...]
) -> None:
    chapters = {name for names in SECTIONS.values() for name in names}
    assert chapters | {f"command-{command.name}" for command in commands} == set(written_names())
    assert len(commands) == len(app.registered_commands)
    for command in commands:
        text = said(guide.card(f"pages/command-{command.name}"))
        assert all(option.written in text for option in (*command.arguments, *command.options))
        assert f"command-{command.name}.md" in written("commands")


def test_a_command_is_told_as_its_help_tells_it(ask: Ask, guide: Handbook) -> None:
    told = said(guide.card("pages/command-printed"))
    for said_in_help in ("Take the last record back", "Who posted them.", "ID|KIND|PLACE"):
        assert said_in_help in told
        assert said_in_help in ask("printed", "--help").out


def test_every_field_of_every_file_is_there(guide: Handbook) -> None:
    for file, schema in schemas().items():
        text = said(guide.card(f"pages/{file.removesuffix('.yaml')}-yaml"))
        records = [schema, *schema.get("$defs", {}).values()]
        names = [name for record in records for name in record.get("properties", ())]
        assert names
        assert [name for name in names if f"\n{name}\n" not in f"\n{text}\n"] == []


def test_every_figure_of_the_plan_is_shown_and_has_its_formula_and_source(guide: Handbook) -> None:
    tables = [block for card in guide.cards for block in card.blocks if isinstance(block, Matrix)]
    shown = {row[0].detail for block in tables for row in block.rows}
    formulas, sources = (part.rows for part in _tables(guide.card("pages/figures")))
    stems = {stem for row in formulas for stem in row[0].text.split(", ")}
    figures = example_figures()
    assert {figure.name.key for figure in figures} == {f.name.key for f in figures if f.id in shown}
    assert {figure.id.partition(".")[0] for figure in figures} == stems
    named = {name for row in formulas for name in row[2].text.split("; ")}
    spelled_out = {row[0].text for row in sources}
    assert {name for name in named if not name.endswith(("ours", "arithmetic", "exists"))} == spelled_out
    for name in spelled_out:
        assert f"| {name} |" in SOURCES
        row = next(line for line in SOURCES.splitlines() if line.startswith(f"| {name} |"))
        told = next(" ".join(cell.text for cell in row) for row in sources if row[0].text == name)
        assert ("from memory" in told) == ("memory" in row.split("|")[-2] and "read" not in row.split("|")[-2][:6]), (
            name
        )


def _tables(card: Card) -> tuple[Matrix, ...]:
    return tuple(
        part for block in card.blocks if isinstance(block, Prose) for part in block.parts if isinstance(part, Matrix)
    )


def test_every_public_name_is_there_with_its_docstring(guide: Handbook) -> None:
    cards = {card.title: said(card) for card in guide.cards}
    names = [name for name in kitdocs.__all__ if callable(getattr(kitdocs, name))]
    assert len(names) > 30
    for name in names:
        text = cards[f"kitdocs.{name}"]
        assert len(text.splitlines()) > 1, f"{name} has no docstring"
        assert " at 0x" not in text


def test_every_link_leads_to_a_file_of_the_guide(files: Mapping[str, bytes]) -> None:
    pages = [path for path in files if path.endswith(".html")]
    for page in pages:
        for target in Links(files[page]).targets:
            path = urlsplit(urljoin(page, target))
            if not path.scheme and path.path:
                assert unquote(path.path) in {*files, "guide.pdf"}, (page, target)
    assert len(pages) > 60


def test_no_link_of_a_written_page_is_left_as_mere_text() -> None:
    pages = set(written_names())
    for name in pages:
        for target in re.findall(r"\]\(([^)]+)\)", written(name)):
            assert target.removesuffix(".md") in pages, (name, target)


@pytest.mark.whole
def test_the_pdf_has_every_chapter_as_a_bookmark(guide: Handbook) -> None:
    titles = {bookmark.get_title() for bookmark in pdfium.PdfDocument(guide_pdf(guide)).get_toc()}
    assert {card.title for card in guide.cards} <= titles


def test_the_search_finds_an_option_and_a_field(files: Mapping[str, bytes]) -> None:
    index = files["assets/index.en.js"].decode()
    assert '"--dask ADDRESS"' in index
    assert '"drawer_service"' in index


def test_a_second_guide_is_the_same(guide: Handbook, commands: tuple[ToldCommand, ...]) -> None:
    assert make_guide(commands) == guide


def test_the_command_opens_the_guide_from_the_cache_folder_and_says_where(
    ask: Ask, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, files: dict[str, bytes]
) -> None:
    monkeypatch.setenv("KITDOCS_CACHE", str(tmp_path / "kept"))
    monkeypatch.setattr("kitdocs.command.guide.guide_files", lambda guide: files)
    run = ask("guide")
    page = tmp_path / "kept" / "guide" / "index.html"
    assert run.out == f"open {page.as_uri()}\n"
    assert "Your first hour" in page.read_text("utf-8")


def test_where_nothing_is_kept_the_command_asks_for_a_folder(ask: Ask) -> None:
    run = ask("guide")
    assert run.status == 1
    assert "--to OUT" in run.err
