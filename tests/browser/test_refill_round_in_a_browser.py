"""The round on one page: look, fetch, put in; one record with the chairs' own pages; handed to another device."""

from __future__ import annotations

import io
from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path
from typing import Any, Literal

import numpy as np
import pytest
import sample_site
import zxingcpp
from PIL import Image
from playwright.sync_api import Browser, BrowserContext, Page, expect
from test_pages_in_a_browser import TORN, contrast
from test_ticks_in_a_browser import boxes, with_a_new_edition
from visits import PHONE, Server, sized, until, write
from walking import ROUND, chair, go_to, look, now, onward, put, row, stage, there, to_fetch, undo

from kitdocs.document.card import Handbook
from kitdocs.publish.site.build_site import site

pytestmark = pytest.mark.browser

# The sample restocks at 7:30 and at 12:15; six chairs with two shaping pouches, one for trimming and a spare one each.
# In its store the pouch for trimming comes before the one for shaping; nothing says where the spare one stands.

CHAIRS = [f"r/{colour}" for colour in sample_site.CHAIRS]
FULL = {"shaping": 2, "trimming": 1, "spare": 1}


@pytest.fixture
def page(context: BrowserContext, server: Server) -> Page:
    page = context.new_page()
    page.clock.set_fixed_time("2026-03-02T08:00:00")
    page.goto(server.address + ROUND)
    return page


def at(page: Page, time: str) -> None:
    page.clock.set_fixed_time(time)
    page.reload()


def looked_at_all(page: Page) -> None:
    """Teal lacks a shaping pouch and the spare one, navy both shaping pouches; nothing else is missing."""
    look(page, "r/teal", shaping=1, spare=0)
    onward(page)
    onward(page)
    look(page, "r/navy", shaping=0)
    for _ in range(4):
        onward(page)


def test_a_round_from_the_first_drawer_to_the_last(page: Page) -> None:
    assert now(page) == "Chair 1 · teal: open the drawer. Tap how many of each pouch are there."
    looked_at_all(page)
    assert stage(page) == "fetch"
    assert to_fetch(page) == [("shaping", 3, False), ("spare", 1, False)], "as the store has them"
    assert now(page).startswith("In the store: fetch 4,")
    assert page.locator("[data-fetch=shaping] .note").all_inner_texts() == ["Upper shelf", "Chair 1: 1 · Chair 3: 2"]
    for_whom = page.locator("[data-fetch=shaping] .whose > span")
    assert for_whom.evaluate_all("all => all.map((each) => each.getClientRects().length)") == [1, 1], "not parted"
    assert for_whom.all_inner_texts() == ["Chair 1: 1", "Chair 3: 2"]
    wide = "(it) => it.offsetWidth / it.closest('.row-main').clientWidth"
    assert page.locator("[data-fetch=shaping] .whose").evaluate(wide) > 0.95, "many chairs are not a narrow column"
    page.locator("[data-fetch=shaping] .tick").check()
    assert now(page).startswith("In the store: fetch 1,")
    onward(page)
    assert now(page) == "Chair 1 · teal: put in what is listed. Tap each row when it is in the drawer."
    assert page.get_by_text("Clean hands first.").is_visible()
    assert [each for each in CHAIRS if chair(page, each).is_visible()] == ["r/teal", "r/navy"]
    assert not row(page, "r/teal", "trimming").is_visible()
    row(page, "r/teal", "shaping").get_by_role("button", name="Put in 1").click()
    onward(page)
    assert now(page).startswith("Chair 3 · navy: put in what is listed.")
    row(page, "r/navy", "shaping").get_by_role("button", name="Put in 2").click()
    assert now(page) == "Chair 3 · navy is done. Go to the next chair."
    page.get_by_role("button", name="Finish").click()
    assert now(page) == "Everything is back · 8:00 AM"
    assert there(page) == dict.fromkeys(CHAIRS, FULL)
    page.get_by_role("button", name="Start page").click()
    page.wait_for_url("**/index.html")
    expect(page.locator("[data-round]")).to_contain_text("Done: 6 of 6")


