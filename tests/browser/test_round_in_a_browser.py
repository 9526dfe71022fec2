"""The whole round with the example's printed cards: a code is read from the PDF, its page opened, a chair refilled."""

from __future__ import annotations

import gzip
import mimetypes
from collections.abc import Mapping
from dataclasses import replace
from urllib.parse import unquote, urlsplit

import pypdfium2
import pytest
import zxingcpp
from playwright.sync_api import Browser, BrowserContext, Page, Route, expect
from test_pages_in_a_browser import TORN
from visits import PHONE, SPANISH_PHONE, ZOOMED, until

from kitdocs.document.card import Handbook
from kitdocs.document.history import EarlierEdition
from kitdocs.publish.handbook_folder import paper_of
from kitdocs.publish.print.documents import REFILL_CARDS
from kitdocs.publish.print.rendering import Rendering
from kitdocs.publish.site.build_site import site

pytestmark = [pytest.mark.browser, pytest.mark.whole]

#: A refill page with all it loads but the typeface, compressed as it travels (gzip, RFC 1952).
MOST_BYTES = 40 * 1024


@pytest.fixture(scope="module")
def files(example_handbooks: tuple[Handbook, ...]) -> Mapping[str, bytes]:
    """The example's site after four printings that every refill card has outlived, with much that is different now."""
    return site([much_printed(book) for book in example_handbooks], paper=paper_of)


def much_printed(book: Handbook) -> Handbook:
    changes = tuple(f"Wire-shaping pouch {number}: scissors → distal end cutter" for number in range(20))
    earlier = {
        card.id: tuple(
            EarlierEdition(edition=f"PAST{month}{book.language.upper()}", printed=f"2026-0{month}-12", changes=changes)
            for month in (7, 5, 3, 1)
        )
        for card in book.cards
        if card.form == "wall"
    }
    return replace(book, earlier=earlier)


@pytest.fixture(scope="module", params=[0, 1], ids=["first-language", "second-language"])
def scanned(request: pytest.FixtureRequest, example_handbooks: tuple[Handbook, ...]) -> list[str]:
    """What a phone reads from the finished sheets: the address in every code, by ZXing, which wrote none of them."""
    pdf = pypdfium2.PdfDocument(REFILL_CARDS.render(Rendering(example_handbooks[request.param])))
    pages = [pdf[number].render(scale=200 / 72).to_pil() for number in range(len(pdf))]
    return [code.text for page in pages for code in zxingcpp.read_barcodes(page)]


@pytest.fixture
def phone(chromium: Browser, files: Mapping[str, bytes], example_handbooks: tuple[Handbook, ...]) -> BrowserContext:
    """A phone on which the practice's site is found at its own address."""
    context = chromium.new_context(viewport={"width": PHONE[0], "height": PHONE[1]}, service_workers="block")
    context.set_default_timeout(10_000)
    top = example_handbooks[0].site.rstrip("/") + "/"

    def answer(route: Route) -> None:
        address = urlsplit(route.request.url)._replace(fragment="", query="").geturl()
        path = unquote(address.removeprefix(top))
        kind = mimetypes.guess_type(path)[0] or "application/octet-stream"
        found = files.get(path)
        route.fulfill(status=200 if found else 404, body=found or b"", content_type=kind)

    context.route(f"{top}**", answer)
    return context


