"""A walk round the chairs on the page of the round: what a person taps, and what stands on the page."""

from __future__ import annotations

from playwright.sync_api import Locator, Page

ROUND = "round.html"


def now(page: Page) -> str:
    """What is to be done now; the narrow spaces of times as spaces."""
    return " ".join(page.locator("[data-now]").inner_text().split())


def stage(page: Page) -> str:
    return str(page.locator("[data-refill]").get_attribute("data-stage"))


def go_to(page: Page, name: str) -> None:
    page.locator(f"[data-go={name}]").click()


def onward(page: Page) -> None:
    page.locator("[data-next]").click()


def undo(page: Page) -> None:
    page.locator("[data-undo]").click()


def chair(page: Page, id_: str) -> Locator:
    return page.locator(f"[data-chair='{id_}']")


def row(page: Page, id_: str, thing: str) -> Locator:
    return chair(page, id_).locator(f"[data-item='{thing}']")


def opened(page: Page, id_: str) -> None:
    if chair(page, id_).get_attribute("open") is None:
        chair(page, id_).locator("summary").click()


def look(page: Page, id_: str, **there: int) -> None:
    """Say how many of each thing are in a drawer."""
    if stage(page) != "look":
        go_to(page, "look")
    opened(page, id_)
    for thing, n in there.items():
        row(page, id_, thing).locator(".many label").nth(n).click()


def put(page: Page, id_: str, thing: str) -> None:
    """Put in what is missing of a thing, or take that back."""
    if stage(page) != "fill":
        go_to(page, "fill")
    opened(page, id_)
    row(page, id_, thing).locator(".put").click()


def there(page: Page) -> dict[str, dict[str, int | None]]:
    """By chair and thing, how many are there as the page knows it; None where nobody has looked."""
    found: dict[str, dict[str, int | None]] = page.evaluate(
        """() => Object.fromEntries([...document.querySelectorAll("[data-chair]")].map((chair) => [chair.dataset.chair,
            Object.fromEntries([...chair.querySelectorAll("[data-item]")].map((row) => {
                const chosen = row.querySelector(".many input:checked");
                return [row.dataset.item, chosen ? Number(chosen.value) : null];
            }))]))"""
    )
    return found


def to_fetch(page: Page) -> list[tuple[str, int, bool]]:
    """The things to fetch in the order of the store: how many, and whether they are fetched."""
    found: list[list[object]] = page.evaluate(
        """() => [...document.querySelectorAll("[data-fetch]")].filter((row) => !row.hidden).map((row) => [
            row.dataset.fetch, Number(row.querySelector("[data-sum]").textContent), row.querySelector("input").checked,
        ])"""
    )
    return [(str(thing), int(str(n)), bool(done)) for thing, n, done in found]
