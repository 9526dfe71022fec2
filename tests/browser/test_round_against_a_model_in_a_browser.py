"""The round in a browser and a plain model of it, on drawn practices: taps, reloads, editions, clocks, handing over.

Walks are drawn; beside them stand walks that a drawn one seldom is, each for a fault that it shows
(`tests/bench/break_the_round.py` puts the faults in).
"""

from __future__ import annotations

import mimetypes
import time
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import datetime, timedelta, timezone
from typing import Any, TypeAlias
from urllib.parse import unquote, urlsplit
from zoneinfo import ZoneInfo

import pytest
import sample_site
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st
from playwright.sync_api import Browser, BrowserContext, Page, Route, expect
from walking import ROUND, go_to, onward, opened, row, stage, there, to_fetch, undo

from kitdocs.document.blocks import Item, Items
from kitdocs.document.card import Handbook
from kitdocs.publish.site.build_site import site

pytestmark = pytest.mark.browser

TOP = "https://handbook.example/bay/"
NEW_YORK = ZoneInfo("America/New_York")
EVENING, SHORTLY_BEFORE_MIDNIGHT = datetime(2026, 3, 2, 22, 0), datetime(2026, 3, 2, 23, 50)
#: The nights in which clocks are put on and back there (IANA time zone database).
CLOCKS_GO_ON, CLOCKS_GO_BACK = datetime(2026, 3, 7, 23, 30), datetime(2026, 10, 31, 23, 30)
STARTS = (EVENING, SHORTLY_BEFORE_MIDNIGHT, CLOCKS_GO_ON, CLOCKS_GO_BACK)
STILL_WALKING = timedelta(minutes=30)
#: Seconds that a page may take to say what it knows.
A_MOMENT = 5

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
    """`n` of the pouches are there, or all are, and `had` were when the drawer was looked at.

    `on` is how many belonged there; None of what was fetched.
    """

    at: datetime
    on: int | None
    n: int | None = None
    had: int | None = None


@dataclass(frozen=True)
class Record:
    """What is kept of a drawer. Ticks from `since` on were taken into the round that began at `round`."""

    ticks: Mapping[str, Tick] = field(default_factory=dict)
    round: datetime | None = None
    since: datetime | None = None


@dataclass
class Model:
    """What anybody may expect of the round. Records by chair; what was fetched is the record ``""``."""

    drawn: Drawn
    now: datetime
    publish: Callable[[Drawn], None]
    records: dict[str, Record] = field(default_factory=dict)
    steps: list[tuple[datetime, dict[str, Record], dict[str, Record]]] = field(default_factory=list)

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

    def record(self, name: str) -> Record:
        return self.records.get(name, Record())

    def belong(self, name: str, thing: str) -> int | None:
        return self.drawn.drawers[name][thing] if name else None

    def counts(self, record: Record, tick: Tick) -> bool:
        since = min(self.began, record.since) if record.since and record.round == self.began else self.began
        return since <= tick.at <= self.now + timedelta(minutes=1)

    def tick(self, name: str, thing: str) -> Tick | None:
        record = self.record(name)
        found = record.ticks.get(thing)
        return found if found and found.on == self.belong(name, thing) and self.counts(record, found) else None

    def early(self) -> list[str]:
        """The records with ticks that were made just before the round began."""
        return [
            name
            for name, record in self.records.items()
            if any(
                self.now - STILL_WALKING <= tick.at < self.began and not self.counts(record, tick)
                for tick in record.ticks.values()
            )
        ]

    def put(self, name: str, ticks: Mapping[str, Tick | None], *, step: bool = True) -> None:
        """Put ticks into a record, which loses those that were made on another count."""
        both = {**self.record(name).ticks, **ticks}
        kept = {thing: tick for thing, tick in both.items() if tick and tick.on == self.belong(name, thing)}
        self.change({name: replace(self.record(name), ticks=kept)}, step=step)

    def change(self, records: Mapping[str, Record], *, step: bool = True) -> None:
        before = {name: self.record(name) for name in records}
        self.records = {**self.records, **records}
        if step:
            self.steps.append((self.began, before, dict(records)))

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
        all_ = self.drawn.drawers[chair][thing]
        self.put(chair, {thing: Tick(self.now, all_, n if n < all_ else None)})

    def toggle(self, chair: str, thing: str, *, step: bool) -> None:
        tick, on = self.tick(chair, thing), self.belong(chair, thing)
        if tick and tick.n is None:
            self.put(chair, {thing: None if tick.had is None else Tick(self.now, on, n=tick.had)}, step=step)
        else:
            self.put(chair, {thing: Tick(self.now, on, had=tick.n if tick else None)}, step=step)

    def without_what_does_not_count(self) -> Model:
        """What is handed over: no tick of an earlier round, or by a clock that is ahead."""
        records = {
            name: replace(
                record, ticks={thing: tick for thing, tick in record.ticks.items() if self.counts(record, tick)}
            )
            for name, record in self.records.items()
        }
        return replace(self, records=records)

    def can_undo(self) -> bool:
        if not self.steps:
            return False
        began, _, after = self.steps[-1]
        return began == self.began and all(self.record(name) == record for name, record in after.items())

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


