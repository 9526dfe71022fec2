"""The poster of the chair colours: which colour and mark is which chair, read from two metres."""

from __future__ import annotations

from dataclasses import replace

from kitdocs.document.card import Card
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.cards.chairs import chair_band
from kitdocs.handbook.codes import code_block


def poster(brief: Brief) -> Card:
    """Return a band for each chair: colour, mark, both names, and what its drawer holds, in codes."""
    words = brief.words
    bands = tuple(replace(chair_band(brief, chair), note=_drawer(brief, chair)) for chair in brief.practice.chairs)
    text = "\n".join([words("poster.title"), *(f"{band.word} · {band.name}" for band in bands)])
    return Card(
        id="poster",
        kind="poster",
        form="poster",
        title=words("poster.title"),
        subtitle=words("poster.subtitle"),
        section=words("card.section.start"),
        hangs=words("poster.hangs"),
        place="staff-room",
        front=(*bands, code_block(brief, "poster", text)),
    )


def _drawer(brief: Brief, chair: str) -> str:
    codes = " · ".join(brief.practice.pouches[pouch].code for pouch in brief.practice.chairs[chair].drawer)
    return brief.words("poster.drawer", codes=codes) if codes else ""
