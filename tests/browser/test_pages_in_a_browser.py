"""Every kind of page, as a browser draws it: accessible, large enough to hit, and quiet on the network."""

from __future__ import annotations

import io
import re
from pathlib import Path
from typing import Literal

import pytest
from axe_playwright_python.sync_playwright import Axe
from PIL import Image
from playwright.sync_api import Browser, BrowserContext, Page
from visits import DESKTOP, PAGES, PHONE, TABLET, ZOOMED, Server, opened, sized, until

pytestmark = pytest.mark.browser

#: What axe says of these depends on how wide and how dark the screen is; all else is the same on every screen.
ON_THE_SCREEN = ("color-contrast", "target-size", "scrollable-region-focusable", "link-in-text-block")
BAR = "document.querySelector('.bar')"
EVERYTHING: dict[str, object] = {"rules": {"target-size": {"enabled": True}}}  # it is off by default
ONLY_ON_THE_SCREEN: dict[str, object] = {"runOnly": {"type": "rule", "values": ON_THE_SCREEN}}


@pytest.mark.parametrize(
    ("size", "scheme", "options"),
    [
        # axe-core with all its rules, those of WCAG 2.2 AA and the best practices
        (PHONE, "light", EVERYTHING),
        (DESKTOP, "dark", EVERYTHING),
        (PHONE, "dark", ONLY_ON_THE_SCREEN),
        (DESKTOP, "light", ONLY_ON_THE_SCREEN),
    ],
    ids=["phone-light", "desktop-dark", "phone-dark", "desktop-light"],
)
def test_axe_finds_nothing(
    opened_pages: dict[str, Page], size: tuple[int, int], scheme: Literal["light", "dark"], options: dict[str, object]
) -> None:
    found = {}
    for path, page in opened_pages.items():
        sized(page, *size).emulate_media(color_scheme=scheme)
        page.evaluate(f"{BAR}?.style.setProperty('position', 'static')")  # what it covers is a scroll away
        result = Axe().run(page, options=options)
        page.evaluate(f"{BAR}?.style.removeProperty('position')")
        assert "color-contrast" in {rule["id"] for rule in result.response["passes"]}
        if result.violations_count:
            found[path] = result.generate_snapshot() + str(
                [node["html"][:200] for v in result.response["violations"] for node in v["nodes"]][:3]
            )
    assert found == {}


def test_axe_would_find_a_fault(context: BrowserContext, server: Server) -> None:
    page = context.new_page()
    page.goto(server.address + "r/teal.html")
    page.evaluate("document.querySelector('.detail').style.color = '#aaaaaa'")
    assert "color-contrast" in Axe().run(page).generate_snapshot()


def test_nothing_is_asked_of_any_other_place(keeping: BrowserContext, server: Server) -> None:
    page = keeping.new_page()
    asked: list[str] = []
    broken: list[str] = []
    keeping.on("request", lambda request: asked.append(request.url))
    page.on("console", lambda message: broken.append(message.text) if message.type in {"error", "warning"} else None)
    page.on("pageerror", lambda error: broken.append(str(error)))
    for path in PAGES:
        opened(page, server.address + path)
    assert len(asked) > 100
    assert {url for url in asked if not url.startswith(server.address)} == set()
    assert broken == []


def test_what_is_tapped_is_large_enough(opened_pages: dict[str, Page]) -> None:
    # WCAG 2.2, 2.5.5: 44 by 44 CSS px. A link inside a sentence or a table's cell is exempt (2.5.8, "inline").
    too_small = """() => [...document.querySelectorAll('a, button, input, summary, label')]
            .filter((e) => e.checkVisibility() && !e.matches('.skip, .find label, .prose a, .cell a'))
            .map((e) => {
                const box = e.getBoundingClientRect();
                const after = e.matches('.row a.name') ? e.closest('.row-main').getBoundingClientRect() : box;
                return [e.outerHTML.slice(0, 80), Math.round(after.width), Math.round(after.height)];
            })
            .filter(([, width, height]) => width < 44 || height < 44)"""
    found = {path: sized(page, *PHONE).evaluate(too_small) for path, page in opened_pages.items()}
    assert {path: small for path, small in found.items() if small} == {}


