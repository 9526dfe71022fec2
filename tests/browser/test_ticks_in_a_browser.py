"""Ticks at the bench."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
import sample_site
from playwright.sync_api import Browser, BrowserContext, Locator, Page, expect
from visits import Server, write

from kitdocs.document.blocks import Items
from kitdocs.publish.site.build_site import site

pytestmark = pytest.mark.browser


def boxes(page: Page) -> list[bool]:
    return [box.is_checked() for box in page.get_by_role("checkbox").all()]


def test_ticks_survive_a_reload_and_another_card_has_its_own(context: BrowserContext, server: Server) -> None:
    page = context.new_page()
    page.goto(server.address + "r/teal.html")
    page.locator(".row", has_text="Spare pouch").click()
    expect(page.get_by_text("1 of 3 back")).to_be_visible()
    page.reload()
    assert boxes(page) == [False, False, True]
    page.goto(server.address + "r/orange.html")
    assert boxes(page) == [False, False, False]


def test_ticks_are_the_same_in_every_language(context: BrowserContext, server: Server) -> None:
    page = context.new_page()
    page.goto(server.address + "r/teal.html")
    page.get_by_role("checkbox").nth(1).check()
    page.get_by_role("link", name="Español").click()
    expect(page.get_by_text("1 de 3 en su lugar")).to_be_visible()
    assert boxes(page) == [False, True, False]


def test_one_tap_clears_and_the_next_takes_it_back(context: BrowserContext, server: Server) -> None:
    page = context.new_page()
    page.goto(server.address + "r/teal.html")
    clear = page.locator("[data-clear]")
    assert clear.is_disabled()
    page.get_by_role("checkbox").nth(0).check()
    page.get_by_role("checkbox").nth(2).check()
    clear.click()
    assert boxes(page) == [False, False, False]
    expect(clear).to_have_text("Undo")
    clear.click()
    assert boxes(page) == [True, False, True]
    clear.click()
    page.reload()
    assert boxes(page) == [False, False, False]


def test_when_all_is_ticked_everything_is_back(context: BrowserContext, server: Server) -> None:
    page = context.new_page()
    page.goto(server.address + "r/teal.html")
    for box in page.get_by_role("checkbox").all():
        box.check()
    expect(page.locator("[data-count]")).to_contain_text("Everything is back · ")


def test_a_new_edition_keeps_the_ticks_of_rows_that_are_the_same(context: BrowserContext, tmp_path: Path) -> None:
    write(dict(site(sample_site.handbooks())), tmp_path)
    server = Server(tmp_path)
    page = context.new_page()
    page.goto(server.address + "r/teal.html")
    for box in page.get_by_role("checkbox").all():
        box.check()
    write(dict(site(tuple(map(with_a_new_edition, sample_site.handbooks())))), tmp_path)
    page.reload()
    ticked = {row.inner_text().splitlines()[0]: row.get_by_role("checkbox").is_checked() for row in rows(page)}
    assert ticked == {"Wire-shaping pouch": False, "New pouch": False, "Spare pouch": True, sample_site.AWKWARD: False}
    again = page.locator("[data-changed]")
    assert again.inner_text() == f"Changed since you ticked it. Check again: Wire-shaping pouch, {sample_site.AWKWARD}"
    page.get_by_role("checkbox").first.check()
    assert again.inner_text() == ""
    page.reload()
    assert boxes(page) == [True, False, True, False]
    server.stop()


def rows(page: Page) -> list[Locator]:
    return page.locator(".row").all()


def with_a_new_edition(book: sample_site.Handbook) -> sample_site.Handbook:
    """One pouch more of the first kind, one of a new kind, and the second holds another instrument."""
    card = book.card("r/teal")
    band, items, *others = card.front
    assert isinstance(items, Items)
    first, second, third = items.items
    now = (
        replace(first, count=3),
        replace(first, id="new", name="New pouch"),
        third,
        replace(second, pictures=(sample_site.tip("explorer"),)),
    )
    newer = replace(card, edition="NEW22", front=(band, replace(items, items=now), *others))
    return replace(book, cards=tuple(newer if c.id == "r/teal" else c for c in book.cards))


def test_what_was_cleared_by_mistake_comes_back_after_a_reload(context: BrowserContext, server: Server) -> None:
    page = context.new_page()
    page.goto(server.address + "r/teal.html")
    page.get_by_role("checkbox").nth(1).check()
    page.locator("[data-clear]").click()
    page.reload()
    assert boxes(page) == [False, False, False]
    page.get_by_role("button", name="Undo").click()
    assert boxes(page) == [False, True, False]
    page.get_by_role("button", name="Clear all ticks").click()
    page.get_by_role("checkbox").nth(0).check()
    expect(page.locator("[data-clear]")).to_have_text("Clear all ticks")  # a new round has begun


def told(page: Page) -> str:
    """What the bar says, with the narrow spaces of times as spaces."""
    return " ".join(page.locator("[data-count]").inner_text().split())


def tick(page: Page, *numbers: int, at: str) -> None:
    """Some rows at a time of the device's clock, on a page that is opened anew."""
    page.clock.set_fixed_time(at)
    page.reload()
    for number in numbers:
        page.get_by_role("checkbox").nth(number).check()


