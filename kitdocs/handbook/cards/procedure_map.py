"""The procedure map, both ways: what a procedure takes, and what a set or pouch is for."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from kitdocs.document.blocks import Block, Cell, Matrix, said
from kitdocs.document.card import Card
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.cards.sets import set_cell
from kitdocs.handbook.layout import table
from kitdocs.handbook.pictures import pouch_photo
from kitdocs.practice.needs import Need


def procedure_map(brief: Brief) -> Card:
    """Return the map from procedure to set, add-ons and drawer pouches, and back."""
    words = brief.words
    table = _by_procedure(brief)
    by_procedure: list[Block] = [table]
    if any("%" in cell.text for row in table.rows for cell in row):
        by_procedure.append(said(words("card.map.share")))
    return Card(
        id="map",
        kind="map",
        title=words("card.map.title"),
        section=words("card.section.start"),
        hangs=words("card.hangs.map"),
        place="bench",
        copies=2,
        pairs=True,
        front=(*by_procedure, _by_set(brief), _by_pouch(brief)),
    )


def _by_procedure(brief: Brief) -> Matrix:
    words = brief.words
    rows = []
    for procedure, record in brief.practice.procedures.items():
        add_ons = _with_shares(brief, record.add_ons)
        drawer = _with_shares(brief, brief.plan.drawer_pouches[procedure])
        rows.append(
            (
                Cell(text=brief.procedure(procedure), detail=_where(brief, procedure)),
                replace(set_cell(brief, record.set), picture=None),
                Cell(text=add_ons or "–", detail=_single_use(brief, record.needs)),
                drawer or "–",
            )
        )
    return table(words("card.map.by-procedure"), words.each("card.map", "procedure", "set", "add-ons", "drawer"), rows)


def _by_set(brief: Brief) -> Matrix:
    words = brief.words
    rows = []
    for set_id in brief.practice.sets:
        procedures = [brief.procedure(p) for p, what in brief.practice.procedures.items() if what.set == set_id]
        rows.append((set_cell(brief, set_id), " · ".join(procedures) or "–"))
    return table(words("card.map.by-set"), (words("card.map.set"), words("card.map.procedures")), rows)


def _by_pouch(brief: Brief) -> Matrix:
    words = brief.words
    rows = []
    for pouch, record in brief.practice.pouches.items():
        link, photo = f"p/{pouch}" if record.kind == "add-on" else "", pouch_photo(brief, pouch)
        detail = brief.at_stated_place(brief.code_and_kind(pouch), pouch)
        named = Cell(text=brief.pouch(pouch), detail=detail, picture=photo, link=link)
        rows.append((named, brief.contents(record.contents), " · ".join(brief.procedures_of(pouch)) or "–"))
    return table(words("card.map.by-pouch"), words.each("card.map", "pouch", "contents", "procedures"), rows)


def _with_shares(brief: Brief, pouches: Mapping[str, float]) -> str:
    """Return pouches by name, with the share of visits that take one where that is not every visit."""
    return " · ".join(
        brief.pouch(pouch) + ("" if share == 1 else f" ({brief.share(share)})") for pouch, share in pouches.items()
    )


def _single_use(brief: Brief, needs: Mapping[str, Need]) -> str:
    """Return what comes sterile from its maker and is used once; it is in no set and no pouch."""
    instruments = brief.practice.instruments
    items = [i for i, need in needs.items() if instruments[i].single_use for _ in range(need.count)]
    return brief.words("card.map.single-use", items=brief.contents(items)) if items else ""


def _where(brief: Brief, procedure: str) -> str:
    """Return where it is done, or, where that is shorter, where it is not; nothing when it is done everywhere."""
    done = brief.practice.chairs_for(procedure)
    not_done = [chair for chair in brief.practice.chairs if chair not in done]
    if not not_done:
        return ""
    key, chairs = ("only", done) if len(done) <= len(not_done) else ("not", tuple(not_done))
    return brief.words(f"card.map.{key}", chairs=brief.listed(brief.chair(chair) for chair in chairs))
