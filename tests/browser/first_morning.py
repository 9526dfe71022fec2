"""A technician on the first morning: reads what is in view, taps the words that seem nearest, and is counted.

Nothing is typed. At each view all that can be tapped is read as it stands on the screen; what shares most words with
what the technician has in mind is tapped, and where nothing does, the view is moved by most of a screen. A way that
led nowhere is left again by the browser's own way back, and counts as a wrong step. The round is done as its page
says; the technician knows only what lies in the drawers.

Seconds of a person are those of the keystroke-level model (Card, Moran and Newell, 1980): 1.35 s to make up one's
mind and 1.1 s to point, for each tap and for each movement of the view. The model is for who knows the way and makes
no mistake: reading, walking and counting pouches come on top. Both numbers as summed up at
https://en.wikipedia.org/wiki/Keystroke-Level_Model; that a finger takes as long as a mouse is assumed.
"""

from __future__ import annotations

import contextlib
import html
import itertools
import re
import time
from collections.abc import Callable, Iterator, Mapping, Sequence, Set
from dataclasses import dataclass, field
from pathlib import Path

from playwright.sync_api import Browser, Error, Frame, Page, Request

MIND_S, POINT_S = 1.35, 1.1
#: How far a finger moves the view at once, as a share of its height.
FLICK = 0.75
#: Nobody looks for longer than this many movements of the view on one page.
PATIENCE = 30

#: Everything in view that can be tapped and is not covered: its words as they are shown, and where to tap.
OFFERED = """
() => [...document.querySelectorAll("a[href], button, summary, label")].flatMap((each) => {
  const box = each.getBoundingClientRect();
  const x = box.left + box.width / 2, y = box.top + box.height / 2;
  if (!box.width || !box.height || x < 0 || y < 0 || x >= innerWidth || y >= innerHeight) return [];
  const hit = document.elementFromPoint(x, y);
  const inside = hit && (each === hit || each.contains(hit) || hit.closest("a[href], button, summary, label") === each);
  if (!inside || each.matches(":disabled")) return [];
  const row = each.closest("li");
  const pictures = [...(row || each).querySelectorAll("img")].map((img) => img.getAttribute("src").split("/").pop());
  const of = row?.querySelector(".name")?.innerText || "";
  const words = (each.innerText || "").trim().replace(/\\s+/g, " ");
  return [{ words, x, y, pictures, of, large: each.matches(".onwards") }];
})
"""

#: Whether a part of the page, or the least part that says something, stands in view as a whole, not covered.
IN_VIEW = """
([part, text]) => {
  const plain = (words) => (words || "").trim().replace(/\\s+/g, " ");
  const all = [...document.querySelectorAll(part)].filter((each) => plain(each.innerText).includes(text));
  return all.filter((one) => !all.some((other) => other !== one && one.contains(other))).some((each) => {
    const { left, right, top, bottom, width } = each.getBoundingClientRect();
    if (!width || top < -1 || bottom > innerHeight + 1) return false;
    return [top + 2, bottom - 2].every((y) => {
      const hit = document.elementFromPoint((left + right) / 2, y);
      return Boolean(hit) && (each.contains(hit) || hit.contains(each) || hit.closest("li")?.contains(each));
    });
  });
}
"""

SETTLED = "() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(() => done())))"


@dataclass(frozen=True, slots=True)
class Offer:
    """Something in view that can be tapped: `of` is the row that it stands in, `large` the button at the thumb."""

    words: str
    x: float
    y: float
    pictures: tuple[str, ...]
    of: str
    large: bool


@dataclass(slots=True, kw_only=True)
class Count:
    """What a task took. `moved` is in heights of the view; `taps` holds the words tapped, in order."""

    taps: list[str] = field(default_factory=list)
    flicks: int = 0
    moved: float = 0.0
    pages: int = 0
    machine_s: float = 0.0
    wrong: int = 0
    in_first_view: bool = True

    @property
    def person_s(self) -> float:
        return (len(self.taps) + self.flicks) * (MIND_S + POINT_S)

    def told(self) -> str:
        seen = "yes" if self.in_first_view else "no"
        return (
            f"{len(self.taps):4} {self.moved:7.1f} {self.pages:6} {self.wrong:6} {self.machine_s:8.1f}"
            f" {self.person_s:8.0f}   {seen}"
        )


HEADINGS = "taps  scrolls  pages  wrong  machine s  person s  answer in first view"


class LostError(Exception):
    """The technician would have to ask somebody."""