def test_from_the_printed_code_round_the_chairs(
    phone: BrowserContext, scanned: list[str], example_handbooks: tuple[Handbook, ...]
) -> None:
    spanish = "/es/" in scanned[0]
    if spanish:
        phone.add_init_script(SPANISH_PHONE)
    page = phone.new_page()
    book = example_handbooks[spanish]
    by_page = {urlsplit(address).path: address for address in scanned}
    assert len(by_page) == sum(card.form == "wall" for card in book.cards)
    chairs = [card for card in book.cards if card.kind == "refill-chair"]
    address = by_page[f"/{book.folder}{chairs[0].id}.html"]
    assert address.endswith(f"#{chairs[0].edition}")

    page.goto(address)
    current = "Esta tarjeta está vigente." if spanish else "This card is current."
    expect(page.get_by_text(current)).to_be_visible()
    boxes = page.get_by_role("checkbox").all()
    for row in page.locator(".row").all():
        row.click()  # anywhere in the row, as a gloved thumb does
    all_back = "Todo está en su lugar" if spanish else "Everything is back"
    expect(page.locator("[data-count]")).to_contain_text(all_back)
    page.reload()
    assert all(box.is_checked() for box in boxes)
    page.locator("[data-clear]").click()
    assert not any(box.is_checked() for box in boxes)
    page.get_by_role("link", name="Siguiente" if spanish else "Next").click()
    page.wait_for_url(f"**/{chairs[1].id}.html")
    assert page.locator("h1").inner_text() == chairs[1].title
    page.get_by_role("link", name="Anterior" if spanish else "Previous").click()
    page.wait_for_url(f"**/{chairs[0].id}.html")

    page.goto("about:blank")
    page.goto(address.split("#")[0] + "#OLD22")
    expect(page.locator("[data-verdict]")).to_have_attribute("data-state", "unknown")
    page.goto("about:blank")
    page.goto(address.split("#")[0] + "#PAST5EN")
    # The first of twenty differences and the way to all: the list of what belongs there stays near.
    expect(page.locator("[data-verdict] li")).to_have_count(4)
    page.locator("[data-verdict] a[data-earlier]").click()
    page.wait_for_url("**/*.earlier.html#PAST5EN")
    expect(page.locator("#PAST5EN")).to_be_in_viewport()


def test_a_round_with_the_keyboard_only(phone: BrowserContext, example_handbooks: tuple[Handbook, ...]) -> None:
    book = example_handbooks[0]
    first, second = [card for card in book.cards if card.kind == "refill-chair"][:2]
    page = phone.new_page()
    page.goto(book.site.rstrip("/") + "/index.html")
    tabbed_to(page, f"a[href='{first.id}.html']")
    page.keyboard.press("Enter")
    page.wait_for_url(f"**/{first.id}.html")
    for number in range(page.get_by_role("checkbox").count()):
        tabbed_to(page, f".row:nth-child({number + 1}) input")
        page.keyboard.press("Space")
    expect(page.locator("[data-count]")).to_contain_text("Everything is back")
    tabbed_to(page, ".onward .next")
    page.keyboard.press("Enter")
    page.wait_for_url(f"**/{second.id}.html")


def test_the_bar_below_never_hides_what_the_keyboard_has_reached(
    phone: BrowserContext, files: Mapping[str, bytes], example_handbooks: tuple[Handbook, ...]
) -> None:
    # WCAG 2.2, 2.4.12 Focus Not Obscured (Enhanced).
    page = phone.new_page()
    for width, height in ((320, 640), PHONE):
        page.set_viewport_size({"width": width, "height": height})
        page.goto(example_handbooks[1].site.rstrip("/") + "/" + fullest_pages(example_handbooks[1], files)[-1])
        page.locator("[data-verdict][data-state=neutral]").wait_for()
        for _ in range(page.get_by_role("checkbox").count() + 8):
            page.keyboard.press("Tab")
            assert not page.evaluate(
                """() => {
                    const bar = document.querySelector(".bar"), at = document.activeElement;
                    return !bar.contains(at) && at.getBoundingClientRect().bottom > bar.getBoundingClientRect().top;
                }"""
            ), page.evaluate("document.activeElement.outerHTML")


def tabbed_to(page: Page, which: str) -> None:
    for _ in range(40):
        page.keyboard.press("Tab")
        if page.evaluate("(which) => document.activeElement.matches(which)", which):
            return
    raise AssertionError(f"the keyboard does not come to {which}")


def fullest_pages(book: Handbook, files: Mapping[str, bytes]) -> list[str]:
    """Of the chairs, the add-ons and the sets the page with the most on it."""
    kinds = ("refill-chair", "refill-add-on", "refill-set")
    pages = [[f"{book.folder}{card.id}.html" for card in book.cards if card.kind == kind] for kind in kinds]
    return [max(alike, key=lambda path: files[path].count(b"<img")) for alike in pages]


