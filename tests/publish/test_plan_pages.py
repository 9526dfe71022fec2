"""The planning report's pages: apart from the handbook, complete, and with every link leading somewhere."""

from __future__ import annotations

import html
import posixpath
import re
from collections.abc import Mapping
from urllib.parse import unquote

import pytest
import sample_site

from kitdocs.document.blocks import Chart
from kitdocs.document.card import Handbook
from kitdocs.planning.plan import Plan
from kitdocs.practice.model import Practice
from kitdocs.publish.site.build_site import site
from kitdocs.publish.site.plan_pages import plan_index
from kitdocs.report.build_report import make_reports

#: A small handbook in the languages of the report, beside which its pages stand.
HANDBOOKS = sample_site.handbooks()


@pytest.fixture(scope="module")
def reports(example: Practice, example_plan: Plan) -> tuple[Handbook, ...]:
    return make_reports(example, example_plan, ())


@pytest.fixture(scope="module")
def files(reports: tuple[Handbook, ...]) -> Mapping[str, bytes]:
    return site(HANDBOOKS, reports)


@pytest.fixture(scope="module")
def alone() -> Mapping[str, bytes]:
    return site(HANDBOOKS)


def plan_files(files: Mapping[str, bytes]) -> list[str]:
    return [path for path in files if re.match(r"(es/)?plan/", path)]


def test_every_part_has_a_page_in_every_language_and_the_first_page_links_to_it(
    files: Mapping[str, bytes], reports: tuple[Handbook, ...]
) -> None:
    assert [report.folder for report in reports] == ["", "es/"]
    assert set(plan_files(files)) == {
        path for r in reports for path in (plan_index(r), *(f"{r.folder}{card.id}.html" for card in r.cards))
    }
    for report in reports:
        index, up = files[plan_index(report)].decode(), "../" * plan_index(report).count("/")
        for card in report.cards:
            path = f"{report.folder}{card.id}.html"
            assert f'href="{up}{path}"' in index and html.escape(card.title) in index
            page = files[path].decode()
            assert f'<html lang="{report.language}"' in page
            assert card.edition in page and f"<h1>{html.escape(card.title)}</h1>" in page


def test_each_page_leads_to_the_same_page_in_the_other_language(files: Mapping[str, bytes]) -> None:
    pages = [path for path in plan_files(files) if not path.startswith("es/")]
    assert len(pages) > 15
    for path in pages:
        assert f'href="../es/{path}"' in files[path].decode()
        assert f'href="../../{path}"' in files[f"es/{path}"].decode()


def test_every_link_of_the_reports_pages_leads_to_a_file_of_the_site(files: Mapping[str, bytes]) -> None:
    followed = 0
    for path in plan_files(files):
        for address in re.findall(r'(?:href|src)="([^"]*)"', files[path].decode()):
            if address.startswith("#"):
                continue
            file, _, place = address.partition("#")
            target = posixpath.normpath(posixpath.join(posixpath.dirname(path), unquote(file)))
            assert target in files, (path, address)
            assert not place or f' id="{place}"' in files[target].decode(), (path, address, place)
            followed += 1
    assert followed > 400


def test_a_reader_can_go_through_the_parts_one_after_the_other(
    files: Mapping[str, bytes], reports: tuple[Handbook, ...]
) -> None:
    report = reports[0]
    for card, after in zip(report.cards, report.cards[1:], strict=False):
        assert f'<a class="button" href="../{after.id}.html">' in files[f"{card.id}.html"].decode()


def test_each_charts_sentence_and_numbers_stand_on_its_page(
    files: Mapping[str, bytes], reports: tuple[Handbook, ...]
) -> None:
    seen = 0
    for report, card in ((book, card) for book in reports for card in book.cards):
        page = html.unescape(files[f"{report.folder}{card.id}.html"].decode()).replace("\u00a0", " ")
        for block in card.front:
            if isinstance(block, Chart) and block.table:
                assert block.summary in page
                assert f"assets/pictures/{block.picture.name}.svg" in page
                for row in block.table.rows:
                    assert all(cell.text in page for cell in row)
                seen += 1
    assert seen == 22


@pytest.mark.parametrize("folder", ["", "es/"])
def test_the_handbooks_index_links_to_the_report_of_its_language_once(files: Mapping[str, bytes], folder: str) -> None:
    up = "../" * folder.count("/")
    assert files[f"{folder}index.html"].decode().count(f'href="{up}{folder}plan/index.html"') == 1


def test_no_search_and_no_kept_copy_has_the_report(files: Mapping[str, bytes], alone: Mapping[str, bytes]) -> None:
    for path in ("assets/index.en.js", "assets/index.es.js", "editions.json"):
        assert files[path] == alone[path], path
    kept = re.findall(r'"([^"]+)"', files["sw.js"].decode())
    assert "index.html" in kept
    assert [path for path in kept if "plan/" in path or "/chart-" in path] == []


def test_without_a_report_nothing_speaks_of_one(alone: Mapping[str, bytes]) -> None:
    assert plan_files(alone) == []
    assert "plan/index.html" not in alone["index.html"].decode()


def test_the_same_report_gives_the_same_bytes(files: Mapping[str, bytes], reports: tuple[Handbook, ...]) -> None:
    assert site(HANDBOOKS, reports) == files
