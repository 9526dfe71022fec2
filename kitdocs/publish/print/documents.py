"""The handbook on paper: PDFs that print at true size, can be read aloud, and are the same bytes every time."""

from __future__ import annotations

from collections.abc import Sequence

from kitdocs.handbook.card import Card, Handbook
from kitdocs.handbook.cards.poster import READ_FROM_MM
from kitdocs.publish.print.data import PrintData
from kitdocs.publish.print.fits import with_fits
from kitdocs.publish.print.press import pressed


def refill_cards(handbook: Handbook) -> bytes:
    """The wall cards, several to a sheet with crop marks; backs register when the sheet is turned on its long edge."""
    cards = [card for card in handbook.cards if card.form == "wall"]
    return pressed("refill-cards.typ", _data(handbook, cards, _word(handbook, "refill_cards")))


def pouch_lists(handbook: Handbook) -> bytes:
    """The sheets that lie in the drawers, one a chair; printed on both sides, two chairs would share one."""
    cards = [card for card in handbook.cards if card.kind == "pouch-list"]
    return _on_sheets("sheets.typ", handbook, cards, _word(handbook, "pouch_lists"), one_sided=True)


def set_templates(handbook: Handbook) -> bytes:
    """The cassettes at true size, one set after the other, to lie at the packing bench."""
    cards = [card for card in handbook.cards if card.form == "template"]
    return sheets(handbook, cards, title=_word(handbook, "set_templates"))


def poster(handbook: Handbook) -> bytes:
    """The chair colours on a sheet that is read from across the room."""
    cards = [card for card in handbook.cards if card.form == "poster"]
    return pressed("poster.typ", _data(handbook, cards, _word(handbook, "poster"), distance_mm=READ_FROM_MM))


def forms(handbook: Handbook) -> bytes:
    """The forms to be filled in by hand, a clean copy of each."""
    return sheets(handbook, [card for card in handbook.cards if card.kind == "form"], title=_word(handbook, "forms"))


def move(handbook: Handbook) -> bytes:
    """The papers of the move to sets: plan, lists, training, self-test, first week."""
    return sheets(handbook, [card for card in handbook.cards if card.form == "paper"], title=_word(handbook, "move"))


def sheets(handbook: Handbook, cards: Sequence[Card], *, title: str) -> bytes:
    """The given cards on full pages, as a document of its own: for templates, plans, forms."""
    return _on_sheets("sheets.typ", handbook, cards, title)


def _on_sheets(template: str, handbook: Handbook, cards: Sequence[Card], title: str, **more: object) -> bytes:
    return pressed(template, with_fits(_data(handbook, cards, title, **more)))


def _data(handbook: Handbook, cards: Sequence[Card], title: str, **more: object) -> PrintData:
    data = PrintData(handbook)
    data.add(cards, title, **more)
    return data


def _word(handbook: Handbook, key: str) -> str:
    return handbook.words(f"print.{key}")
