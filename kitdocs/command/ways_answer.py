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
from kitdocs.planning.buying.why_there import signed
from kitdocs.practice.message import Clock, Duration, Fixed, Share
from kitdocs.practice.quantities import clock, share
from kitdocs.practice.quantities import money as amount
from kitdocs.proposing.outcomes import Outcome
from kitdocs.proposing.purse import Made, Spent
from kitdocs.proposing.ways import WEEKS
from kitdocs.proposing.ways_out import WayOut, WaysOut, Wish

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
            to.print(Text(_is_there(words, answer)))
        else:
            for line in reached(words, answer):
                to.print(Text(line))
            if answer.found:
                to.print(Padding(_table(words, answer), (1, 0)))
        if answer.spent:
            _show_spent(to, words, answer, answer.spent)
        for line in notes(words, answer):
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
                "more_pieces_without_a_price": found.pieces,
                "gain": round(found.gain, 3),
                "for_one": None if found.each is None else round(found.each, 2),
                **_outcome_json(found.outcome),
            }
            for found in answer.found
        ],
        "ends_never_before": answer.earliest and round(answer.earliest.at, 1),
        "last_set": answer.earliest
        and {
            "id": answer.earliest.set,
            "visit_ends": round(answer.earliest.last, 1),
            "needs_minutes": round(answer.earliest.needs, 1),
        },
        "twos_not_tried": answer.twos_left,
        "threes_tried": answer.threes,
        "threes_not_tried": answer.threes_left,
        "in_steps": answer.spent and _spent_json(words, answer.spent),
    }


def _spent_json(words: MessageCatalog, spent: Spent) -> dict[str, Any]:
    added: list[tuple[Made, dict[str, int]]] = [((), {}), *spent.bought()]
    return {
        "steps": [
            {
                "candidates": [{"id": way.id, "name": words.say(way.name), "price": str(way.price)} for way in made],
                "buy": more,
                "spent": str(step.spent),
                "own": dict(step.packs.own),
                "nothing_short": step.packs.kept.share,
                "short": round(step.packs.short, 2),
            }
            for step, (made, more) in zip(spent.steps, added, strict=True)
        ],
        "nothing_short_with_sets_and_pouches_alone": spent.packs_alone.share,
        "less_after_step": list(spent.falls),
        "choices_of_candidates_tried": spent.tried,
        "choices_of_candidates_not_tried": spent.left,
    }


def _outcome_json(outcome: Outcome) -> dict[str, Any]:
    return {
        "to_buy": str(outcome.money),
        "ends": round(outcome.ends, 1),
        "nothing_short": outcome.chance.share,
        "to_buy_without_a_price": dict(outcome.unpriced),
        "own": dict(outcome.own),
    }


def name_of(words: MessageCatalog, found: WayOut) -> str:
    """Return what is done, in words."""
    if not found.ways:
        return words("propose.way.more")
    *others, last = (words.say(way.name) for way in found.ways)
    return words("propose.way.and", one="; ".join(others), other=last) if others else last


def _wishes(words: MessageCatalog, answer: WaysOut) -> Iterator[str]:
    wish, currency = answer.wish, answer.practice.settings.currency
    if wish.ends is not None:
        yield words("propose.ways.ends", at=Clock(wish.ends))
    if wish.budget is not None:
        yield words("propose.ways.budget", money=words.money(wish.budget, currency))
    if wish.chance is not None:
        yield words("propose.ways.chance", chance=Share(wish.chance, 1))


def _now(words: MessageCatalog, answer: WaysOut) -> str:
    now = answer.now
    return words(
        "propose.ways.now",
        money=_money(words, answer, now),
        ends=Clock(now.ends),
        chance=Share(now.chance.share, 1),
    )


def _money(words: MessageCatalog, answer: WaysOut, outcome: Outcome) -> str:
    """What is to buy: at least so much, where some of it has no price."""
    told = words.money(outcome.money, answer.practice.settings.currency)
    return words.count("propose.ways.at-least", outcome.pieces, money=told) if outcome.pieces else told


def _is_there(words: MessageCatalog, answer: WaysOut) -> str:
    pieces = answer.now.pieces if answer.wish.budget is not None else 0
    return words.count("propose.ways.is-there-but", pieces) if pieces else words("propose.ways.is-there")


def reached(words: MessageCatalog, answer: WaysOut) -> Iterator[str]:
    """Yield what is said where nothing reaches the wish: what comes nearest, and before when no day can end."""
    if any(way.reaches for way in answer.found):
        return
    if nearest := answer.nearest:
        yield words(
            "propose.ways.none-reaches",
            way=name_of(words, nearest),
            ends=Clock(nearest.outcome.ends),
            more=_more(words, nearest),
            currency=answer.practice.settings.currency,
            chance=Share(nearest.outcome.chance.share, 1),
        )
    else:
        yield words("propose.ways.nothing-helps")
    earliest, wish = answer.earliest, answer.wish.ends
    if earliest and wish is not None and wish < earliest.at <= answer.now.ends:
        yield words(
            "propose.ways.never-before",
            at=Clock(earliest.at),
            last=Clock(earliest.last),
            set=answer.practice.sets[earliest.set].name,
            needs=Duration(60 * earliest.needs),
        )


