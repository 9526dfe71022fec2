"""The guide's cards in their order: what is written, and behind it what is derived."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path

from kitdocs.document.blocks import Prose
from kitdocs.document.card import Card, Handbook
from kitdocs.document.catalog import catalog_for
from kitdocs.document.edition import with_edition
from kitdocs.guide.commands import ToldCommand, command_blocks
from kitdocs.guide.fields import field_cards
from kitdocs.guide.figures import figure_cards
from kitdocs.guide.page import guide_card
from kitdocs.guide.reference import reference_cards
from kitdocs.handbook.prose import prose, titled

#: The written pages of each section, by the names of their files.
SECTIONS: Mapping[str, Sequence[str]] = {
    "Begin": ("about", "first-hour"),
    "The practice folder": ("practice-folder", "values"),
    "Commands": ("commands",),
    "Figures": ("figures",),
    "Day by day": ("hosting", "backup", "upgrading"),
    "Beyond": ("translating", "extending", "python"),
}
#: What the search says of itself here, in place of the words for a practice's cards.
_WORDS = {"site.find.hint": "command, file, figure"}


def written(name: str) -> str:
    """Return the text of a written page."""
    return (Path(__file__).parent / f"{name}.md").read_text("utf-8")


def written_names() -> tuple[str, ...]:
    """Return the names of all written pages, those about single commands included."""
    return tuple(sorted(path.stem for path in Path(__file__).parent.glob("*.md")))


def make_guide(commands: Sequence[ToldCommand]) -> Handbook:
    """Return the guide to this kitdocs, whose command line has these commands."""
    cards = [with_edition(card) for section in SECTIONS for card in _cards(section, commands)]
    return Handbook(
        practice="kitdocs guide",
        language="en",
        words=catalog_for("en", {"en": _WORDS}),
        languages=("en",),
        paper="letter",
        cards=tuple(cards),
    )


def _cards(section: str, commands: Sequence[ToldCommand]) -> Iterator[Card]:
    for name in SECTIONS[section]:
        yield _card(section, name)
        if name == "practice-folder":
            yield from field_cards(section)
    if section == "Commands":
        for command in commands:
            yield _card(section, f"command-{command.name}", command)
    if section == "Figures":
        yield from figure_cards(section)
    if section == "Beyond":
        yield from reference_cards(section)


def _card(section: str, name: str, command: ToldCommand | None = None) -> Card:
    """Return a written page as a card; the page of a command says what the command itself says, too."""
    title, parts = titled(prose(written(name)))
    text = Prose(parts=parts)
    return guide_card(name, title, section, command_blocks(command, text) if command else [text])