class Files(dict[str, bytes]):
    """A site as a server has it; with a short name, for Hypothesis prints what a walk that failed was given."""

    def __repr__(self) -> str:
        return f"{len(self)} files"


@pytest.fixture(scope="module")
def files() -> Files:
    return Files()


@pytest.fixture(scope="module")
def devices(chromium: Browser, files: Files) -> Iterator[tuple[BrowserContext, BrowserContext]]:
    """Two devices at which the practice's site, whichever it is, is found at its own address."""

    def answer(route: Route) -> None:
        path = unquote(urlsplit(route.request.url)._replace(fragment="", query="").geturl().removeprefix(TOP))
        found = files.get(path)
        kind = mimetypes.guess_type(path)[0] or "application/octet-stream"
        route.fulfill(status=200 if found else 404, body=found or b"", content_type=kind)

    made = [chromium.new_context(timezone_id=NEW_YORK.key, service_workers="block") for _ in range(2)]
    for context in made:
        context.set_default_timeout(30_000)
        context.route(f"{TOP}**", answer)
    yield made[0], made[1]
    for context in made:
        context.close()


#: A walk in a browser takes seconds: one that fails is told as it is, not made smaller.
AS_DRAWN = [Phase.explicit, Phase.reuse, Phase.generate]


@settings(max_examples=12, deadline=None, phases=AS_DRAWN, suppress_health_check=list(HealthCheck))
@given(drawn=practices(), start=st.sampled_from(STARTS), data=st.data())
def test_the_page_and_the_model_agree_after_every_tap(
    devices: tuple[BrowserContext, BrowserContext],
    files: Files,
    drawn: Drawn,
    start: datetime,
    data: st.DataObject,
) -> None:
    model = modelled(files, drawn, start)
    page = visited(devices[0], model)
    rows = [(chair, thing) for chair, things in drawn.drawers.items() for thing in things]
    for _ in range(data.draw(st.integers(4, 12))):
        data.draw(st.sampled_from(MOVES))(page, model, *data.draw(st.sampled_from(rows)), data)
        assert_agreed(page, model)
    handed_over(page, devices[1], model)
    page.close()


def modelled(files: Files, drawn: Drawn, start: datetime) -> Model:
    """A model of the practice, whose site is published."""

    def publish(drawn: Drawn) -> None:
        files.clear()
        files.update(site([book_of(drawn)]))

    publish(drawn)
    return Model(drawn, start.replace(tzinfo=NEW_YORK).astimezone(timezone.utc), publish)


def assert_agreed(page: Page, model: Model) -> None:
    """A page that has just been opened on a busy machine may need a moment; what it then says has to be right."""
    expected = (model.there(), model.to_fetch(), model.can_undo(), bool(model.early()))
    until = time.monotonic() + A_MOMENT
    while (said := said_by(page)) != expected and time.monotonic() < until:
        page.wait_for_timeout(50)
    assert said == expected


def said_by(page: Page) -> tuple[object, ...]:
    undo, keep = page.locator("[data-undo]"), page.locator("[data-keep-way]")
    return there(page), to_fetch(page), undo.is_enabled(), keep.is_visible()


def visited(context: BrowserContext, model: Model, fragment: str = "") -> Page:
    page = context.new_page()
    page.clock.set_fixed_time(model.now)
    page.goto(TOP + "search.html")
    page.evaluate("localStorage.clear()")
    page.goto(TOP + ROUND + fragment)
    return page


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
        model.put(chair, {each: Tick(model.now, model.belong(chair, each)) for each in rest})


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
        model.put("", {thing: None if fetched[thing] else Tick(model.now, None, n=model.wanted(thing))})


def tick_on_the_page_of_the_chair(page: Page, model: Model, chair: str, thing: str, _: st.DataObject) -> None:
    page.goto(f"{TOP}{chair}.html")
    page.locator(f".tick[data-item='{thing}']").click()
    model.toggle(chair, thing, step=False)
    page.goto(TOP + ROUND)


def wait(page: Page, model: Model, _: str, __: str, data: st.DataObject) -> None:
    model.now += timedelta(minutes=data.draw(st.sampled_from([1, 20, 29, 95, 240, 24 * 60])))
    page.clock.set_fixed_time(model.now)
    page.reload()


def put_the_clock_back(page: Page, model: Model, _: str, __: str, data: st.DataObject) -> None:
    """It was ahead; what was ticked by it lies in the future."""
    model.now -= timedelta(minutes=data.draw(st.sampled_from([1, 2, 240])))
    page.clock.set_fixed_time(model.now)
    page.reload()


