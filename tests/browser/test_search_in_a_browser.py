"""Search without a server."""

from __future__ import annotations

import pytest
from conftest import Server
from playwright.sync_api import BrowserContext, Page, expect

pytestmark = pytest.mark.browser


def found(page: Page) -> list[str]:
    return [name.inner_text() for name in page.locator("[data-found] .name").all()]


@pytest.fixture
def page(context: BrowserContext, server: Server) -> Page:
    page = context.new_page()
    page.goto(server.address + "index.html")
    return page


def test_a_thing_is_found_with_its_picture_and_the_cards_it_is_on(page: Page) -> None:
    page.get_by_role("searchbox").fill("spare")
    assert found(page)[0] == "Spare pouch"
    first = page.locator("[data-found] li").first
    assert first.locator("img").count() == 4
    assert not first.get_by_role("link", name="Chair 3 · navy").is_visible(), "seven places are folded away"
    first.get_by_text("on 7 cards").click()
    assert first.get_by_role("link", name="Chair 3 · navy").is_visible()
    assert not page.locator(".tiles").is_visible()


def test_a_colour_finds_its_chair_with_its_band(page: Page) -> None:
    page.get_by_role("searchbox").fill("tea")
    hit = page.locator("[data-found] a.line", has_text="Chair 1").first
    assert hit.locator(".chip").evaluate("e => getComputedStyle(e).backgroundColor") == "rgb(0, 118, 108)"
    assert "Refill cards" in hit.inner_text()


def test_words_of_the_prose_and_of_tables_are_found(page: Page) -> None:
    page.get_by_role("searchbox").fill("nothing loose")
    assert found(page) == ["House rules"]
    page.get_by_role("searchbox").fill("removal pou")
    assert found(page) == ["Procedure map"]


def test_every_word_must_be_there(page: Page) -> None:
    page.get_by_role("searchbox").fill("spare orange elephant")
    expect(page.get_by_role("status").first).to_have_text("Nothing found. Try another word.")
    assert found(page) == []


@pytest.mark.parametrize("heard", ["wiengart", "weingard", "weingarrt", "wingart"])
def test_a_name_that_was_only_heard_is_found(page: Page, heard: str) -> None:
    page.get_by_role("searchbox").fill(heard)
    assert "Spare pouch" in found(page)


def test_accents_do_not_matter(context: BrowserContext, server: Server) -> None:
    page = context.new_page()
    page.goto(server.address + "es/search.html")
    page.get_by_role("searchbox").fill("PÁJARO sillon")
    expect(page.get_by_role("status").first).to_contain_text("resultado")
    assert "Sillón 1" in found(page)


def test_what_was_asked_survives_going_back(page: Page) -> None:
    page.get_by_role("searchbox").fill("explorer")
    page.locator("[data-found] a").first.click()
    page.wait_for_url("**/set/core.html")
    page.go_back()
    assert page.get_by_role("searchbox").input_value() == "explorer"
    assert "Explorer" in found(page)


def test_the_arrow_keys_walk_through_what_was_found(page: Page) -> None:
    page.get_by_role("searchbox").fill("explorer")
    page.keyboard.press("ArrowDown")
    assert page.evaluate("document.activeElement.innerText") == "Basic set · BAS"
    page.keyboard.press("ArrowUp")
    assert page.evaluate("document.activeElement.type") == "search"
    page.keyboard.press("Enter")
    page.keyboard.press("Enter")
    page.wait_for_url("**/set/core.html")


def test_a_name_with_signs_is_shown_as_it_was_written(page: Page) -> None:
    page.get_by_role("searchbox").fill("more")
    assert "Cutters <b>& “more”" in found(page)


def test_an_empty_field_shows_the_wall_again(page: Page) -> None:
    page.get_by_role("searchbox").fill("explorer")
    page.get_by_role("searchbox").fill(" ")
    assert page.locator(".tiles").is_visible()
    assert "#" not in page.url