def test_a_reload_goes_on_where_the_round_was(page: Page) -> None:
    look(page, "r/teal", shaping=1)
    page.reload()
    assert now(page).startswith("Chair 1 · teal: open the drawer.")
    assert there(page)["r/teal"] == {"shaping": 1, "trimming": None, "spare": None}
    onward(page)
    page.reload()
    assert now(page).startswith("Chair 2 · orange")
    looked_at_all(page)
    page.reload()
    assert stage(page) == "fetch"
    onward(page)
    page.reload()
    assert now(page).startswith("Chair 1 · teal: put in")


def test_the_round_and_the_pages_of_the_chairs_are_one_record(page: Page, server: Server) -> None:
    look(page, "r/teal", shaping=1, trimming=1)
    page.goto(server.address + "r/teal.html")
    assert boxes(page) == [False, True, False]
    assert page.locator(".part").all_inner_texts() == ["1 of 2", "", ""]
    page.get_by_role("checkbox").nth(2).check()
    page.get_by_role("checkbox").nth(0).check()
    assert page.locator(".part").first.inner_text() == ""
    page.goto(server.address + ROUND)
    assert there(page)["r/teal"] == FULL
    assert to_fetch(page) == [("shaping", 1, False)], "it was missing, and is put in"
    put(page, "r/teal", "shaping")
    assert there(page)["r/teal"] == {**FULL, "shaping": 1}
    page.goto(server.address + "es/r/teal.html")
    assert boxes(page) == [False, True, True]
    assert page.locator(".part").first.inner_text() == "1 de 2"
    page.get_by_role("checkbox").nth(1).uncheck()
    page.goto(server.address + "es/" + ROUND)
    assert there(page)["r/teal"] == {**FULL, "shaping": 1, "trimming": None}


def test_what_is_missing_in_part_is_sent_as_such(page: Page, server: Server) -> None:
    page.add_init_script("navigator.share = async (what) => { self.shared = what; };")
    look(page, "r/teal", shaping=1, trimming=1)
    page.goto(server.address + "r/teal.html")
    page.get_by_role("button", name="Send what is missing (2)").click()
    sent = "Chair 1 · teal – missing:\n1 × Wire-shaping pouch\n1 × Spare pouch"
    assert page.evaluate("self.shared.text") == sent


def test_what_was_not_to_be_had_is_told_at_the_end(page: Page) -> None:
    page.evaluate("() => { navigator.share = async (what) => { self.shared = what; }; }")
    looked_at_all(page)
    go_to(page, "fill")
    put(page, "r/teal", "spare")
    put(page, "r/navy", "shaping")
    chair(page, "r/navy").locator("summary").click()  # no more to be put in
    assert now(page) == "Still missing: 1. Nothing more to put in? Send the list below."
    page.get_by_role("button", name="Send what is missing (1)").click()
    assert page.evaluate("self.shared") == {"text": "Still missing\nChair 1 · teal: 1 × Wire-shaping pouch"}
    page.reload()
    assert stage(page) == "fetch", "the round is not over"


def test_every_tap_can_be_undone_also_after_a_reload(page: Page) -> None:
    seen = [there(page)]
    look(page, "r/teal", shaping=1)
    seen.append(there(page))
    look(page, "r/teal", shaping=0)
    seen.append(there(page))
    onward(page)
    seen.append(there(page))
    assert seen[-1]["r/teal"] == {"shaping": 0, "trimming": 1, "spare": 1}
    go_to(page, "fetch")
    page.locator("[data-fetch=shaping] .tick").check()
    put(page, "r/teal", "shaping")
    page.reload()
    undo(page)
    assert there(page) == seen[-1]
    undo(page)
    assert to_fetch(page) == [("shaping", 2, False)]
    assert stage(page) == "fetch", "where it was done"
    for before in reversed(seen[:-1]):
        page.reload()
        undo(page)
        assert there(page) == before
    assert page.locator("[data-undo]").is_disabled()


