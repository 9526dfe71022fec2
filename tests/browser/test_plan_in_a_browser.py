"""Every page of the planning report on a phone: what is read is large enough, and no table hides its last column."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Any
from urllib.parse import unquote, urlsplit

import pypdfium2 as pdfium
import pytest
import sample_site
from playwright.sync_api import Browser, BrowserContext, Page, expect
from visits import PHONE, TABLET, ZOOMED, Server, sized, until, write

from kitdocs.planning.plan import Plan
from kitdocs.practice.model import Practice
from kitdocs.publish.site.build_site import site
from kitdocs.report.build_report import make_reports

pytestmark = pytest.mark.browser

NARROW = 320  # WCAG 2.2, 1.4.10 Reflow
READABLE = 12.0  # CSS px


@pytest.fixture(scope="module")
def files(example: Practice, example_plan: Plan) -> Mapping[str, bytes]:
    return site(sample_site.handbooks(), make_reports(example, example_plan, broken=()))


@pytest.fixture(scope="module")
def planned(files: Mapping[str, bytes], tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    server = Server(write(dict(files), tmp_path_factory.mktemp("plan")))
    yield server
    server.stop()


@pytest.fixture(scope="module")
def plan_pages(chromium: Browser, planned: Server, files: Mapping[str, bytes]) -> Iterator[dict[str, Page]]:
    """Every page of the report in every language, with all that is folded open."""
    context = chromium.new_context(service_workers="block", viewport={"width": PHONE[0], "height": PHONE[1]})
    pages = {path: context.new_page() for path in files if re.match(r"(es/)?plan/", path)}
    for path, page in pages.items():
        page.goto(planned.address + path)
        page.evaluate("document.querySelectorAll('details').forEach((folded) => (folded.open = true))")
    assert len(pages) > 40
    yield pages
    context.close()


#: Each drawing's address and how wide it is shown.
DRAWN = """() => [...document.images].filter((image) => image.checkVisibility())
    .map((image) => [image.currentSrc, image.getBoundingClientRect().width])"""
#: The smallest letters of the page itself.
SMALLEST = """() => {
    let least = 99;
    const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
    while (walker.nextNode()) {
        const element = walker.currentNode.parentElement;
        if (walker.currentNode.textContent.trim() && element.checkVisibility()) {
            least = Math.min(least, parseFloat(getComputedStyle(element).fontSize));
        }
    }
    for (const cell of document.querySelectorAll('td[data-label]')) {
        least = Math.min(least, parseFloat(getComputedStyle(cell, '::before').fontSize));
    }
    return least;
}"""


@pytest.mark.parametrize("width", [PHONE[0], NARROW, ZOOMED[0], TABLET[0]])
def test_every_letter_of_a_chart_is_large_enough(
    plan_pages: dict[str, Page], files: Mapping[str, bytes], width: int
) -> None:
    charts, small = 0, []
    for path, page in plan_pages.items():
        page.evaluate("for (const image of document.images) image.loading = 'eager'")
        sized(page, width, 844).wait_for_load_state("networkidle")
        until(page, "[...document.images].every((image) => image.complete && image.currentSrc)")
        assert page.evaluate(SMALLEST) >= READABLE, path
        for address, shown in page.evaluate(DRAWN):
            svg = files[unquote(urlsplit(address).path).removeprefix("/bay/")].decode()
            letters = [float(size) for size in re.findall(r'font-size="([\d.]+)"', svg)]
            box = re.search(r'viewBox="0 0 ([\d.]+)', svg)
            assert box, address
            if letters:
                charts += 1
                size = min(letters) * shown / float(box[1])
                small += [(path, address, round(size, 1))] if size < READABLE else []
    assert small == []
    assert charts >= 22


@pytest.mark.parametrize("width", [PHONE[0], NARROW, ZOOMED[0], TABLET[0]])
def test_no_page_and_no_table_goes_beyond_the_screen(plan_pages: dict[str, Page], width: int) -> None:
    beyond = """(width) => [document.documentElement, ...document.querySelectorAll('.scroll')]
        .filter((frame) => frame.checkVisibility() && frame.scrollWidth > Math.min(frame.clientWidth, width) + 1)
        .map((frame) => frame.getAttribute('aria-label') ?? 'page')"""
    cells = """() => [...document.querySelectorAll('td, th[scope=row]')].filter((cell) => cell.checkVisibility())
        .filter((cell) => cell.scrollWidth > cell.clientWidth + 1).map((cell) => cell.textContent)"""
    for path, page in plan_pages.items():
        sized(page, width, 844)
        assert page.evaluate(beyond, width) == [], path
        assert page.evaluate(cells) == [], path


def test_a_stacked_figure_stands_under_the_heading_of_its_column(plan_pages: dict[str, Page]) -> None:
    page = sized(plan_pages["plan/buying.html"], *PHONE)
    table = page.get_by_role("table").filter(has=page.get_by_role("columnheader", name="Needed")).first
    heads = table.locator("thead th").all_text_contents()
    row = table.locator("tbody tr", has_text="Weingart plier")
    labels = row.locator("td").evaluate_all(
        "cells => cells.map((cell) => getComputedStyle(cell, '::before').content.slice(1, -1))"
    )
    assert labels == heads[1:]
    assert len(labels) == 5
    last = row.locator("td").last.bounding_box()
    assert last
    assert last["x"] + last["width"] <= PHONE[0]
    head = row.get_by_role("rowheader")
    assert head.evaluate("head => getComputedStyle(head).textAlign") == "start", "above its figures, not in the middle"


def opened(context: BrowserContext, address: str) -> Page:
    page = context.new_page()
    page.goto(address)
    return page


def shown(page: Page) -> int:
    return int(page.evaluate("[...document.querySelectorAll('.figure')].filter((e) => e.checkVisibility()).length"))


@pytest.mark.parametrize("folder", ["", "es/"])
def test_every_figure_and_why_begins_with_an_index_of_two_screens_at_most(
    context: BrowserContext, planned: Server, folder: str
) -> None:
    page = opened(context, f"{planned.address}{folder}plan/reasons.html")
    assert page.evaluate("document.documentElement.scrollHeight") <= 2 * PHONE[1]
    assert shown(page) == 0
    page.locator(".section > summary").first.click()
    assert shown(page) == page.locator(".section").first.locator(".figure").count() > 30
    assert page.locator(".figure > p").first.is_hidden()
    page.locator(".figure > summary").first.click()
    expect(page.locator(".figure > p").first).to_be_visible()


def test_a_number_leads_to_its_reason_which_is_open_when_it_comes(context: BrowserContext, planned: Server) -> None:
    page = opened(context, f"{planned.address}plan/sets.html")
    row = page.locator("tr", has_text="Core set").first
    number = row.locator("a.why").inner_text()
    row.locator("a.why").click()
    reason = page.locator("[id='stock.core']")
    expect(reason).to_be_visible()
    expect(reason).to_be_in_viewport()
    expect(page.locator("details.figure", has=reason).locator("summary")).to_contain_text(f"{number} sets")
    assert page.locator("details.section[open]").count() == 1
    page.evaluate("location.hash = 'buy.total'")
    expect(page.locator("[id='buy.total']")).to_be_in_viewport()


@pytest.mark.parametrize(
    ("path", "typed", "found"),
    [("plan/reasons.html", "core set", "Core set: sets to own"), ("es/plan/reasons.html", "REPOSICION", "reposición")],
)
def test_a_figure_is_found_by_its_words(
    context: BrowserContext, planned: Server, path: str, typed: str, found: str
) -> None:
    page = opened(context, planned.address + path)
    count = page.locator(".figure").count()
    page.get_by_role("searchbox").fill(typed)
    expect(page.locator(".figure", has_text=found).first).to_be_visible()
    some = shown(page)
    assert 0 < some < count / 2
    expect(page.locator("[data-found]")).to_contain_text(re.compile(rf"^{some} (of|de) {count} "))
    page.get_by_role("searchbox").fill("")
    assert shown(page) == 0
    expect(page.locator("[data-found]")).to_have_text("")


def test_all_is_opened_and_folded_at_one_tap(context: BrowserContext, planned: Server) -> None:
    page = opened(context, f"{planned.address}plan/reasons.html")
    page.get_by_role("button", name="Open all").click()
    assert page.locator("details:not([open])").count() == 0
    page.get_by_role("button", name="Fold all").click()
    assert page.locator("details[open]").count() == 0


def text_of(pdf: Any) -> str:
    return " ".join(" ".join(page.get_textpage().get_text_bounded() for page in pdfium.PdfDocument(pdf)).split())


@pytest.mark.parametrize("scripted", [True, False], ids=["scripts", "no-scripts"])
def test_paper_shows_every_reason(chromium: Browser, planned: Server, scripted: bool) -> None:
    context = chromium.new_context(service_workers="block", java_script_enabled=scripted)
    page = opened(context, f"{planned.address}plan/reasons.html")
    reasons = [" ".join(text.split()) for text in page.locator(".figure > p").all_text_contents()]
    printed = re.sub(r"\W", "", text_of(page.pdf(width="210mm", height="297mm")))
    context.close()
    assert len(reasons) > 200
    assert [reason for reason in reasons if re.sub(r"\W", "", reason) not in printed] == []


def test_axe_finds_nothing_in_the_report(plan_pages: dict[str, Page]) -> None:
    from axe_playwright_python.sync_playwright import Axe  # noqa: PLC0415

    for path in ("plan/reasons.html", "plan/savings.html", "es/plan/day.html", "plan/buying.html"):
        page = sized(plan_pages[path], *PHONE)
        result = Axe().run(page, options={"rules": {"target-size": {"enabled": True}}})
        assert result.violations_count == 0, result.generate_snapshot()


def test_what_is_asked_for_is_not_cut_in_the_search_field(chromium: Browser, planned: Server) -> None:
    cut = """() => [...document.querySelectorAll('input[placeholder]')].map((input) => {
        const style = getComputedStyle(input), pen = document.createElement('canvas').getContext('2d');
        pen.font = `${style.fontWeight} ${style.fontSize} ${style.fontFamily}`;
        const room = input.clientWidth - parseFloat(style.paddingLeft) - parseFloat(style.paddingRight);
        return [pen.measureText(input.placeholder).width, room];
    })"""
    context = chromium.new_context(service_workers="block", viewport={"width": PHONE[0], "height": PHONE[1]})
    for path in ("index.html", "search.html", "es/index.html", "es/search.html"):
        page = opened(context, planned.address + path)
        page.evaluate("document.fonts.ready")
        fields = page.evaluate(cut)
        assert fields
        assert all(words <= room for words, room in fields), (path, fields)
    context.close()