def test_a_row_to_tick_is_high_and_its_box_is_at_the_thumbs_side(context: BrowserContext, server: Server) -> None:
    page = context.new_page()
    opened(page, server.address + "r/teal.html")
    for row in page.locator(".ticks .row").all():
        box, whole = row.locator(".tick").bounding_box(), row.locator("label").bounding_box()
        assert box and whole
        assert whole["height"] >= 56
        assert box["width"] >= 44
        assert box["x"] > PHONE[0] * 0.75


@pytest.mark.parametrize("width", [ZOOMED[0], 320, PHONE[0], TABLET[0], DESKTOP[0]])
def test_no_page_is_wider_than_its_screen(opened_pages: dict[str, Page], width: int) -> None:
    # WCAG 2.2, 1.4.10: at 320 CSS px nothing is moved sideways but drawings and tables, in frames of their own.
    scroll = {
        path: sized(page, width, 800).evaluate("document.documentElement.scrollWidth")
        for path, page in opened_pages.items()
    }
    assert {path: wide for path, wide in scroll.items() if wide > width} == {}


#: Running text of three lines or more with fewer than six characters a line: a word is torn apart.
TORN = """() => {
    const torn = [];
    const walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
    while (walker.nextNode()) {
        const text = walker.currentNode.textContent.trim(), element = walker.currentNode.parentElement;
        if (text.length < 4 || !element.checkVisibility() || element.closest('.vh, .scroll')) continue;
        const range = document.createRange();
        range.selectNodeContents(walker.currentNode);
        const lineHeight = parseFloat(getComputedStyle(element).lineHeight);
        const lines = Math.round(range.getBoundingClientRect().height / lineHeight);
        if (lines > 2 && text.length / lines < 6) torn.push([text, lines]);
    }
    return torn;
}"""


def test_a_phone_at_200_percent_zoom_tears_no_word_apart(opened_pages: dict[str, Page]) -> None:
    # WCAG 2.2, 1.4.4 Resize Text and 1.4.10 Reflow. On half the width, text takes twice the height.
    torn: dict[str, object] = {}
    for path, page in opened_pages.items():
        heights = [sized(page, *screen).evaluate("document.documentElement.scrollHeight") for screen in (PHONE, ZOOMED)]
        found = page.evaluate(TORN)
        if found or heights[1] > 2.2 * heights[0]:
            torn[path] = heights, found
    assert torn == {}


@pytest.mark.parametrize("path", ["index.html", "r/teal.html", "es/r/navy.html", "set/core.html", "map.html"])
def test_text_twice_as_large_tears_no_word_apart(context: BrowserContext, server: Server, path: str) -> None:
    # WCAG 2.2, 1.4.4: the reader's own text size, not the zoom.
    page = context.new_page()
    opened(page, server.address + path)
    before = page.evaluate("document.documentElement.scrollHeight")
    sizes = {"fontSizes": {"standard": 32, "fixed": 26}}  # usually 16 and 13 CSS px
    context.new_cdp_session(page).send("Page.setFontSizes", sizes)
    until(page, "() => getComputedStyle(document.documentElement).fontSize === '32px'")
    assert page.evaluate(TORN) == []
    assert page.evaluate("document.documentElement.scrollHeight") <= 4.4 * before, "twice the lines, twice as high"
    assert page.evaluate("document.documentElement.scrollWidth") <= PHONE[0]


@pytest.mark.parametrize("size", [PHONE, (320, 568)])
@pytest.mark.parametrize(
    "path", ["first-day", "load/wash", "load/sterilize", "t/exam", "t/small-bonding", "i/hook-crimper", "es/first-day"]
)
def test_every_drawing_is_shown_whole_on_a_phone(
    context: BrowserContext, example_server: Server, path: str, size: tuple[int, int]
) -> None:
    """They stood 576 px wide in frames that were moved sideways."""
    page = context.new_page()
    opened(sized(page, *size), f"{example_server.address}{path}.html")
    drawings = page.locator(".plate:not(.charted)").all()
    for drawing in drawings:
        assert drawing.evaluate("e => e.scrollWidth <= e.clientWidth")
        box = drawing.locator(".drawing").bounding_box()
        assert box and box["x"] + box["width"] <= size[0]
    assert drawings or path.startswith("load/")  # charts, which have drawings of their own for a phone


