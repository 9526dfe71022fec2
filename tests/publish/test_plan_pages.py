"""The planning report's pages: apart from the handbook, complete, and with every link leading somewhere."""

from __future__ import annotations

import dataclasses
import html
import posixpath
import re
from collections.abc import Mapping
from urllib.parse import unquote

import pytest
from jinja2 import meta, nodes

from kitdocs.document.blocks import Chart
from kitdocs.document.card import Handbook
from kitdocs.planning.plan import Plan
from kitdocs.practice.model import Practice
from kitdocs.publish.site.build_site import site
from kitdocs.publish.site.plan_pages import PLAN_INDEX, PLAN_TEMPLATES
from kitdocs.publish.site.templates import environment
from kitdocs.report.build_report import make_report
from kitdocs.shipped import shipped_folder


@pytest.fixture(scope="module")
def report(example: Practice, example_plan: Plan) -> Handbook:
    return make_report(example, example_plan)


@pytest.fixture(scope="module")
def files(example_handbooks: tuple[Handbook, ...], report: Handbook) -> Mapping[str, bytes]:
    return site(example_handbooks, report)


@pytest.fixture(scope="module")
def alone(example_handbooks: tuple[Handbook, ...]) -> Mapping[str, bytes]:
    return site(example_handbooks)


def plan_files(files: Mapping[str, bytes]) -> list[str]:
    return [path for path in files if path.startswith("plan/")]


def test_every_part_has_a_page_and_the_first_page_links_to_it(files: Mapping[str, bytes], report: Handbook) -> None:
    index = files[PLAN_INDEX].decode()
    assert set(plan_files(files)) == {PLAN_INDEX, *(f"{card.id}.html" for card in report.cards)}
    for card in report.cards:
        assert f'href="../{card.id}.html"' in index and html.escape(card.title) in index
        page = files[f"{card.id}.html"].decode()
        assert card.edition in page and f"<h1>{html.escape(card.title)}</h1>" in page


def test_every_link_of_the_reports_pages_leads_to_a_file_of_the_site(files: Mapping[str, bytes]) -> None:
    followed = 0
    for path in plan_files(files):
        for address in re.findall(r'(?:href|src)="([^"]*)"', files[path].decode()):
            if address.startswith("#"):
                continue
            target = posixpath.normpath(posixpath.join(posixpath.dirname(path), unquote(address)))
            assert target in files, (path, address)
            followed += 1
    assert followed > 200


def test_a_reader_can_go_through_the_parts_one_after_the_other(files: Mapping[str, bytes], report: Handbook) -> None:
    for card, after in zip(report.cards, report.cards[1:], strict=False):
        assert f'<a class="button" href="../{after.id}.html">' in files[f"{card.id}.html"].decode()


def test_each_charts_sentence_and_numbers_stand_on_its_page(files: Mapping[str, bytes], report: Handbook) -> None:
    seen = 0
    for card in report.cards:
        page = html.unescape(files[f"{card.id}.html"].decode())
        for block in card.front:
            if isinstance(block, Chart) and block.table:
                assert block.summary in page
                assert f"assets/pictures/{block.picture.name}.svg" in page
                for row in block.table.rows:
                    assert all(cell.text in page for cell in row)
                seen += 1
    assert seen == 10


@pytest.mark.parametrize("index", ["index.html", "es/index.html"])
def test_the_handbooks_index_links_to_the_report_once(files: Mapping[str, bytes], index: str) -> None:
    up = "../" * index.count("/")
    assert files[index].decode().count(f'href="{up}{PLAN_INDEX}"') == 1


def test_no_search_and_no_kept_copy_has_the_report(files: Mapping[str, bytes], alone: Mapping[str, bytes]) -> None:
    for path in ("assets/index.en.js", "assets/index.es.js", "editions.json"):
        assert files[path] == alone[path], path
    kept = re.findall(r'"([^"]+)"', files["sw.js"].decode())
    assert "index.html" in kept
    assert [path for path in kept if path.startswith("plan/") or "/chart-" in path] == []


def test_without_a_report_nothing_speaks_of_one(alone: Mapping[str, bytes]) -> None:
    assert plan_files(alone) == []
    assert PLAN_INDEX not in alone["index.html"].decode()


def test_a_practice_without_english_cards_still_has_the_reports_script_words(
    example_handbooks: tuple[Handbook, ...], report: Handbook
) -> None:
    spanish = dataclasses.replace(example_handbooks[1], languages=("es",))
    assert "assets/words.en.js" in site((spanish,), report)


def test_the_same_report_gives_the_same_bytes(
    files: Mapping[str, bytes], example_handbooks: tuple[Handbook, ...], report: Handbook
) -> None:
    assert site(example_handbooks, report) == files


@pytest.mark.parametrize(("page", "template"), PLAN_TEMPLATES.items())
def test_a_plan_template_uses_exactly_the_fields_of_its_context(page: type, template: str) -> None:
    def tree(name: str) -> nodes.Template:
        return environment().parse((shipped_folder("site_templates") / "site" / name).read_text("utf-8"))

    own, layout = tree(template), tree("page.html.j2")
    imported = {node.target for node in own.find_all(nodes.Import)}
    used = (meta.find_undeclared_variables(own) | meta.find_undeclared_variables(layout)) - imported
    assert used == {field.name for field in dataclasses.fields(page)}