# The sample restocks at 7:30 and at 12:15.


def test_yesterdays_ticks_are_not_todays(context: BrowserContext, server: Server) -> None:
    page = context.new_page()
    page.goto(server.address + "r/teal.html")
    tick(page, 0, 1, at="2026-03-02T15:00:00")
    assert told(page) == "2 of 3 back · 3:00 PM"
    tick(page, 2, at="2026-03-03T08:00:00")
    assert boxes(page) == [False, False, True]
    assert told(page) == "1 of 3 back · 8:00 AM"


def test_everything_is_back_says_from_when_to_when(context: BrowserContext, server: Server) -> None:
    page = context.new_page()
    page.goto(server.address + "r/teal.html")
    tick(page, 0, at="2026-03-02T08:00:00")
    tick(page, 1, 2, at="2026-03-02T08:20:00")
    assert told(page) == "Everything is back · Mar 2, 2026, 8:00 – 8:20 AM"
    page.get_by_role("link", name="Español").click()
    expect(page.locator("[data-count]")).to_contain_text("Todo está en su lugar · 2 mar 2026, 8:00–8:20")


def test_a_round_begins_anew_at_each_restocking(context: BrowserContext, server: Server) -> None:
    page = context.new_page()
    page.goto(server.address + "r/teal.html")
    tick(page, 0, 1, 2, at="2026-03-02T11:00:00")
    tick(page, at="2026-03-02T12:14:59")
    assert told(page).startswith("Everything is back")
    tick(page, at="2026-03-02T12:15:00")
    assert boxes(page) == [False, False, False]
    assert told(page) == "0 of 3 back · new round since 12:15 PM"


def test_the_last_round_of_a_day_lasts_until_the_first_of_the_next(context: BrowserContext, server: Server) -> None:
    page = context.new_page()
    page.goto(server.address + "r/teal.html")
    tick(page, 0, at="2026-03-02T17:00:00")
    tick(page, at="2026-03-03T06:00:00")
    assert told(page) == "1 of 3 back · Mar 2, 2026, 5:00 PM"
    tick(page, at="2026-03-03T07:30:00")
    assert told(page) == "0 of 3 back · new round since 7:30 AM"


def test_a_page_that_stays_open_begins_the_round_by_itself(context: BrowserContext, server: Server) -> None:
    page = context.new_page()
    page.clock.install(time="2026-03-02T11:00:00")
    page.goto(server.address + "r/teal.html")
    page.get_by_role("checkbox").first.check()
    page.clock.fast_forward("01:15:01")
    expect(page.get_by_role("checkbox").first).not_to_be_checked()


def test_who_is_walking_when_a_round_begins_may_keep_the_ticks(context: BrowserContext, server: Server) -> None:
    page = context.new_page()
    page.goto(server.address + "r/teal.html")
    tick(page, 0, at="2026-03-02T11:00:00")
    tick(page, 1, 2, at="2026-03-02T12:10:00")
    tick(page, at="2026-03-02T12:16:00")
    assert boxes(page) == [False, False, False]
    page.get_by_role("button", name="Keep the ticks just made").click()
    assert boxes(page) == [False, True, True], "what was ticked an hour before was another round"
    tick(page, 0, at="2026-03-02T12:17:00")
    assert told(page) == "Everything is back · Mar 2, 2026, 12:10 – 12:17 PM"
    tick(page, at="2026-03-03T07:30:00")
    assert boxes(page) == [False, False, False], "kept for that round only"
    assert page.get_by_role("button", name="Clear all ticks").is_disabled()


def test_a_clock_that_was_wrong_ticks_nothing(context: BrowserContext, server: Server) -> None:
    page = context.new_page()
    page.goto(server.address + "r/teal.html")
    tick(page, 0, at="2027-03-02T15:00:00")
    tick(page, at="2026-03-02T15:00:00")
    assert boxes(page) == [False, False, False]


