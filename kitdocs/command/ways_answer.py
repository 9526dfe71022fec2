"""Output of `kitdocs propose` with a wish: the ways to it for people, or as JSON."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from decimal import Decimal
from typing import Any

from rich.console import Console
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from kitdocs.command.console import trimmed
from kitdocs.command.terminal import table
from kitdocs.document.catalog import MessageCatalog
from kitdocs.practice.message import Clock, Share
from kitdocs.practice.numbers import money
from kitdocs.practice.quantities import clock, share
from kitdocs.practice.quantities import money as amount
from kitdocs.proposing.reasons import signed
from kitdocs.proposing.ways import WEEKS
from kitdocs.proposing.ways_out import Outcome, WayOut, WaysOut, Wish

#: So many ways are shown to people; as JSON, all of them.
MOST = 12


def wish_of(ends: str, budget: str, chance: str, currency: str) -> Wish:
    """Read a wish as somebody wrote it. Raises ValueError saying what to write."""
    wished = share(chance) if chance else None
    if wished is not None and wished >= 1:
        raise ValueError("no number of sets is enough on 100 % of days; ask for less, as in '99%'")
    return Wish(
        ends=clock(ends) if ends else None,
        budget=Decimal(amount(budget, currency)) if budget else None,
        chance=wished,
    )


def show_ways(to: Console, words: MessageCatalog, answer: WaysOut) -> None:
    """Print what there is, the ways, and what comes nearest where none reaches the wish."""
    with trimmed(to):
        to.print()
        to.print(Text(words("propose.ways.title", wishes="; ".join(_wishes(words, answer))), style="bold"))
        to.print(Text(_now(words, answer)))
        if answer.is_there:
            to.print(Text(words("propose.ways.is-there")))
        elif not answer.found:
            to.print(Text(words("propose.ways.nothing-helps")))
        else:
            for line in _reached(words, answer):
                to.print(Text(line))
            to.print(Padding(_table(words, answer), (1, 0)))
        for line in _notes(words, answer):
            to.print(Text(line, style="dim"))


def ways_json(words: MessageCatalog, answer: WaysOut) -> dict[str, Any]:
    """Return everything as JSON data. Money is in the practice's currency, times in minutes after midnight."""
    return {
        "wish": {
            "ends": answer.wish.ends,
            "budget": None if answer.wish.budget is None else str(answer.wish.budget),
            "chance": answer.wish.chance,
        },
        "is_there": answer.is_there,
        "now": _outcome_json(answer.now),
        "tried": answer.tried,
        "stopped": answer.stopped,
        "ways": [
            {
                "ids": [way.id for way in found.ways],
                "name": name_of(words, found),
                "reaches": found.reaches,
                "more": str(found.more),
                "without_a_price": [way.id for way in found.ways if way.price is None],
                "gain": round(found.gain, 3),
                "for_one": None if found.each is None else round(found.each, 2),
                **_outcome_json(found.outcome),
            }
            for found in answer.found
        ],
        "buying_steps": [
            {"up_to": str(step.purse), "spent": str(step.spent), "nothing_short": step.kept.share}
            for step in answer.steps
        ],
    }


def _outcome_json(outcome: Outcome) -> dict[str, Any]:
    return {
        "to_buy": str(outcome.money),
        "ends": round(outcome.ends, 1),
        "nothing_short": outcome.chance.share,
        "own": dict(outcome.own),
    }


def name_of(words: MessageCatalog, found: WayOut) -> str:
    """Return what is done, in words."""
    if not found.ways:
        return words("propose.way.more")
    one, *others = (words.say(way.name) for way in found.ways)
    return words("propose.way.and", one=one, other=others[0]) if others else one


def _wishes(words: MessageCatalog, answer: WaysOut) -> Iterator[str]:
    wish, currency = answer.wish, answer.practice.settings.currency
    if wish.ends is not None:
        yield words("propose.ways.ends", at=Clock(wish.ends))
    if wish.budget is not None:
        yield words("propose.ways.budget", money=money(wish.budget, currency))
    if wish.chance is not None:
        yield words("propose.ways.chance", chance=Share(wish.chance, 1))


def _now(words: MessageCatalog, answer: WaysOut) -> str:
    now = answer.now
    return words(
        "propose.ways.now",
        money=money(now.money, answer.practice.settings.currency),
        ends=Clock(now.ends),
        chance=Share(now.chance.share, 1),
    )


def _reached(words: MessageCatalog, answer: WaysOut) -> Iterator[str]:
    nearest = answer.nearest
    if nearest and not any(way.reaches for way in answer.found):
        yield words(
            "propose.ways.none-reaches",
            way=name_of(words, nearest),
            ends=Clock(nearest.outcome.ends),
            more=_more(words, nearest),
            currency=answer.practice.settings.currency,
            chance=Share(nearest.outcome.chance.share, 1),
        )


def _more(words: MessageCatalog, found: WayOut) -> str:
    more = signed(found.more)
    return more if found.priced else words("propose.ways.no-price", more=more)


def _table(words: MessageCatalog, answer: WaysOut) -> Table:
    drawn = table(_head(words, answer), numbers=range(2, 6))
    for found in answer.found[:MOST]:
        drawn.add_row(*map(Text, _row(words, answer.wish, found)))
    return drawn


def _head(words: MessageCatalog, answer: WaysOut) -> Sequence[str]:
    wish = answer.wish
    each = "per-point" if wish.ends is None else "per-minute"
    names = ("way", "reaches", "more", *((each,) if _is_measured(wish) else ()), "ends", "chance")
    return words.each("propose.ways.head", *names, currency=answer.practice.settings.currency)


def _is_measured(wish: Wish) -> bool:
    """Whether money for one of what is gained says something: for minutes alone, or for points of chance alone."""
    return wish.budget is None and (wish.ends is None) != (wish.chance is None)


def _row(words: MessageCatalog, wish: Wish, found: WayOut) -> Iterable[str]:
    return (
        name_of(words, found),
        words("propose.ways.reaches") if found.reaches else "",
        _more(words, found),
        *(("–" if found.each is None else signed(Decimal(round(found.each))),) if _is_measured(wish) else ()),
        words.say(Clock(found.outcome.ends)),
        words.say(Share(found.outcome.chance.share, 1)),
    )


def _notes(words: MessageCatalog, answer: WaysOut) -> Iterator[str]:
    for found in answer.found[:MOST]:
        if not found.ways and (packs := ", ".join(_added(words, answer, found))):
            yield words("propose.ways.added", way=name_of(words, found), packs=packs)
    if len(answer.found) > MOST:
        yield words("propose.ways.others", n=len(answer.found) - MOST)
    if not answer.is_there:
        yield words("propose.ways.legend", weeks=WEEKS, tried=answer.tried)
    if not all(found.priced for found in answer.found[:MOST]):
        yield words("propose.ways.unpriced")
    for step in answer.steps[:-1]:
        if step.purse == answer.wish.budget:
            purse = money(step.purse, answer.practice.settings.currency)
            yield words("propose.ways.step", purse=purse, chance=Share(step.kept.share, 1))
    if answer.stopped:
        yield words("propose.ways.stopped")


def _added(words: MessageCatalog, answer: WaysOut, found: WayOut) -> Iterator[str]:
    """What there is more, or less, of each set and pouch than now."""
    practice = answer.practice
    for id_, number in found.outcome.own.items():
        if more := number - answer.now.own.get(id_, 0):
            record = practice.sets.get(id_) or practice.pouches[id_]
            yield words("propose.ways.pack", pack=words.say(record.name), more=signed(Decimal(more)))
