"""Lists of the move, to tick off: what to order, what to mark, label and post, and the stock of the first morning."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Sequence
from decimal import Decimal

from kitdocs.document.blocks import Block, Cell, Matrix, said
from kitdocs.document.card import Card
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.cards.chairs import colour_name
from kitdocs.handbook.cards.places import kept_at_place, place_name
from kitdocs.handbook.cards.uncounted import lasting, used_up
from kitdocs.handbook.labels import TAGS_A_CHAIR
from kitdocs.handbook.layout import CellText, facts
from kitdocs.handbook.move.move import Move
from kitdocs.handbook.pictures import cassette_picture, chair_mark_of, set_mark_of, tip_of
from kitdocs.handbook.rules.conditions import keeps_drawers
from kitdocs.handbook.rules.quote import rule_text
from kitdocs.planning.buying.first_supplies import FirstSupply, first_supplies, total_cost
from kitdocs.planning.buying.orders import OrderLine
from kitdocs.practice.store_places import store_places


def order_card(move: Move) -> Card:
    """Return instruments, cassettes and supplies to buy. Only supplies have a lead time."""
    return move.card("move/order", tuple(_to_order(move)))


def first_of(brief: Brief) -> tuple[FirstSupply, ...]:
    """Return the supplies that lie ready on the first day."""
    plan = brief.plan
    return first_supplies(
        brief.practice, plan.supplies, sets=plan.days.stock, pouches=plan.days.pouch_stock, sheets=plan.sheets
    )


def pieces_to_buy(move: Move) -> str:
    """Return how much there is to buy: ``124 instruments and 15 cassettes``."""
    counts = ((kind, sum(line.buy for line in _lines(move, kind))) for kind in ("instrument", "cassette"))
    return move.brief.listed(move.words.count(f"move.order.{kind}s", n) for kind, n in counts if n)


def money_of_orders(move: Move) -> str:
    """Return what instruments and cassettes cost; says so where some have no price."""
    orders = move.brief.plan.orders
    total = move.words.money(orders.total, orders.currency)
    return move.words("move.order.without-price", money=total) if orders.without_price else total


def _to_order(move: Move) -> Iterator[Block]:
    words, brief = move.words, move.brief
    supplies = first_of(brief)
    if not brief.plan.orders.to_buy:
        yield said(words("move.order.nothing"))
    costs = [(words("move.order.total"), money_of_orders(move))] if brief.plan.orders.to_buy else []
    if supplies and total_cost(supplies):
        spent = words.money(total_cost(supplies), brief.practice.settings.currency)
        costs.append((words("move.order.supply-total"), spent))
    if costs:
        yield facts(*costs)
    if brief.plan.orders.to_buy:
        yield said(rule_text(brief, "new-first"))
    for kind in ("instrument", "cassette"):
        lines = _lines(move, kind)
        if lines:
            pieces = (_piece(move, line) for line in lines)
            yield _ordered(move, words(f"move.order.{kind}-table"), ("buy", "costs"), pieces)
    if supplies:
        rows = (_supply(move, supply) for supply in supplies)
        yield _ordered(move, words("move.order.supply-table"), ("pieces", "boxes", "costs"), rows)
        yield said(words("move.order.supply-why"))
    also = ((" · ".join(things),) for things in (used_up(brief), lasting(brief)))
    yield _ordered(move, words("card.uncounted.title"), (), also)


def _ordered(move: Move, title: str, numbers: tuple[str, ...], rows: Iterable[Sequence[CellText]]) -> Matrix:
    head = move.words.each("move.order", "thing", *numbers, "ordered", "come")
    return move.ticked(title, head, rows, range(1, len(numbers) + 1), boxes=2)


def _lines(move: Move, kind: str) -> tuple[OrderLine, ...]:
    return tuple(line for line in move.brief.plan.orders.to_buy if line.kind == kind)


def _piece(move: Move, line: OrderLine) -> tuple[CellText, ...]:
    spares = move.words.count("move.order.spares", line.spares) if line.spares else ""
    picture = tip_of(move.brief, line.id) if line.kind == "instrument" else cassette_picture(move.brief, line.id)
    name = Cell(text=move.brief.say(line.name), detail=spares, picture=picture)
    return name, str(line.buy), _cost(move, line.total)


def _supply(move: Move, supply: FirstSupply) -> tuple[CellText, ...]:
    words = move.brief.words
    boxes = f"{supply.boxes} × {words.number(supply.use.pack)}"
    return move.brief.supply(supply.use), words.number(supply.needed), boxes, _cost(move, supply.cost)


def _cost(move: Move, cost: Decimal | None) -> str:
    return "–" if cost is None else move.brief.words.money(cost)


def mark_card(move: Move) -> Card:
    """Return everything that gets a tag, a mark or a card, with how many, to tick off."""
    return move.card("move/mark", tuple(_marked(move)))


def _marked(move: Move) -> Iterator[Block]:
    yield _to_mark(move, "chairs", ("chair", "put-on", "tags", "done"), _chairs(move), (2,))
    yield _to_mark(move, "cassettes", ("set", "put-on", "how-many", "done"), _cassettes(move), (2,))
    yield _to_mark(move, "room", ("place", "label", "done"), _room(move))
    yield _to_mark(move, "hang", ("place", "cards", "how-many", "done"), _hung(move), (2,))


def _to_mark(
    move: Move, title: str, head: tuple[str, ...], rows: Iterator[Sequence[CellText]], numbers: tuple[int, ...] = ()
) -> Matrix:
    words = move.words
    return move.ticked(words(f"move.mark.{title}"), words.each("move.mark", *head), rows, numbers)


def _chairs(move: Move) -> Iterator[tuple[CellText, ...]]:
    brief, words = move.brief, move.words
    for chair, record in brief.practice.chairs.items():
        picture = chair_mark_of(brief, chair)
        name = Cell(text=brief.chair(chair), picture=picture, link=move.link(f"r/{chair}"))
        mark = words("card.key.chair", colour=colour_name(brief, chair), mark=words(f"card.chair-mark.{record.mark}"))
        where = words("move.mark.chair-and-drawer" if record.drawer else "move.mark.chair-alone")
        yield name, Cell(text=mark, detail=where), str(TAGS_A_CHAIR)


def _cassettes(move: Move) -> Iterator[tuple[CellText, ...]]:
    """Yield marks and end labels. Marks stay on; end labels are needed once more with every packing."""
    brief, words = move.brief, move.words
    for set_id, record in brief.practice.sets.items():
        name = Cell(text=brief.set(set_id), picture=set_mark_of(brief, set_id), link=move.link(f"s/{set_id}"))
        cassette = brief.say(brief.practice.cassettes[record.cassette].name)
        mark = words("move.mark.mark", mark=words(f"card.set-mark.{record.mark}"), code=record.code)
        owned = brief.plan.days.stock.get(set_id, 0)
        yield name, Cell(text=mark, detail=cassette), str(owned)


def _room(move: Move) -> Iterator[tuple[CellText, ...]]:
    brief, words, room = move.brief, move.words, move.brief.practice.room
    for place in store_places(room):
        name = f"{place.code} · {place_name(brief, place)}"
        if place.kind == "shelf":
            yield name, words("move.mark.shelf")
        elif place.kind == "drawer":
            yield name, words(f"card.storage.holds.{room.drawers[place.id].holds}")
        else:
            yield name, " · ".join(kept_at_place(brief, place))
    if all(drawer.holds != "spares" for drawer in room.drawers.values()):
        yield words("move.mark.spares"), words("move.mark.spares-label")
    yield words("move.mark.bin"), words("move.mark.bin-label")


def _hung(move: Move) -> Iterator[tuple[CellText, ...]]:
    """Yield the cards by place, in the order of the binder. All drawers are one place, and the binder is none."""
    places: dict[str, list[Card]] = {}
    for card in move.cards.values():
        if card.place != "binder" and card.is_kept and card.hangs:
            place = move.words("move.mark.drawers") if card.place == "drawer" else card.hangs
            places.setdefault(place, []).append(card)
    for place, cards in places.items():
        yield place, _named(cards), str(sum(card.copies for card in cards))
    # Without a number, which would change this sheet with every page that somebody adds to the binder.
    yield move.words("move.mark.binder"), move.words("move.mark.all"), "1"


def _named(cards: list[Card]) -> str:
    """Return the cards by name; many of one section by the section's."""
    sections = Counter(card.section for card in cards)
    told: dict[str, None] = {}
    for card in cards:
        many = sections[card.section]
        told[f"{card.section} × {many}" if many > 3 else card.title] = None
    return " · ".join(told)


