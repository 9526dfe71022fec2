"""How roomy each card on full pages is set and how many pages it then has: measured once for all documents."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Mapping
from typing import Any

from kitdocs.publish.print.data import PrintData, as_json
from kitdocs.publish.print.render_pdf import query

#: What a height depends on besides the card itself. A sheet to be bound has its text as wide as one that is not.
_SHARED = ("language", "paper", "words")

#: The density of a sheet of which it is known without measuring that it is a long one; see `_is_long`.
_CLOSE = 2
_MANY_ROWS = 40

#: What was measured, by the digest of what it was measured from. To measure takes half as long as to set the document.
_fits: dict[str, Any] = {}
_pages: dict[str, Any] = {}
_KEPT = 2000


def with_fits(data: PrintData) -> PrintData:
    """The same data with ``fits.json``: by card id the density that suits it, for a template the sheets."""
    close = {card["id"]: _CLOSE for card in _cards(data) if _is_long(card)}
    data.files["fits.json"] = as_json(close | {card: fit["density"] for card, fit in _measured(data).items()})
    return data


def page_counts(data: PrintData) -> dict[str, int]:
    """By id, how many pages each card has on full sheets. Only what may be on more than one is set to see how many."""
    told = {card: fit["pages"] for card, fit in _measured(data).items() if fit["pages"]}
    told |= {card["id"]: 1 for card in _cards(data) if _is_empty_form(card)}
    longer = [card for card in _cards(data) if card["id"] not in told]
    return told | _once(data, longer, _pages, _pages_asked)


def _measured(data: PrintData) -> dict[str, Any]:
    """The fit of each card that has to be measured for it, by id. A form has a sheet of its own."""
    cards = [card for card in _cards(data) if card["kind"] != "form" and not _is_long(card)]
    return _once(data, cards, _fits, _fits_asked)


def _once(
    data: PrintData, cards: list[Any], known: dict[str, Any], ask: Callable[[PrintData], Mapping[str, Any]]
) -> dict[str, Any]:
    """What `ask` answers for each of the cards, by id; only for those that it was never asked for."""
    shared = as_json([data.said[name] for name in _SHARED])
    digests = {card["id"]: hashlib.sha256(shared + as_json(card)).hexdigest() for card in cards}
    if len(known) > _KEPT:
        known.clear()
    new = [card for card in cards if digests[card["id"]] not in known]
    if new:
        only = PrintData(data.handbook)
        only.said = {**data.said, "cards": new}
        only.files["data.json"] = as_json(only.said)
        known.update((digests[card], answer) for card, answer in ask(only).items())
    return {card: known[digest] for card, digest in digests.items()}


def _fits_asked(data: PrintData) -> Mapping[str, Any]:
    found: Mapping[str, Any] = json.loads(query("fits.typ", "fits", data))
    return found


def _pages_asked(data: PrintData) -> Mapping[str, Any]:
    found: Mapping[str, Any] = json.loads(query("pages.typ", "pages", with_fits(data)))
    return found


def _cards(data: PrintData) -> list[Any]:
    cards: Any = data.said["cards"]
    return list(cards)


def _is_long(card: Mapping[str, Any]) -> bool:
    """Whether a card has so many rows of tables that no page is too large for them."""
    rows = sum(len(block["rows"]) for block in card["blocks"] if block["kind"] == "matrix")
    return rows > _MANY_ROWS


def _is_empty_form(card: Mapping[str, Any]) -> bool:
    """A form of nothing but ruled lines has as many of them as its one page holds."""
    grids = [block for block in card["blocks"] if block["kind"] == "form-grid"]
    return card["kind"] == "form" and len(grids) == 1 and not grids[0]["given"]
