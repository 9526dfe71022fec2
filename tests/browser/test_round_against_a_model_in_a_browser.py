"""The round in a browser and a plain model of it, on drawn practices: taps, reloads, clocks, undoing, handing over."""

from __future__ import annotations

import mimetypes
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta, timezone
from typing import TypeAlias
from urllib.parse import unquote, urlsplit
from zoneinfo import ZoneInfo

import pytest
import sample_site
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from playwright.sync_api import Browser, BrowserContext, Page, Route, expect
from walking import ROUND, go_to, onward, opened, row, stage, there, to_fetch, undo

from kitdocs.document.blocks import Item, Items
from kitdocs.document.card import Handbook
from kitdocs.publish.site.build_site import site

pytestmark = pytest.mark.browser

TOP = "https://handbook.example/bay/"
NEW_YORK = ZoneInfo("America/New_York")
#: An evening; and the nights in which clocks are put on and back there, 2026 (IANA time zone database).
STARTS = (datetime(2026, 3, 2, 22, 0), datetime(2026, 3, 7, 23, 30), datetime(2026, 10, 31, 23, 30))

#: A practice: by chair, how many of each pouch belong there; the order of the store; when rounds begin.
Drawers: TypeAlias = dict[str, dict[str, int]]
Row: TypeAlias = tuple[str, str]


@dataclass(frozen=True)
class Drawn:
    drawers: Drawers
    store: list[str]
    rounds: tuple[int, ...]


@dataclass(frozen=True)
class Tick:
    """`n` of the pouches are there, or all are, and `had` were when the drawer was looked at."""

    at: datetime
    n: int | None = None
    had: int | None = None


@dataclass
class Model:
    """What anybody may expect of the round. Records by chair; what was fetched is the record ``""``."""

    drawn: Drawn
    now: datetime
    records: dict[str, dict[str, Tick]] = field(default_factory=dict)
    steps: list[tuple[datetime, dict[str, dict[str, Tick]], dict[str, dict[str, Tick]]]] = field(default_factory=list)

    @property
    def began(self) -> datetime:
        """A day's rounds go by the clock on the wall."""
        today = self.now.astimezone(NEW_YORK)
        starts = [
            (datetime(today.year, today.month, today.day) + timedelta(days=day, minutes=minutes))
            .replace(tzinfo=NEW_YORK)
            .astimezone(timezone.utc)
            for day in (-1, 0)
            for minutes in self.drawn.rounds or (0,)
        ]
        return max(start for start in starts if start <= self.now)

    def tick(self, name: str, thing: str) -> Tick | None:
        found = self.records.get(name, {}).get(thing)
        return found if found and self.began <= found.at <= self.now + timedelta(minutes=1) else None

    def put(self, name: str, ticks: Mapping[str, Tick | None], *, step: bool = True) -> None:
        before = {name: self.records.get(name, {})}
        record = {**before[name], **ticks}
        self.records = {**self.records, name: {thing: tick for thing, tick in record.items() if tick}}
        if step:
            self.steps.append((self.began, before, {name: self.records[name]}))

    def there(self) -> dict[str, dict[str, int | None]]:
        return {
            chair: {thing: self.count(chair, thing) for thing in things} for chair, things in self.drawn.drawers.items()
        }

    def count(self, chair: str, thing: str) -> int | None:
        tick = self.tick(chair, thing)
        return None if tick is None else self.drawn.drawers[chair][thing] if tick.n is None else tick.n

    def before(self, chair: str, thing: str) -> int | None:
        """How many were there when the drawer was looked at; None where some were not known to be missing."""
        tick = self.tick(chair, thing)
        return (tick.had if tick.n is None else tick.n) if tick else None

    def wanted(self, thing: str) -> int:
        missing = [
            things[thing] - before
            for chair, things in self.drawn.drawers.items()
            if thing in things and (before := self.before(chair, thing)) is not None
        ]
        return sum(missing)

    def to_fetch(self) -> list[tuple[str, int, bool]]:
        fetched = {thing: tick.n or 0 for thing in self.drawn.store if (tick := self.tick("", thing))}
        return [(thing, n, fetched.get(thing, 0) >= n) for thing in self.drawn.store if (n := self.wanted(thing))]

    def look(self, chair: str, thing: str, n: int) -> None:
        self.put(chair, {thing: Tick(self.now, n if n < self.drawn.drawers[chair][thing] else None)})

    def toggle(self, chair: str, thing: str, *, step: bool) -> None:
        tick = self.tick(chair, thing)
        if tick and tick.n is None:
            self.put(chair, {thing: None if tick.had is None else Tick(self.now, n=tick.had)}, step=step)
        else:
            self.put(chair, {thing: Tick(self.now, had=tick.n if tick else None)}, step=step)

    def can_undo(self) -> bool:
        if not self.steps:
            return False
        began, _, after = self.steps[-1]
        return began == self.began and all(self.records.get(name, {}) == record for name, record in after.items())

    def undo(self) -> None:
        _, before, _ = self.steps.pop()
        self.records = {**self.records, **before}