def test_beginning_anew_can_be_undone(page: Page) -> None:
    looked_at_all(page)
    before = there(page)
    page.get_by_role("button", name="Begin the round anew").click()
    assert there(page) == {each: dict.fromkeys(FULL) for each in CHAIRS}
    assert now(page).startswith("Chair 1 · teal: open")
    undo(page)
    assert there(page) == before


def test_a_tap_is_not_undone_over_what_was_ticked_since_on_the_chairs_page(page: Page, server: Server) -> None:
    look(page, "r/teal", shaping=1)
    other = page.context.new_page()
    other.clock.set_fixed_time("2026-03-02T08:01:00")
    other.goto(server.address + "r/teal.html")
    other.get_by_role("checkbox").nth(2).check()
    expect(row(page, "r/teal", "spare").locator("input:checked")).to_have_value("1")
    assert page.locator("[data-undo]").is_disabled()


def test_a_new_round_begins_at_its_time_and_at_midnight(page: Page) -> None:
    looked_at_all(page)
    at(page, "2026-03-02T12:14:59")
    assert stage(page) == "fetch"
    at(page, "2026-03-02T12:15:00")
    assert there(page) == {each: dict.fromkeys(FULL) for each in CHAIRS}
    assert page.locator("[data-undo]").is_disabled(), "what was done in another round"
    assert not page.get_by_role("button", name="Keep the ticks just made").is_visible()
    look(page, "r/teal", shaping=1)
    at(page, "2026-03-03T00:00:01")
    assert there(page)["r/teal"]["shaping"] == 1, "the last round of a day lasts until the first of the next"
    at(page, "2026-03-03T07:30:00")
    assert there(page)["r/teal"]["shaping"] is None


def test_where_no_times_are_stated_the_round_begins_at_midnight(context: BrowserContext, tmp_path: Path) -> None:
    books = [replace(book, rounds=()) for book in sample_site.handbooks()]
    server = Server(write(dict(site(books)), tmp_path))
    page = context.new_page()
    page.clock.install(time="2026-03-02T23:50:00")
    page.goto(server.address + ROUND)
    look(page, "r/teal", shaping=1)
    page.clock.fast_forward("10:01")
    expect(row(page, "r/teal", "shaping").locator("input:checked")).to_have_count(0)
    page.get_by_role("button", name="Keep the ticks just made").click()
    assert there(page)["r/teal"]["shaping"] == 1
    assert not page.get_by_role("button", name="Keep the ticks just made").is_visible()
    server.stop()


def test_what_changed_since_it_was_ticked_is_looked_at_again(context: BrowserContext, tmp_path: Path) -> None:
    write(dict(site(sample_site.handbooks())), tmp_path)
    server = Server(tmp_path)
    page = context.new_page()
    page.goto(server.address + ROUND)
    onward(page)
    assert there(page)["r/teal"] == FULL
    write(dict(site(tuple(map(with_a_new_edition, sample_site.handbooks())))), tmp_path)
    page.reload()
    assert there(page)["r/teal"] == {"shaping": None, "new": None, "spare": 1, "trimming": None}
    server.stop()


@pytest.mark.parametrize("spoilt", ["{", "[]", '{"ticked": 3}', '{"ticked": {"spare": {"on": "1", "at": 1, "n": -2}}}'])
def test_a_spoilt_memory_is_no_round(page: Page, spoilt: str) -> None:
    for name in ("ticks r/teal", "ticks fetched", "round steps"):
        page.evaluate("([name, value]) => localStorage.setItem(self.kitdocs.keyOf(name), value)", [name, spoilt])
    page.reload()
    assert there(page)["r/teal"] == dict.fromkeys(FULL)
    look(page, "r/teal", shaping=1)
    undo(page)
    assert there(page)["r/teal"] == dict.fromkeys(FULL)