def test_a_refill_page_is_light(
    phone: BrowserContext, files: Mapping[str, bytes], example_handbooks: tuple[Handbook, ...]
) -> None:
    weights: dict[str, int] = {}
    top = example_handbooks[0].site.rstrip("/") + "/"
    for path in [path for book in example_handbooks for path in fullest_pages(book, files)]:
        page = phone.new_page()
        asked: list[str] = []
        page.on("request", lambda request, asked=asked: asked.append(urlsplit(request.url).path.lstrip("/")))  # type: ignore[call-overload]
        page.goto(top + path)
        page.locator("[data-verdict][data-state=neutral]").wait_for()
        page.evaluate("scrollTo(0, document.body.scrollHeight)")
        loaded = {path for path in asked if not path.endswith(".woff2")}
        assert {"assets/blocks.css", "assets/ticks.js", "editions.json"} < loaded
        assert not any(path.endswith(".earlier.html") for path in loaded), "nobody has scanned an old card"
        assert files[path].count(b"PAST") == 4 * 2, "every card that was printed is known"
        assert sum(path.endswith(".svg") for path in loaded) > 5
        weights[path] = sum(len(gzip.compress(files[path])) for path in loaded)
        page.close()
    assert len(weights) == 6

    assert {path: weight for path, weight in weights.items() if weight > MOST_BYTES} == {}


def test_what_is_tapped_on_a_refill_page_is_large(
    phone: BrowserContext, files: Mapping[str, bytes], example_handbooks: tuple[Handbook, ...]
) -> None:
    # WCAG 2.2, 2.5.5 Target Size (Enhanced): 44 by 44 CSS px; a row is the target of its box.
    top = example_handbooks[0].site.rstrip("/") + "/"
    page = phone.new_page()
    for width in (320, PHONE[0]):
        page.set_viewport_size({"width": width, "height": 640})
        for path in fullest_pages(example_handbooks[1], files):
            page.goto(top + path)
            page.locator("[data-verdict][data-state=neutral]").wait_for()
            assert smallest(page, "a:not(.skip), button, input") >= 44, path
            assert smallest(page, ".ticks .row", of="height") >= 56, path
            assert page.evaluate("document.documentElement.scrollWidth") <= width, path


def test_the_fullest_refill_pages_are_read_at_200_percent(
    phone: BrowserContext, files: Mapping[str, bytes], example_handbooks: tuple[Handbook, ...]
) -> None:
    # WCAG 2.2, 1.4.4 Resize Text and 1.4.10 Reflow: as zoom, on half the width, and as the reader's own text size.
    top = example_handbooks[0].site.rstrip("/") + "/"
    page = phone.new_page()
    fullest = [path for book in example_handbooks for path in (*fullest_pages(book, files), f"{book.folder}index.html")]
    whole: dict[str, int] = {}
    for path in fullest:
        page.goto(top + path)
        whole[path] = page.evaluate("document.documentElement.scrollHeight")
        page.set_viewport_size({"width": ZOOMED[0], "height": ZOOMED[1]})
        assert names_torn(page) == [], path
        assert page.evaluate("document.documentElement.scrollHeight") <= 2.2 * whole[path], path
        page.set_viewport_size({"width": PHONE[0], "height": PHONE[1]})
    sizes = {"fontSizes": {"standard": 32, "fixed": 26}}  # usually 16 and 13 CSS px
    phone.new_cdp_session(page).send("Page.setFontSizes", sizes)
    for path in fullest:
        page.goto(top + path)
        until(page, "() => getComputedStyle(document.documentElement).fontSize === '32px'")
        assert names_torn(page) == [], path
        assert page.evaluate("document.documentElement.scrollHeight") <= 4.4 * whole[path], path


def names_torn(page: Page) -> list[object]:
    """Texts that are torn apart, without names of short words, which may stand one below the other."""
    torn: list[tuple[str, int]] = page.evaluate(TORN)
    return [(text, lines) for text, lines in torn if lines > len(text.split())]


def smallest(page: Page, which: str, of: str = "") -> float:
    sizes: list[float] = page.eval_on_selector_all(
        which,
        """(all, of) => all.filter((one) => one.checkVisibility()).map((one) => one.getBoundingClientRect())
            .map((box) => of ? box[of] : Math.min(box.width, box.height))""",
        of,
    )
    assert sizes
    return min(sizes)