def print_anew(page: Page, model: Model, chair: str, thing: str, data: st.DataObject) -> None:
    """A new edition of a chair's card: another number belongs there."""
    drawers = {id_: dict(things) for id_, things in model.drawn.drawers.items()}
    drawers[chair][thing] = data.draw(st.integers(0, 4))
    model.drawn = replace(model.drawn, drawers=drawers)
    model.publish(model.drawn)
    page.reload()


def keep(page: Page, model: Model, *_: object) -> None:
    """Take what was ticked just before the round began into the round."""
    if early := model.early():
        page.locator("[data-keep]").click()
        since = model.now - STILL_WALKING
        model.change({name: replace(model.record(name), round=model.began, since=since) for name in early})


def take_back(page: Page, model: Model, *_: object) -> None:
    if model.can_undo():
        undo(page)
        model.undo()


def begin_anew(page: Page, model: Model, *_: object) -> None:
    page.locator("[data-clean]").click()
    model.change({name: Record() for name in [*model.drawn.drawers, ""]})


MOVES = (look, look, look, nothing_else_is_missing, put_in_or_take_back, put_in_or_take_back, fetch,
         tick_on_the_page_of_the_chair, wait, take_back, begin_anew, keep, print_anew, put_the_clock_back)  # fmt: skip


def look_at_the_other(page: Page, model: Model, chair: str, thing: str, data: st.DataObject) -> None:
    look(page, model, chair, next(other for other in model.drawn.drawers[chair] if other != thing), data)


class Given:
    """What a move is given in place of what would be drawn for it."""

    def __init__(self, *values: Any) -> None:
        self._values = list(values)

    def draw(self, _: object) -> Any:
        return self._values.pop(0)


#: A walk: when it starts, when rounds begin, and its moves, each with what it is given.
WALKS: Mapping[str, tuple[datetime, tuple[int, ...], Sequence[tuple[Callable[..., None], tuple[int, ...]]]]] = {
    "a day later": (EVENING, (0,), [(look, (1,)), (wait, (24 * 60,))]),
    "by a clock that was ahead": (EVENING, (0,), [(look, (1,)), (put_the_clock_back, (2,))]),
    "a minute ahead is no wrong clock": (EVENING, (0,), [(look, (1,)), (put_the_clock_back, (1,))]),
    "over the night that has 23 hours": (CLOCKS_GO_ON, (735,), [(look, (1,)), (wait, (710,))]),
    "over the night that has 25 hours": (CLOCKS_GO_BACK, (735,), [(look, (1,)), (wait, (770,))]),
    "over midnight, in the round of the day before": (
        datetime(2026, 3, 2, 11, 0), (735,), [(look, (1,)), (wait, (790,)), (look, (0,)), (wait, (20,))],
    ),
    "put in and taken back": (
        EVENING, (0,), [(look, (1,)), (put_in_or_take_back, ()), (put_in_or_take_back, ()), (take_back, ())],
    ),
    "with a new edition": (EVENING, (0,), [(look, (1,)), (print_anew, (4,)), (look, (2,)), (print_anew, (3,))]),
    "with an edition that comes again": (
        EVENING, (0,), [(look, (1,)), (print_anew, (4,)), (look_at_the_other, (1,)), (print_anew, (3,))],
    ),
    "kept, for one round": (
        SHORTLY_BEFORE_MIDNIGHT, (0,), [(look, (1,)), (wait, (20,)), (keep, ()), (wait, (95,)), (wait, (24 * 60,))],
    ),
    "too long ago to be kept": (SHORTLY_BEFORE_MIDNIGHT, (0,), [(look, (1,)), (wait, (240,)), (keep, ())]),
}  # fmt: skip


@pytest.mark.parametrize("name", WALKS)
def test_the_page_and_the_model_agree_on_a_walk(
    devices: tuple[BrowserContext, BrowserContext], files: Files, name: str
) -> None:
    start, rounds, moves = WALKS[name]
    chair = next(iter(sample_site.CHAIRS))
    model = modelled(
        files, Drawn({f"r/{chair}": {"shaping": 3, "trimming": 2}}, ["shaping", "trimming"], rounds), start
    )
    page = visited(devices[0], model)
    for move, values in moves:
        move(page, model, f"r/{chair}", "shaping", Given(*values))
        assert_agreed(page, model)
    handed_over(page, devices[1], model)
    page.close()


def handed_over(page: Page, other: BrowserContext, model: Model) -> None:
    """Another device that takes the round over knows the same, a minute later."""
    page.evaluate("() => { navigator.share = async (what) => { self.shared = what.text; }; }")
    if page.locator("[data-hand]").get_attribute("open") is None:
        page.locator("[data-hand] summary").click()
    page.locator("[data-link]").click()
    expect(page.locator("[data-made]")).not_to_be_empty()
    address = page.evaluate("self.shared")
    before, model = model.began, model.without_what_does_not_count()
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