# Handing over -----------------------------------------------------------------------------------------------------


@pytest.fixture
def other(chromium: Browser) -> Iterator[Page]:
    """Another device, whose clock stands where one sets it."""
    context = chromium.new_context(viewport={"width": PHONE[0], "height": PHONE[1]}, service_workers="block")
    context.set_default_timeout(10_000)
    page = context.new_page()
    page.clock.set_fixed_time("2026-03-02T08:25:00")
    yield page
    context.close()


def code_on(page: Page) -> str:
    """What another device's camera reads from the screen, by ZXing, which did not draw it."""
    if page.locator("[data-hand]").get_attribute("open") is None:
        page.locator("[data-hand] summary").click()
    page.get_by_role("button", name="Show the code").click()
    page.locator("[data-bar]").evaluate("bar => bar.style.setProperty('visibility', 'hidden')")
    screen = Image.open(io.BytesIO(page.screenshot())).convert("L")
    page.locator("[data-bar]").evaluate("bar => bar.style.removeProperty('visibility')")
    (read,) = zxingcpp.read_barcodes(np.array(screen))
    return read.text


def half_way(page: Page) -> dict[str, dict[str, int | None]]:
    """Two drawers looked at, one kind fetched, a pouch put in."""
    look(page, "r/teal", shaping=1, spare=0)
    onward(page)
    onward(page)
    go_to(page, "fetch")
    page.locator("[data-fetch=shaping] .tick").check()
    put(page, "r/teal", "spare")
    return there(page)


def test_the_way_to_hand_a_round_over_looks_as_if_it_opens(page: Page) -> None:
    mark = page.locator(".hand summary").evaluate("it => getComputedStyle(it, '::before').borderBottomWidth")
    assert float(mark.removesuffix("px")) >= 2


def test_a_round_is_handed_over_by_the_code_on_the_screen(page: Page, other: Page) -> None:
    handed = half_way(page)
    other.goto(code_on(page))
    assert other.locator("[data-told]").inner_text().replace("\u202f", " ") == (
        "A round was handed to this device at 8:00 AM, 25 min ago: 6 of 18 rows."
        " This device has nothing of this round yet."
    )
    assert there(other)["r/teal"] == dict.fromkeys(FULL), "nothing is taken over unasked"
    other.get_by_role("button", name="Take it over").click()
    assert there(other) == handed
    assert to_fetch(other) == to_fetch(page) == [("shaping", 1, True), ("spare", 1, False)]
    assert "#" not in other.url, "a reload asks nothing"
    undo(other)
    assert there(other)["r/teal"] == dict.fromkeys(FULL)


def test_who_has_a_round_is_told_what_would_be_replaced_and_may_leave_it(
    page: Page, other: Page, server: Server
) -> None:
    half_way(page)
    address = code_on(page)
    other.goto(server.address + ROUND)
    look(other, "r/orange", shaping=0)
    own = there(other)
    other.goto(address)
    told = other.locator("[data-told]").inner_text().replace("\u202f", " ")
    assert told.endswith("This device has 1 of 18 rows, the last of 8:25 AM. They would be replaced.")
    other.get_by_role("button", name="Leave it").click()
    assert not other.locator("[data-handed]").is_visible()
    assert there(other) == own
    other.goto(address)
    other.get_by_role("button", name="Take it over").click()
    assert there(other)["r/orange"] == FULL
    undo(other)
    assert there(other) == own


def test_a_handed_round_ends_when_the_next_one_begins(page: Page, other: Page) -> None:
    half_way(page)
    address = code_on(page)
    other.clock.set_fixed_time("2026-03-02T12:15:00")
    other.goto(address)
    told = other.locator("[data-told]").inner_text().replace("\u202f", " ")
    assert told == "This link holds a round of 8:00 AM. That round is over; a new one began at 12:15 PM."
    assert not other.get_by_role("button", name="Take it over").is_visible()


