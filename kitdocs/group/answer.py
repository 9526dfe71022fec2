"""Answer of `kitdocs group`: what is wrong with which practice, what can move, where to look."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

from kitdocs.command.problems_told import plain_problems
from kitdocs.document.catalog import built_in_catalog
from kitdocs.group.comparison import MEASURES
from kitdocs.group.found import GROUP
from kitdocs.group.publishing import Published
from kitdocs.group.told import Told


def answer_lines(published: Published, to: Path, *, quiet: bool) -> Iterator[str]:
    """Yield the lines for a terminal. `quiet`: only what is wrong."""
    group = published.group
    for name, worked in group.practices.items():
        for problem in worked.problems:
            if problem.severity == "error":
                yield f"{name}: {problem}"
        if worked.failed:
            yield f"{name}: {worked.failed}"
    if quiet:
        return
    told = Told(group, built_in_catalog("en"))
    moving = group.exchange.transfers
    if moving:
        saved = " + ".join(told.words.money(group.exchange.saved(currency), currency) for currency in group.currencies)
        yield told.words.count("group.transfers.text", sum(each.pieces for each in moving), saved=saved)
    good, again = sum(worked.is_good for worked in group.practices.values()), len(published.made_again)
    yield (f"{good} of {len(group.practices)} practices are fine, {again} made anew; open {to / GROUP / 'index.html'}")


def answer_json(published: Published, to: Path) -> dict[str, Any]:
    """Return the answer as plain data. Money in the currency beside it, times in minutes after midnight."""
    group = published.group
    return {
        "folder": str(to),
        "made_again": list(published.made_again),
        "practices": {
            name: {
                "good": worked.is_good,
                "failed": worked.failed,
                "currency": worked.summary.currency if worked.summary else None,
                "figures": {id_: each.of(worked.summary) for id_, each in MEASURES.items()} if worked.summary else {},
                "problems": plain_problems(worked.problems),
            }
            for name, worked in group.practices.items()
        },
        "middle": dict(group.middle),
        "transfers": [
            {
                "kind": each.kind,
                "id": each.id,
                "pieces": each.pieces,
                "from": each.giver,
                "to": each.taker,
                "saves": None if each.saves is None else str(each.saves),
                "currency": each.currency,
            }
            for each in group.exchange.transfers
        ],
        "order": [
            {
                "kind": line.kind,
                "id": line.id,
                "pieces": line.pieces,
                "for": {share.practice: share.pieces for share in line.shares},
            }
            for line in group.exchange.orders
        ],
    }
