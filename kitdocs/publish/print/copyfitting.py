"""How each card is set so that it fits, and how many pages it then has; each card is measured once."""

from __future__ import annotations

import hashlib
import json
import re
from collections import defaultdict
from collections.abc import Callable, Iterator, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from threading import RLock
from typing import Any

from kitdocs.cache import Cache, key_of
from kitdocs.publish.print.data import PrintData, as_json
from kitdocs.publish.print.render_pdf import DocumentSource, query
from kitdocs.publish.print.run import Run

#: What a height depends on besides the card itself. Text is as wide on a sheet to be bound as on any other.
_SHARED = ("language", "more_typefaces", "paper", "card", "text_mm", "words")

#: Densities of sheets that are known to be long without measuring them: many rows of tables, or many pictured steps.
_CLOSEST = 3
_MANY_STEPS = "many-steps"
_MANY = 40

#: The name of a picture is made from what it shows, and where heights are measured it is only the room that it takes.
_PICTURE = re.compile(rb'(?<=": "/pictures/)[0-9a-f]+')

#: Most data that is measured in one go, in bytes of ``data.json``: enough for a dozen cards. The parts are measured
#: side by side, each in little memory, and one whose cards are as before need not be measured again.
PART_BYTES = 60_000

Answers = dict[str, Any]


class CardFits:
    """How one handbook's cards are set, measured when it is first asked for, by many threads at once.

    What `cache` knows of a card is not measured again, whatever cards are beside it this time.
    """

    def __init__(self, run: Run, cache: Cache) -> None:
        self._run = run
        self._cache = cache
        self._lock = RLock()
        #: By the template that asks, then by the digest of what the answer depends on.
        self._known: defaultdict[str, Answers] = defaultdict(dict)

    def fit(self, data: PrintData) -> PrintData:
        """Add to ``fits.json``, by card id, the density that suits it on full pages; for a template the sheets."""
        close = {card["id"]: density for card in _cards(data) if (density := _long(card))}
        measured = {card: fit["density"] for card, fit in self._measured(data).items()}
        return _with_fits(data, close | measured)

    def fit_walls(self, data: PrintData) -> PrintData:
        """Add to ``fits.json``, by ``wall:`` and id, in which ways a wall card's front and back are laid out."""
        return _with_fits(data, {f"wall:{card}": found for card, found in self.walls(data).items()})

    def walls(self, data: PrintData) -> Answers:
        """Return of each wall card, by id, in which `ways` it is laid out, as how many cards it is `cut`, and how many
        are on a sheet (`per_sheet`)."""
        walls = [card for card in _cards(data) if card["form"] == "wall"]
        return self._answers(data, walls, "wall-copyfitting.typ")

    def fit_report(self, data: PrintData) -> PrintData:
        """Add to ``fits.json`` which parts of a planning report are set closer, and which tables stay whole."""
        return _with_fits(data, self._answers(data, _cards(data), "plan-copyfitting.typ"))

    def page_counts(self, data: PrintData) -> dict[str, int]:
        """Return the pages of each card on full sheets, by id. Only cards that may need several are counted."""
        counted = {card: fit["pages"] for card, fit in self._measured(data).items() if fit["pages"]}
        longer = [card for card in _cards(data) if card["id"] not in counted]
        return counted | self._answers(data, longer, "pages.typ", prepare=self.fit)

    def _measured(self, data: PrintData) -> Answers:
        """Return the fit of each card that has to be measured for it, by id. A form has a sheet of its own."""
        cards = [card for card in _cards(data) if card["kind"] != "form" and not _long(card)]
        return self._answers(data, cards, "copyfitting.typ")

    def _answers(
        self,
        data: PrintData,
        cards: Sequence[Any],
        template: str,
        *,
        prepare: Callable[[PrintData], PrintData] = lambda part: part,
    ) -> Answers:
        """Return what a template answers for each card, by id; only for new cards is it asked."""
        shared = as_json([data.said[name] for name in _SHARED])
        written = {card["id"]: as_json(card) for card in cards}
        digests = {card: hashlib.sha256(shared + _PICTURE.sub(b"", text)).hexdigest() for card, text in written.items()}
        with self._lock:
            known = self._known[template]
            new = [card for card in cards if not self._is_known(template, digests[card["id"]])]
            parts = [prepare(_part(data, own)).source(template) for own in _parts(new, written)]
            for answered in self._asked(parts):
                for card, answer in answered.items():
                    known[digests[card]] = answer
                    self._cache.put(key_of(template, digests[card]), json.dumps(answer))
            return {card: known[digest] for card, digest in digests.items()}

    def _is_known(self, template: str, digest: str) -> bool:
        """Whether the answer for a card is known, in this run or from an earlier one."""
        known = self._known[template]
        if digest not in known and (kept := self._cache.get(key_of(template, digest))) is not None:
            known[digest] = json.loads(kept)
        return digest in known

    def _asked(self, parts: Sequence[DocumentSource]) -> Iterator[Answers]:
        """Yield the answers of all parts, asked side by side."""
        if parts:
            with ThreadPoolExecutor(len(parts)) as threads:
                yield from threads.map(self._ask, parts)

    def _ask(self, part: DocumentSource) -> Answers:
        answers: Answers = json.loads(self._run(query, part, "answers"))
        return answers


def _with_fits(data: PrintData, fits: Answers) -> PrintData:
    data.files["fits.json"] = as_json(json.loads(data.files["fits.json"]) | fits)
    return data


def _parts(cards: Sequence[Any], written: Mapping[str, bytes]) -> Iterator[list[Any]]:
    """Cut the cards into parts of at most `PART_BYTES`."""
    part: list[Any] = []
    size = 0
    for card in cards:
        own = len(written[card["id"]])
        if part and size + own > PART_BYTES:
            yield part
            part, size = [], 0
        part.append(card)
        size += own
    if part:
        yield part


def _part(data: PrintData, cards: list[Any]) -> PrintData:
    """Return the data of some cards alone."""
    part = PrintData(data.handbook)
    part.add((), "", bound=True)
    part.said["cards"] = cards
    part.files["data.json"] = as_json(part.said)
    return part


def _cards(data: PrintData) -> list[Any]:
    cards: Any = data.said["cards"]
    return list(cards)


def _long(card: Mapping[str, Any]) -> int | str | None:
    """Return the density of a card with so many rows or pictured steps that no page is too large for them."""
    rows = sum(len(block["rows"]) for block in card["blocks"] if block["kind"] == "matrix")
    steps = [step for block in card["blocks"] if block["kind"] == "steps" for step in block["steps"]]
    if rows > _MANY:
        return _CLOSEST
    return _MANY_STEPS if sum(step["picture"] is not None for step in steps) > _MANY else None