def test_a_round_that_ends_while_it_is_asked_about_is_not_taken_over(page: Page, other: Page) -> None:
    half_way(page)
    other.goto(code_on(page))
    other.clock.set_fixed_time("2026-03-02T12:15:00")
    other.get_by_role("button", name="Take it over").click()
    assert other.locator("[data-told]").inner_text().startswith("This link holds a round of")
    assert there(other)["r/teal"] == dict.fromkeys(FULL)


def test_a_clock_that_differs_is_told(page: Page, other: Page) -> None:
    half_way(page)
    address = code_on(page)
    other.clock.set_fixed_time("2026-03-02T07:40:00")
    other.goto(address)
    assert "The clock of one of the two devices is wrong." in other.locator("[data-told]").inner_text()


def test_ticks_kept_from_before_the_round_are_handed_over_too(page: Page, other: Page) -> None:
    at(page, "2026-03-02T12:10:00")
    look(page, "r/teal", shaping=1)
    at(page, "2026-03-02T12:16:00")
    page.get_by_role("button", name="Keep the ticks just made").click()
    address = code_on(page)
    other.clock.set_fixed_time("2026-03-02T12:20:00")
    other.goto(address)
    other.get_by_role("button", name="Take it over").click()
    assert there(other)["r/teal"]["shaping"] == 1
    other.clock.set_fixed_time("2026-03-03T07:30:00")
    other.reload()
    assert there(other)["r/teal"]["shaping"] is None


@pytest.mark.parametrize(
    "broken",
    [
        lambda text: text[:-1] if text[-1] != "-" else text + "x",
        lambda text: text.replace("#round=1.", "#round=2."),
        lambda text: text + "-",
        lambda text: text.rsplit(".", 1)[0],
        lambda text: text.replace("W0", "X0"),
        lambda text: text.split("=")[0] + "=<b>",
        lambda text: text.replace("1P0", "1G0"),
    ],
)
def test_a_link_that_is_not_whole_is_refused(page: Page, other: Page, server: Server, broken: Any) -> None:
    half_way(page)
    address = code_on(page)
    assert broken(address) != address
    other.goto(broken(address))
    assert other.locator("[data-told]").inner_text().startswith("This link was made with another edition")
    other.get_by_role("button", name="Leave it").click()
    assert there(other)["r/teal"] == dict.fromkeys(FULL)


def test_a_round_of_another_edition_of_the_handbook_is_refused(page: Page, other: Page, tmp_path: Path) -> None:
    half_way(page)
    fragment = code_on(page).split("#")[1]
    server = Server(write(dict(site(tuple(map(with_a_new_edition, sample_site.handbooks())))), tmp_path))
    other.goto(f"{server.address}{ROUND}#{fragment}")
    assert other.locator("[data-told]").inner_text().startswith("This link was made with another edition")
    server.stop()


def test_a_round_is_handed_over_in_the_other_language(page: Page, other: Page) -> None:
    handed = half_way(page)
    other.goto(code_on(page).replace(ROUND, "es/" + ROUND))
    other.get_by_role("button", name="Tomarla").click()
    assert there(other) == handed


def test_the_link_is_shared_or_copied(page: Page) -> None:
    half_way(page)
    page.locator("[data-hand] summary").click()
    page.evaluate("() => { navigator.share = async (what) => { self.shared = what.text; }; }")
    page.get_by_role("button", name="Send the link").click()
    until(page, "() => (self.shared || '').includes('#round=1.')")
    assert page.locator("[data-made]").inner_text().replace("\u202f", " ") == "Made at 8:00 AM: 6 of 18 rows."
    look(page, "r/orange", shaping=1)
    assert page.locator("[data-made]").inner_text() == "", "it would tell of another moment"