@pytest.mark.parametrize(
    ("before", "after"),
    [
        # New York: 2:00 becomes 3:00 on 8 March, and 1:00 again on 1 November 2026 (IANA time zone database).
        ("2026-03-08T11:29:00Z", "2026-03-08T11:30:00Z"),
        ("2026-11-01T12:29:00Z", "2026-11-01T12:30:00Z"),
    ],
)
def test_a_round_begins_by_the_clock_on_the_wall_when_the_clocks_change(
    chromium: Browser, server: Server, before: str, after: str
) -> None:
    context = chromium.new_context(timezone_id="America/New_York", service_workers="block")
    page = context.new_page()
    page.goto(server.address + "r/teal.html")
    tick(page, 0, at=before)
    assert told(page) == "1 of 3 back · 7:29 AM"
    tick(page, at=after)
    assert told(page) == "0 of 3 back · new round since 7:30 AM"
    context.close()


def test_where_no_times_are_stated_a_round_begins_at_midnight(context: BrowserContext, tmp_path: Path) -> None:
    server = Server(write(dict(site([replace(book, rounds=()) for book in sample_site.handbooks()])), tmp_path))
    page = context.new_page()
    page.goto(server.address + "r/teal.html")
    tick(page, 0, at="2026-03-02T23:59:00")
    tick(page, at="2026-03-02T23:59:59")
    assert boxes(page) == [True, False, False]
    tick(page, at="2026-03-03T00:00:00")
    assert boxes(page) == [False, False, False]
    server.stop()


def test_ticks_that_were_cleared_in_an_earlier_round_do_not_come_back(context: BrowserContext, server: Server) -> None:
    page = context.new_page()
    page.goto(server.address + "r/teal.html")
    tick(page, 0, at="2026-03-02T11:00:00")
    page.get_by_role("button", name="Clear all ticks").click()
    expect(page.get_by_role("button", name="Undo")).to_be_enabled()
    tick(page, at="2026-03-02T12:15:00")
    assert page.get_by_role("button", name="Clear all ticks").is_disabled()


@pytest.mark.parametrize(
    "spoilt",
    [
        "{",
        "null",
        "[]",
        '{"ticked": 3}',
        '{"day": "2026-3-2", "ticked": {"spare": "1"}}',
        '"text"',
        '{"ticked": ["spare"]}',
    ],
)
def test_a_spoilt_memory_is_no_ticks(context: BrowserContext, server: Server, spoilt: str) -> None:
    page = context.new_page()
    page.goto(server.address + "r/teal.html")
    page.evaluate("value => localStorage.setItem(self.kitdocs.keyOf('ticks r/teal'), value)", spoilt)
    page.reload()
    assert boxes(page) == [False, False, False]
    page.get_by_role("checkbox").first.check()
    page.reload()
    assert boxes(page) == [True, False, False]


def test_a_round_with_the_keyboard_only(context: BrowserContext, server: Server) -> None:
    page = context.new_page()
    page.goto(server.address + "index.html")

    def tab_to(name: str, most: int = 40) -> None:
        for _ in range(most):
            page.keyboard.press("Tab")
            if name in page.evaluate("document.activeElement.closest('label, a, button')?.innerText ?? ''"):
                outline = page.evaluate("getComputedStyle(document.activeElement).outlineStyle")
                assert outline != "none", f"the focus on {name} cannot be seen"
                return
        raise AssertionError(f"{name} is not reached")

    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.innerText") == "Skip to content"
    tab_to("TEAL")
    page.keyboard.press("Enter")
    page.wait_for_url("**/r/teal.html")
    for name in ("Wire-shaping pouch", "more", "Spare pouch"):
        tab_to(name)
        page.keyboard.press("Space")
        if name == "more":
            tab_to("Open the card")
    expect(page.locator("[data-count]")).to_contain_text("Everything is back")
    tab_to("Clear all ticks")
    page.keyboard.press("Enter")
    assert boxes(page) == [False, False, False]
    tab_to("Chair 2")
    page.keyboard.press("Enter")
    page.wait_for_url("**/r/orange.html")


def test_what_has_the_focus_is_never_behind_the_bar(context: BrowserContext, server: Server) -> None:
    page = context.new_page()
    page.set_viewport_size({"width": 390, "height": 560})
    page.goto(server.address + "r/teal.html")
    # WCAG 2.2, 2.4.11 Focus Not Obscured.
    for _ in range(14):
        page.keyboard.press("Tab")
        hidden = page.evaluate(
            """() => {
                const at = document.activeElement, bar = document.querySelector('.bar');
                if (at === document.body || bar.contains(at)) return null;
                const a = at.getBoundingClientRect(), b = bar.getBoundingClientRect();
                return a.top >= b.top && a.top < b.bottom ? at.outerHTML : null;
            }"""
        )
        assert hidden is None