class Technician:
    """One who looks at a page, on a phone or at the tablet on the wall, whose cards open in a frame."""

    def __init__(self, page: Page, seen: Callable[[str], None] = lambda name: None) -> None:
        self.page = page
        self.count = Count()
        self._leaving: set[Frame] = set()
        self._seen = seen
        page.on("request", self._request)
        page.on("framenavigated", self._came)

    def starts(self, address: str) -> None:
        """The page that the device shows in the morning."""
        self.page.goto(address)
        self._settle()
        self.count = Count()
        self._seen("start")

    @property
    def view(self) -> Frame:
        """The card in the frame of the wall tablet, or the page itself."""
        frames = [frame for frame in self.page.frames if frame.parent_frame and not frame.is_detached()]
        return frames[-1] if frames else self.page.main_frame

    def offers(self, view: Frame | None = None) -> list[Offer]:
        found = (view or self.view).evaluate(OFFERED)
        return [Offer(**{**each, "pictures": tuple(each["pictures"])}) for each in found]

    def sees(self, part: str, text: str = "") -> bool:
        return bool(self.view.evaluate(IN_VIEW, [part, text]))

    def tap(self, offer: Offer, view: Frame | None = None) -> None:
        left, top = _corner(view or self.view)
        began = time.perf_counter()
        self.page.touchscreen.tap(left + offer.x, top + offer.y)
        self._settle()
        self.count.machine_s += time.perf_counter() - began
        self.count.taps.append(offer.words or "(picture)")
        self._seen(offer.words)

    def moves_on(self) -> bool:
        """Move the view by most of its height; whether there was anything left to see."""
        moved = self.view.evaluate(
            """(share) => {
                const from = scrollY;
                scrollBy(0, innerHeight * share);
                return (scrollY - from) / innerHeight;
            }""",
            FLICK,
        )
        if moved <= 0:
            return False
        self.view.evaluate(SETTLED)
        self.count.moved += moved
        self.count.flicks += 1
        self._seen("moved on")
        return True

    def goes_back(self) -> None:
        """By the browser's own way; out of the frame of the wall tablet by the button above it."""
        self.count.wrong += 1
        if self.view is self.page.main_frame:
            self.page.go_back(wait_until="commit")
            self._settle()
        else:
            (button,) = self.offers(self.page.main_frame)
            self.tap(button, self.page.main_frame)

    def finds(self, wanted: Sequence[str], part: str, text: str = "") -> None:
        """Follow the words in mind until the answer is in view."""
        tried: set[str] = set()
        for _ in range(PATIENCE):
            taps = len(self.count.taps)
            if self.sees(part, text):
                return
            if best := self._nearest(wanted, tried):
                tried.add(best.words)
                self.tap(best)
                self.count.in_first_view = self.sees(part, text)
            elif not self.moves_on():
                if taps == 0:
                    break
                self.goes_back()
        raise LostError(f"{wanted}: {self.count.taps}")

    def recognises(self, picture: str) -> None:
        """Tap the picture that looks like what is in the hand."""
        for _ in range(PATIENCE):
            match = [offer for offer in self.offers() if picture in offer.pictures]
            if match:
                self.tap(match[0])
                return
            if not self.moves_on():
                break
        raise LostError(picture)

    def reads_on_to(self, part: str) -> None:
        """Move the view until that part is seen, too."""
        while not self.sees(part):
            if not self.moves_on():
                raise LostError(part)

    # The round --------------------------------------------------------------------------------------------------------

    def does_the_round(self, lacking: Mapping[str, int]) -> None:
        """Look, fetch, put in, as the page says, until it says that everything is back.

        `lacking` is what the technician sees in the drawers: of `chair: thing`, how many are not there.
        """
        for _ in range(200):
            if "done" in (self.view.locator(".round").get_attribute("class") or "").split():
                return
            if drawer := self._open_drawer():
                chair, things = drawer
                for thing in things:
                    self._comes_to(thing)
                    if self._stage() == "1" and f"{chair}: {thing}" in lacking:
                        self._counts(thing, lacking[f"{chair}: {thing}"])
            else:
                for thing in self.view.locator("[data-fetch]:visible .name").all_inner_texts():
                    self._comes_to(thing)
            (large,) = (offer for offer in self.offers() if offer.large)
            self.tap(large)
        raise LostError("the round has no end")

    def _stage(self) -> str:
        return self.view.locator(".stages [aria-current]").inner_text()[:1]

    def _open_drawer(self) -> tuple[str, list[str]] | None:
        drawer = self.view.locator("details.drawer[open]:visible")
        if not drawer.count():
            return None
        return drawer.locator(".who").inner_text(), drawer.locator(".row:visible .name").all_inner_texts()

    def _comes_to(self, thing: str) -> None:
        """Move the view until what can be tapped in the row of a thing is seen."""
        while not any(offer.of == thing for offer in self.offers()):
            if not self.moves_on():
                raise LostError(thing)

    def _counts(self, thing: str, lacking: int) -> None:
        numbers = [offer for offer in self.offers() if offer.of == thing and offer.words.isdecimal()]
        whole = max(int(offer.words) for offer in numbers)
        self.tap(next(offer for offer in numbers if int(offer.words) == whole - lacking))

    def _nearest(self, wanted: Sequence[str], tried: Set[str]) -> Offer | None:
        """What shares most words with those in mind; of equals, the first on the screen."""
        rated = []
        for offer in self.offers():
            words = words_of(offer.words)
            shared = sum(any(word.startswith(stem) for word in words) for stem in wanted)
            if shared and offer.words not in tried:
                rated.append((-shared, offer.y, offer.x, offer))
        return min(rated, key=lambda each: each[:3])[3] if rated else None

    def _request(self, request: Request) -> None:
        if request.is_navigation_request():
            self.count.pages += 1
            self._leaving.add(request.frame)

    def _came(self, frame: Frame) -> None:
        self._leaving.discard(frame)

    def _settle(self) -> None:
        """Until the page that was asked for, if one was, is there and drawn."""
        self._drawn()
        self.page.wait_for_timeout(20)  # a page that is left asks for the next one a little later
        while self._leaving:
            self.page.wait_for_timeout(5)
        self.view.wait_for_load_state("load")
        self._drawn()

    def _drawn(self) -> None:
        with contextlib.suppress(Error):  # the page has left
            self.view.evaluate(SETTLED)