def test_the_rules_and_their_sources_open_by_topic_and_are_all_on_paper(
    context: BrowserContext, example_server: Server
) -> None:
    """41,413 px long was the page; what was looked for took dozens of screens."""
    page = context.new_page()
    page.goto(example_server.address + "care.html")
    assert page.evaluate("document.documentElement.scrollHeight") < 4 * PHONE[1]
    topics = page.locator("summary")
    for topic in topics.all():
        box = topic.bounding_box()
        assert box and box["height"] >= 44 and box["y"] + box["height"] <= 1.5 * PHONE[1]
    rule = page.get_by_text("Never reach into a drawer", exact=False)
    assert not rule.is_visible()
    topics.first.click()
    assert rule.is_visible()
    topics.first.click()
    page.emulate_media(media="print")
    assert rule.is_visible()
    assert all(row.is_visible() for row in page.locator("tbody tr").all())


def test_a_wide_drawing_says_that_it_is_small_and_opens_by_itself(context: BrowserContext, server: Server) -> None:
    page = context.new_page()
    opened(page, server.address + "set/core.html")
    box = page.locator(".drawing").bounding_box()
    assert box
    assert box["x"] + box["width"] <= PHONE[0]
    page.get_by_role("link", name="Small here: enlarge the picture").click()
    assert page.url.endswith("/assets/pictures/layout-core.svg")


def test_all_chairs_stand_on_one_screen(context: BrowserContext, server: Server) -> None:
    page = context.new_page()
    opened(page, server.address + "index.html")
    for tile in page.locator(".tile").all():
        box = tile.bounding_box()
        assert box
        assert box["y"] + box["height"] <= PHONE[1]


def test_the_next_chair_stays_within_reach(context: BrowserContext, server: Server) -> None:
    page = context.new_page()
    opened(page, server.address + "r/teal.html")
    following = page.get_by_role("link", name=re.compile("^Next.*Chair 2$"))
    for position in (0, 300, 10_000):
        page.evaluate(f"scrollTo(0, {position})")
        box = following.bounding_box()
        assert box
        assert box["y"] > 0
        assert box["y"] + box["height"] <= PHONE[1]
    following.click()
    assert page.url.endswith("r/orange.html")


def test_without_a_script_everything_is_listed_and_nothing_is_dead(chromium: Browser, server: Server) -> None:
    context = chromium.new_context(java_script_enabled=False, viewport={"width": 390, "height": 844})
    page = context.new_page()
    page.goto(server.address + "r/teal.html#OLD22")
    assert page.locator(".row").get_by_text("Wire-shaping pouch").is_visible()
    assert page.get_by_text("Does your printed card show the same one?").is_visible()
    assert page.locator("button:visible, input:visible").count() == 0
    assert page.get_by_role("link", name="Next").is_visible()
    page.goto(server.address + "search.html")
    assert page.locator("button:visible, input:visible").count() == 0
    assert page.get_by_text("Bracket holder").is_visible()
    context.close()


def test_a_card_that_is_gone_leads_back_from_any_depth(context: BrowserContext, server: Server) -> None:
    page = context.new_page()
    answer = page.goto(server.address + "es/r/mauve.html#K7Q2M")
    assert answer and answer.status == 404
    assert page.get_by_role("heading", name="Page not found").is_visible()
    assert page.evaluate("getComputedStyle(document.body).fontFamily").startswith('"Atkinson'), "its style is found"
    page.get_by_role("main").get_by_role("link", name="Search").click()
    assert page.url == server.address + "search.html"


def test_it_opens_from_a_folder(context: BrowserContext, folder: Path) -> None:
    page = context.new_page()
    broken: list[str] = []
    page.on("console", lambda message: broken.append(message.text))
    page.goto((folder / "index.html").as_uri())
    page.get_by_role("searchbox").fill("weingart")
    page.keyboard.press("Enter")
    found = page.locator("[data-found]")
    found.get_by_text("on 7 cards").first.click()
    found.get_by_role("link", name="Chair 1 · teal").first.click()
    assert page.url == (folder / "r/teal.html").as_uri()
    page.get_by_role("checkbox").first.check()
    assert page.get_by_text("1 of 3 back").is_visible()
    page.reload()
    assert page.get_by_role("checkbox").first.is_checked()
    assert page.evaluate("document.fonts.check('16px \"Atkinson Hyperlegible\"')")
    assert page.evaluate("[...document.fonts].some(f => f.status === 'loaded')"), "the typeface is blocked"
    assert page.evaluate("[...document.images].every(i => i.complete && i.naturalWidth > 0)")
    assert page.evaluate("getComputedStyle(document.querySelector('.masthead')).backgroundColor") == "rgb(0, 118, 108)"
    assert broken == []