def test_from_a_folder_the_round_works_and_nothing_is_handed_over(context: BrowserContext, folder: Path) -> None:
    page = context.new_page()
    broken: list[str] = []
    page.on("console", lambda message: broken.append(message.text))
    page.goto((folder / ROUND).as_uri())
    look(page, "r/teal", shaping=1)
    page.reload()
    assert there(page)["r/teal"]["shaping"] == 1
    assert not page.locator("[data-hand]").is_visible()
    assert broken == []


def test_without_a_network_the_round_goes_on(keeping: BrowserContext, folder: Path) -> None:
    server = Server(folder)
    page = keeping.new_page()
    page.goto(server.address)
    page.evaluate("navigator.serviceWorker.ready.then(() => undefined)")
    server.stop()
    page.goto(server.address + ROUND)
    look(page, "r/teal", shaping=1)
    page.goto(server.address + "es/" + ROUND)
    assert there(page)["r/teal"]["shaping"] == 1


# For hands, eyes and keyboards -----------------------------------------------------------------------------------

SMALL = """() => [...document.querySelectorAll("article :is(button, a, summary, label, .tick)")]
    .filter((one) => one.checkVisibility())
    .map((one) => [one.outerHTML.slice(0, 60), one.getBoundingClientRect()])
    .filter(([, box]) => Math.min(box.width, box.height) < 56).map(([html, box]) => [html, box.width, box.height])"""


@pytest.mark.parametrize("width", [195, 320, 390, 820, 1280])
def test_a_gloved_thumb_hits_all_that_is_tapped_at_every_stage(page: Page, width: int) -> None:
    sized(page, width, 844)
    assert page.evaluate(SMALL) == []
    looked_at_all(page)
    page.locator("[data-go=look]").click()
    page.locator("[data-hand] summary").click()
    page.get_by_role("button", name="Show the code").click()
    for name in ("look", "fetch", "fill"):
        go_to(page, name)
        assert page.evaluate(SMALL) == [], name
        assert page.evaluate("document.documentElement.scrollWidth") <= width, name
        assert page.evaluate(TORN) == [], name


def test_text_twice_as_large_tears_no_word_apart_at_any_stage(page: Page) -> None:
    # WCAG 2.2, 1.4.4: the reader's own text size, not the zoom.
    looked_at_all(page)
    sizes = {"fontSizes": {"standard": 32, "fixed": 26}}  # usually 16 and 13 CSS px
    page.context.new_cdp_session(page).send("Page.setFontSizes", sizes)
    until(page, "() => getComputedStyle(document.documentElement).fontSize === '32px'")
    for name in ("look", "fetch", "fill"):
        go_to(page, name)
        assert page.evaluate(TORN) == [], name
        assert page.evaluate("document.documentElement.scrollWidth") <= PHONE[0], name


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_what_was_tapped_can_be_told_where_the_screen_forces_colours(
    chromium: Browser, server: Server, scheme: Literal["light", "dark"]
) -> None:
    context = chromium.new_context(service_workers="block", forced_colors="active", color_scheme=scheme)
    page = context.new_page()
    page.goto(server.address + ROUND)
    look(page, "r/teal", shaping=1)
    ground = "(e) => getComputedStyle(e).backgroundColor"
    numbers = row(page, "r/teal", "shaping").locator(".many span").all()
    grounds = [number.evaluate(ground) for number in numbers]
    assert grounds[0] == grounds[2] != grounds[1]
    for each in numbers:
        assert contrast(Image.open(io.BytesIO(each.screenshot())).convert("RGB")) >= 4.5
    context.close()