def _corner(view: Frame) -> tuple[float, float]:
    box = view.frame_element().bounding_box() if view.parent_frame else None
    return (box["x"], box["y"]) if box else (0.0, 0.0)


def words_of(text: str) -> list[str]:
    return re.findall(r"\w+", text.lower())


# What is to be done ---------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class Screen:
    """A device: its size, and the page that it shows in the morning."""

    name: str
    width: int
    height: int
    start: str


PHONE = Screen(name="phone", width=390, height=844, start="index.html")
TABLET = Screen(name="tablet on the wall", width=820, height=1180, start="wall.html")
SCREENS = (PHONE, TABLET)

#: The beginnings of words that one has in mind, in English and in Spanish.
IN_MIND: Mapping[str, Mapping[str, Sequence[str]]] = {
    "en": {
        "dropped": ("wrong", "pouch", "drop", "fell", "floor"),
        "wet-load": ("wrong", "wet", "load", "steril"),
        "plier": ("find", "picture", "instrument"),
        "round": ("round", "all", "chairs", "refill"),
    },
    "es": {
        "dropped": ("mal", "bolsa", "cay", "caí", "piso"),
        "wet-load": ("mal", "mojad", "carga", "esteril"),
        "plier": ("buscar", "imagen", "instrument"),
        "round": ("ronda", "todos", "sillones", "reponer"),
    },
}


def full_round(technician: Technician, language: str) -> None:
    """All drawers, from the start page until everything is back; every third row lacks one."""
    technician.finds(IN_MIND[language]["round"], "[data-now]")
    rows: list[str] = technician.view.evaluate(
        """() => [...document.querySelectorAll("[data-chair]")].flatMap((chair) =>
            [...chair.querySelectorAll(".name")].map((name) =>
                `${chair.querySelector(".who").textContent}: ${name.textContent}`))"""
    )
    technician.does_the_round(dict.fromkeys(rows[::3], 1))


def mishap(trigger: str) -> Callable[[Technician, str], None]:
    """From the start page to the first step of the answer, and on to the line that says when it is done."""

    def done(technician: Technician, language: str) -> None:
        folder = technician.page.url.rpartition("/")[0]
        page = technician.page.context.request.get(f"{folder}/mishaps.html").text()
        (step,) = re.findall(rf'id="{trigger}">.*?<li class="step.*?<p>(.*?)</p>', page, flags=re.DOTALL)
        technician.finds(IN_MIND[language][trigger], "main p", html.unescape(step))
        asked = technician.view.url.partition("#")[2]
        technician.count.wrong += asked not in ("", trigger)
        if technician.view.locator(f"#{trigger}").count():
            technician.reads_on_to(f"#{trigger} .done")

    return done


def unknown_plier(technician: Technician, language: str) -> None:
    """From the start page to the name of what is in the hand, and where it belongs."""
    technician.finds(IN_MIND[language]["plier"], ".row .tip")
    technician.recognises("tip-hook-crimping-plier.svg")
    technician.count.in_first_view = technician.sees("h1") and technician.sees(".items .row")
    technician.reads_on_to(".items .row")


#: Each task by its name.
TASKS: Mapping[str, Callable[[Technician, str], None]] = {
    "a full round of seven chairs": full_round,
    "a dropped pouch": mishap("dropped"),
    "a wet load": mishap("wet-load"),
    "an unknown plier": unknown_plier,
}


@contextlib.contextmanager
def at_the_device(
    browser: Browser, address: str, screen: Screen, language: str, shots: Path | None = None
) -> Iterator[Technician]:
    """A technician before a device that nobody has used yet; with a folder, a picture of each step is left there."""
    context = browser.new_context(
        viewport={"width": screen.width, "height": screen.height}, has_touch=True, service_workers="block"
    )
    page = context.new_page()
    page.clock.set_fixed_time("2026-03-02T08:00:00")
    numbers = itertools.count()

    def kept(name: str) -> None:
        if shots:
            shots.mkdir(parents=True, exist_ok=True)
            page.screenshot(path=shots / f"{next(numbers):02} {' '.join(words_of(name))[:40]}.png")

    technician = Technician(page, kept)
    technician.starts(f"{address}{'' if language == 'en' else language + '/'}{screen.start}")
    yield technician
    context.close()