@st.composite
def practices(draw: st.DrawFn) -> Drawn:
    things = ["shaping", "trimming", "spare"][: draw(st.integers(1, 3))]
    chairs = [f"r/{colour}" for colour in list(sample_site.CHAIRS)[: draw(st.integers(1, 3))]]
    drawers = {
        chair: {
            thing: draw(st.integers(0, 4)) for thing in draw(st.lists(st.sampled_from(things), min_size=1, unique=True))
        }
        for chair in chairs
    }
    store = draw(st.permutations([thing for thing in things if any(thing in drawer for drawer in drawers.values())]))
    rounds = draw(st.sampled_from([(), (0,), (150,), (90, 450, 735)]))
    return Drawn(drawers, list(store), rounds)


def book_of(drawn: Drawn) -> Handbook:
    book = sample_site.handbook("en")
    cards = []
    for card in book.cards:
        if card.id in drawn.drawers:
            band, items, *others = card.front
            assert isinstance(items, Items)
            rows = {item.id: replace(item, link="") for item in items.items}
            now = tuple(replace(rows[thing], count=n) for thing, n in drawn.drawers[card.id].items())
            cards.append(replace(card, front=(band, replace(items, items=now), *others), next=""))
        elif card.id == "round":
            front = (Items(items=tuple(Item(id=thing, name=thing) for thing in drawn.store)),)
            cards.append(replace(card, front=front))
    return replace(book, cards=tuple(cards), languages=("en",), rounds=drawn.rounds)


@pytest.fixture(scope="module")
def files() -> dict[str, bytes]:
    return {}


@pytest.fixture(scope="module")
def devices(chromium: Browser, files: dict[str, bytes]) -> Iterator[tuple[BrowserContext, BrowserContext]]:
    """Two devices at which the practice's site, whichever it is, is found at its own address."""

    def answer(route: Route) -> None:
        path = unquote(urlsplit(route.request.url)._replace(fragment="", query="").geturl().removeprefix(TOP))
        found = files.get(path)
        kind = mimetypes.guess_type(path)[0] or "application/octet-stream"
        route.fulfill(status=200 if found else 404, body=found or b"", content_type=kind)

    made = [chromium.new_context(timezone_id=NEW_YORK.key, service_workers="block") for _ in range(2)]
    for context in made:
        context.set_default_timeout(10_000)
        context.route(f"{TOP}**", answer)
    yield made[0], made[1]
    for context in made:
        context.close()


@settings(max_examples=12, deadline=None, suppress_health_check=list(HealthCheck))
@given(drawn=practices(), start=st.sampled_from(STARTS), data=st.data())
def test_the_page_and_the_model_agree_after_every_tap(
    devices: tuple[BrowserContext, BrowserContext],
    files: dict[str, bytes],
    drawn: Drawn,
    start: datetime,
    data: st.DataObject,
) -> None:
    files.clear()
    files.update(site([book_of(drawn)]))
    model = Model(drawn, start.replace(tzinfo=NEW_YORK).astimezone(timezone.utc))
    page = visited(devices[0], model)
    rows = [(chair, thing) for chair, things in drawn.drawers.items() for thing in things]
    for _ in range(data.draw(st.integers(4, 12))):
        walk(page, model, rows, data)
        assert there(page) == model.there()
        assert to_fetch(page) == model.to_fetch()
        assert page.locator("[data-undo]").is_enabled() == model.can_undo()
    handed_over(page, devices[1], model)
    page.close()