def start_card(move: Move) -> Card:
    """Return the stock to count by on the first morning, before the doors open."""
    return move.card("move/start", tuple(_in_stock(move)))


def _in_stock(move: Move) -> Iterator[Block]:
    practice = move.brief.practice
    yield _counted(move, "sets", ("set", "label", "on-shelf"), _sets_ready(move))
    if practice.pouches:
        yield _counted(move, "pouches", ("pouch", "label", "on-shelf"), _pouches_ready(move))
    if keeps_drawers(practice):
        yield _counted(move, "drawers", ("chair", "in-drawer", "in-all"), _drawers_filled(move))


def _counted(move: Move, title: str, head: tuple[str, ...], rows: Iterator[Sequence[CellText]]) -> Matrix:
    words = move.words
    return move.ticked(words(f"move.start.{title}"), words.each("move.start", *head, "counted"), rows, numbers=(2,))


def _sets_ready(move: Move) -> Iterator[tuple[CellText, ...]]:
    brief = move.brief
    for set_id, record in brief.practice.sets.items():
        name = Cell(text=brief.set(set_id), picture=set_mark_of(brief, set_id), link=move.link(f"s/{set_id}"))
        yield name, record.code, str(brief.plan.days.stock.get(set_id, 0))


def _pouches_ready(move: Move) -> Iterator[tuple[CellText, ...]]:
    """Yield what lies in no drawer on the first morning: all add-ons, and what the drawers leave of their pouches."""
    brief = move.brief
    owned, in_drawers = brief.plan.days.pouch_stock, brief.plan.days.drawer_pouches
    for pouch in brief.practice.pouches:
        link = move.link(f"p/{pouch}")
        left = owned.get(pouch, 0) - (in_drawers[pouch].par if pouch in in_drawers else 0)
        yield Cell(text=brief.pouch(pouch), link=link), brief.code_and_kind(pouch), str(left)


def _drawers_filled(move: Move) -> Iterator[tuple[CellText, ...]]:
    brief = move.brief
    for chair, record in brief.practice.chairs.items():
        if record.drawer:
            pars = {pouch: brief.plan.par[chair, pouch] for pouch in record.drawer}
            name = Cell(text=brief.chair(chair), picture=chair_mark_of(brief, chair), link=move.link(f"r/{chair}"))
            holds = " · ".join(f"{par}\u00a0× {brief.pouch(pouch)}" for pouch, par in pars.items())
            yield name, holds, str(sum(pars.values()))