def test_on_paper_a_card_keeps_its_band_and_boxes_and_loses_the_screen(context: BrowserContext, server: Server) -> None:
    page = context.new_page()
    opened(page, server.address + "r/teal.html")
    page.emulate_media(media="print")
    for gone in (".top", ".verdict", ".bar", ".foot"):
        assert not page.locator(gone).is_visible(), gone
    assert page.locator(".masthead").evaluate("e => getComputedStyle(e).printColorAdjust") == "exact"
    assert page.locator(".tick").first.is_visible()
    assert page.get_by_text("handbook.example/bay/r/teal.html").is_visible()


@pytest.mark.parametrize("preference", ["active", "none"])
def test_a_band_keeps_its_colour_where_the_screen_forces_colours(
    chromium: Browser, server: Server, preference: str
) -> None:
    context = chromium.new_context(service_workers="block", forced_colors=preference)  # type: ignore[arg-type]
    page = context.new_page()
    opened(page, server.address + "r/teal.html")
    assert page.locator(".masthead").evaluate("e => getComputedStyle(e).backgroundColor") == "rgb(0, 118, 108)"
    context.close()


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_a_drawing_can_be_seen_where_the_screen_forces_colours(
    chromium: Browser, server: Server, scheme: Literal["light", "dark"]
) -> None:
    # WCAG 2.2, 1.4.11 Non-text Contrast: 3 to 1, between the darkest and the lightest of each drawing.
    context = chromium.new_context(
        service_workers="block", forced_colors="active", color_scheme=scheme, viewport={"width": 390, "height": 844}
    )
    page = context.new_page()
    seen = 0
    for path in ("index.html", "r/teal.html", "set/core.html", "map.html", "by-picture.html", "i/hook-crimper.html"):
        opened(page, server.address + path)
        page.evaluate(f"{BAR}?.style.setProperty('position', 'static')")
        screen = Image.open(io.BytesIO(page.screenshot(full_page=True))).convert("RGB")
        boxes: list[list[float]] = page.eval_on_selector_all(
            ".tip, .step-picture, .whole, .drawing, .samples img",
            """all => all.map((one) => one.getBoundingClientRect())
                .map((box) => [box.left + scrollX, box.top + scrollY, box.right + scrollX, box.bottom + scrollY])""",
        )
        for box in boxes:
            assert contrast(screen.crop((round(box[0]), round(box[1]), round(box[2]), round(box[3])))) >= 3, (path, box)
            seen += 1
    context.close()
    assert seen > 20


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_where_the_screen_forces_colours_a_step_without_a_number_still_has_its_mark(
    chromium: Browser, example_server: Server, scheme: Literal["light", "dark"]
) -> None:
    """It was a square of ground colour alone, and was gone."""
    context = chromium.new_context(
        service_workers="block", forced_colors="active", color_scheme=scheme, viewport={"width": 820, "height": 1180}
    )
    page = context.new_page()
    opened(page, example_server.address + "storage-map.html")
    screen = Image.open(io.BytesIO(page.screenshot())).convert("RGB")
    steps = page.locator(".unordered .step").all()
    assert len(steps) > 5
    for step in steps:
        box = step.bounding_box()
        assert box
        beside = (round(box["x"]), round(box["y"]) + 4, round(box["x"]) + 32, round(box["y"] + box["height"]) - 4)
        assert contrast(screen.crop(beside)) >= 3
    context.close()


def contrast(image: Image.Image) -> float:
    """The contrast ratio between the darkest and the lightest pixel (WCAG 2.2, relative luminance)."""

    def linear(value: int) -> float:
        share = value / 255
        return share / 12.92 if share <= 0.04045 else ((share + 0.055) / 1.055) ** 2.4

    colours = image.getcolors(image.width * image.height) or []
    lights = [
        0.2126 * linear(red) + 0.7152 * linear(green) + 0.0722 * linear(blue) for _, (red, green, blue) in colours
    ]
    return (max(lights) + 0.05) / (min(lights) + 0.05)