def visited(context: BrowserContext, model: Model, fragment: str = "") -> Page:
    page = context.new_page()
    page.clock.set_fixed_time(model.now)
    page.goto(TOP + "search.html")
    page.evaluate("localStorage.clear()")
    page.goto(TOP + ROUND + fragment)
    return page


def walk(page: Page, model: Model, rows: list[Row], data: st.DataObject) -> None:
    data.draw(st.sampled_from(MOVES))(page, model, *data.draw(st.sampled_from(rows)), data)


def look(page: Page, model: Model, chair: str, thing: str, data: st.DataObject) -> None:
    n = data.draw(st.integers(0, model.drawn.drawers[chair][thing]))
    go_to(page, "look")
    opened(page, chair)
    known = model.count(chair, thing) == n  # a number that is chosen already does nothing
    row(page, chair, thing).locator(".many label").nth(n).click()
    if not known:
        model.look(chair, thing, n)


def nothing_else_is_missing(page: Page, model: Model, chair: str, _: str, __: st.DataObject) -> None:
    go_to(page, "look")
    opened(page, chair)
    if rest := [each for each in model.drawn.drawers[chair] if model.tick(chair, each) is None]:
        onward(page)
        model.put(chair, {each: Tick(model.now) for each in rest})


def put_in_or_take_back(page: Page, model: Model, chair: str, thing: str, _: st.DataObject) -> None:
    if model.before(chair, thing) is not None:
        go_to(page, "fill")
        # The page shows a drawer of which nothing was missing no more; the button is there all the same.
        page.evaluate("(id) => { document.querySelector(`[data-chair='${id}']`).hidden = false; }", chair)
        opened(page, chair)
        if row(page, chair, thing).is_visible():
            row(page, chair, thing).locator(".put").click()
            model.toggle(chair, thing, step=True)


def fetch(page: Page, model: Model, _: str, thing: str, __: st.DataObject) -> None:
    fetched = {each: done for each, _, done in model.to_fetch()}
    if thing in fetched:
        go_to(page, "fetch")
        page.locator(f"[data-fetch='{thing}'] .tick").click()
        model.put("", {thing: None if fetched[thing] else Tick(model.now, n=model.wanted(thing))})


def tick_on_the_page_of_the_chair(page: Page, model: Model, chair: str, thing: str, _: st.DataObject) -> None:
    page.goto(f"{TOP}{chair}.html")
    page.locator(f".tick[data-item='{thing}']").click()
    model.toggle(chair, thing, step=False)
    page.goto(TOP + ROUND)


def wait(page: Page, model: Model, _: str, __: str, data: st.DataObject) -> None:
    model.now += timedelta(minutes=data.draw(st.sampled_from([1, 29, 95, 240, 24 * 60])))
    page.clock.set_fixed_time(model.now)
    page.reload()


def take_back(page: Page, model: Model, *_: object) -> None:
    if model.can_undo():
        undo(page)
        model.undo()


def begin_anew(page: Page, model: Model, *_: object) -> None:
    page.locator("[data-clean]").click()
    names = [*model.drawn.drawers, ""]
    before = {name: model.records.get(name, {}) for name in names}
    model.records = {name: {} for name in names}
    model.steps.append((model.began, before, model.records))


MOVES = (look, look, look, nothing_else_is_missing, put_in_or_take_back, put_in_or_take_back, fetch,
         tick_on_the_page_of_the_chair, wait, take_back, begin_anew)  # fmt: skip


def handed_over(page: Page, other: BrowserContext, model: Model) -> None:
    """Another device that takes the round over knows the same, a minute later."""
    page.evaluate("() => { navigator.share = async (what) => { self.shared = what.text; }; }")
    if page.locator("[data-hand]").get_attribute("open") is None:
        page.locator("[data-hand] summary").click()
    page.locator("[data-link]").click()
    expect(page.locator("[data-made]")).not_to_be_empty()
    address = page.evaluate("self.shared")
    before = model.began
    model.now += timedelta(minutes=1)
    taker = visited(other, model, "#" + address.split("#")[1])
    if model.began == before:
        taker.locator("[data-take]").click()
    else:
        assert not taker.locator("[data-take]").is_visible(), "that round is over"
    assert there(taker) == model.there()
    assert to_fetch(taker) == model.to_fetch()
    assert stage(taker) in ("look", "fetch", "fill")
    taker.close()