def test_a_round_with_the_keyboard_only(page: Page) -> None:
    def tab_to(which: str) -> None:
        for _ in range(60):
            page.keyboard.press("Tab")
            if page.evaluate("(which) => document.activeElement.matches(which)", which):
                hidden = page.evaluate(
                    """() => {
                        const at = document.activeElement.getBoundingClientRect(), bar = document.querySelector(".bar");
                        return !bar.contains(document.activeElement) && at.bottom > bar.getBoundingClientRect().top + 1;
                    }"""
                )
                assert not hidden, which  # WCAG 2.2, 2.4.12 Focus Not Obscured (Enhanced)
                return
        raise AssertionError(f"the keyboard does not come to {which}")

    tab_to("[data-chair='r/teal'] [data-item=shaping] input")
    page.keyboard.press("ArrowRight")
    assert there(page)["r/teal"]["shaping"] == 1
    for _ in CHAIRS:
        tab_to("[data-next]")
        page.keyboard.press("Enter")
    assert stage(page) == "fetch"
    tab_to("[data-fetch=shaping] input")
    page.keyboard.press("Space")
    tab_to("[data-next]")
    page.keyboard.press("Enter")
    assert page.evaluate("document.activeElement.matches(\"[data-chair='r/teal'] summary\")"), "the drawer comes next"
    tab_to(".put")
    page.keyboard.press("Space")
    tab_to("[data-next]")
    page.keyboard.press("Enter")
    assert now(page).startswith("Everything is back")


def test_without_a_script_everything_is_listed_and_nothing_is_dead(chromium: Browser, server: Server) -> None:
    context = chromium.new_context(java_script_enabled=False, viewport={"width": 390, "height": 844})
    page = context.new_page()
    page.goto(server.address + ROUND)
    assert page.locator("button:visible, input:visible").count() == 0
    page.get_by_text("Chair 3").click()
    assert page.locator("[data-chair='r/navy'] .count").first.is_visible()
    page.locator("[data-chair='r/navy'] a").click()
    assert page.url.endswith("r/navy.html")
    context.close()


# The example's seven chairs --------------------------------------------------------------------------------------


def test_seven_chairs_take_fewer_taps_than_seven_pages(
    context: BrowserContext, example_handbooks: tuple[Handbook, ...], tmp_path: Path
) -> None:
    """Nine pouches are missing. On seven pages: each chair opened, each row ticked; what is missing is kept in mind."""
    server = Server(write(dict(site(example_handbooks)), tmp_path))
    page = context.new_page()
    page.add_init_script(
        "self.taps = 0; addEventListener('click', (e) => { self.taps += e.isTrusted ? 1 : 0; }, true);"
    )
    before = 0
    page.goto(server.address)
    with page.expect_navigation():
        page.locator(".tile").first.click()
    before += 1
    for _ in range(7):
        rows = page.locator(".ticks .row-main").all()
        for each in rows:
            each.click()
        with page.expect_navigation():
            page.locator(".onward .next").click()
        before += len(rows) + 1

    page.goto(server.address + "index.html")
    page.evaluate("localStorage.clear()")
    page.locator(".around").click()
    page.locator("[data-stages]").wait_for()
    after = 1
    lacking = {
        "r/chair-1": {"ties": 2}, "r/chair-2": {"bends": 1}, "r/chair-3": {"ties": 2, "loose-band": 1},
        "r/chair-5": {"trim": 1}, "r/exam-room": {"bends": 1},
    }  # fmt: skip
    for card in example_handbooks[0].cards:
        if card.kind == "refill-chair":
            for thing, n in lacking.get(card.id, {}).items():
                row(page, card.id, thing).locator(".many label").nth(n).click()
                after += 1
            onward(page)
            after += 1
    assert stage(page) == "fetch"
    fetched = to_fetch(page)
    for thing, _, _ in fetched:
        page.locator(f"[data-fetch='{thing}'] .tick").check()
    after += len(fetched)
    onward(page)
    after += 1
    for _ in range(len(lacking)):
        onward(page)
        after += 1
    assert now(page).startswith("Everything is back")
    assert (before, after) == (1 + 24 + 7, 1 + 6 + 7 + len(fetched) + 1 + 5)
    assert after < before
    server.stop()