def _more(words: MessageCatalog, found: WayOut) -> str:
    """The money, and what comes on top of it without a price: pieces by their number, the way itself as a ?."""
    parts = [words.say(signed(found.more))]
    if found.pieces:
        parts.append(words.count("propose.ways.pieces", abs(found.pieces), amount=signed(Decimal(found.pieces))))
    if not found.ways_priced:
        parts.append(words("propose.ways.no-price"))
    return " ".join(parts)


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
    each = "–" if found.each is None else words.say(signed(Decimal(round(found.each))))
    return (
        name_of(words, found),
        _reaches(words, wish, found),
        _more(words, found),
        *((each,) if _is_measured(wish) else ()),
        words.say(Clock(found.outcome.ends)),
        words.say(Share(found.outcome.chance.share, 1)),
    )


def _reaches(words: MessageCatalog, wish: Wish, found: WayOut) -> str:
    if not found.reaches:
        return ""
    pieces = found.outcome.pieces if wish.budget is not None else 0
    return words.count("propose.ways.reaches-but", pieces) if pieces else words("propose.ways.reaches")


def notes(words: MessageCatalog, answer: WaysOut) -> Iterator[str]:
    """Yield what is said below the ways: what they hold more of, what was tried, what has no price."""
    for found in answer.found[:MOST]:
        if not found.ways and (packs := ", ".join(_added(words, answer, found))):
            yield words("propose.ways.added", way=name_of(words, found), packs=packs)
    if len(answer.found) > MOST:
        yield words("propose.ways.others", n=len(answer.found) - MOST)
    if not answer.is_there:
        yield words("propose.ways.legend", weeks=WEEKS, tried=answer.tried)
        yield words.count("propose.ways.twos-left", answer.twos_left)
        if answer.threes:
            yield words.count("propose.ways.threes", answer.threes, left=answer.threes_left)
        elif any(found.reaches for found in answer.found):
            yield words("propose.ways.no-threes")
    if not all(found.ways_priced for found in answer.found[:MOST]):
        yield words("propose.ways.unpriced")
    if unpriced := dict.fromkeys(i for one in (answer.now, *(w.outcome for w in answer.found)) for i in one.unpriced):
        practice = answer.practice
        things = [words.say((practice.instruments.get(i) or practice.cassettes[i]).name) for i in unpriced]
        yield words("propose.ways.unpriced-pieces", things=", ".join(things))
    if answer.stopped:
        yield words("propose.ways.stopped")


def _show_spent(to: Console, words: MessageCatalog, answer: WaysOut, spent: Spent) -> None:
    """Print what to buy first, second, third, and the chance after each."""
    currency = answer.practice.settings.currency
    purse = words.money(answer.wish.budget or Decimal(0), currency)
    to.print(Text(words("propose.purse.title", purse=purse), style="bold"))
    head = words.each("propose.purse.head", "step", "buy", "spent", "short", "kept", currency=currency)
    drawn = table(head, numbers=(2, 3, 4))
    for n, (step, buy) in enumerate(zip(spent.steps, _bought(words, answer, spent), strict=True)):
        so_far, short = words.number(float(step.spent), 0), words.say(Fixed(step.packs.short, 1))
        drawn.add_row(*map(Text, (str(n or "–"), buy, so_far, short, words.say(Share(step.packs.kept.share, 1)))))
    to.print(Padding(drawn, (1, 0)))
    for line in _said_of(words, spent):
        to.print(Text(line, style="dim"))


def _bought(words: MessageCatalog, answer: WaysOut, spent: Spent) -> Iterator[str]:
    practice = answer.practice
    yield words("propose.purse.nothing")
    for made, more in spent.bought():
        packs = ((words.say((practice.sets.get(id_) or practice.pouches[id_]).name), n) for id_, n in more.items())
        listed = [*(words.say(way.name) for way in made), *(words("propose.purse.pack", n=n, pack=p) for p, n in packs)]
        yield ", ".join(listed) or words("propose.purse.spares")


def _said_of(words: MessageCatalog, spent: Spent) -> Iterator[str]:
    yield words("propose.purse.legend")
    if spent.made:
        yield words("propose.purse.worth", chance=Share(spent.packs_alone.share, 1))
    elif spent.tried:
        yield words.count("propose.purse.none-worth", spent.tried)
    if spent.left:
        yield words.count("propose.purse.left", spent.left)
    if spent.falls:
        yield words("propose.purse.falls", steps=", ".join(map(str, spent.falls)))


def _added(words: MessageCatalog, answer: WaysOut, found: WayOut) -> Iterator[str]:
    """What there is more, or less, of each set and pouch than now."""
    practice = answer.practice
    for id_, number in found.outcome.own.items():
        if more := number - answer.now.own.get(id_, 0):
            record = practice.sets.get(id_) or practice.pouches[id_]
            yield words("propose.ways.pack", pack=words.say(record.name), more=signed(Decimal(more)))
