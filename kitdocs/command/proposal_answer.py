"""Output of `kitdocs propose`: the short list, and one proposal in full with its reasons; as JSON, all of them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from math import ceil
from pathlib import Path
from typing import Any

from rich.console import Console
from rich.padding import Padding
from rich.text import Text

from kitdocs.command.console import trimmed
from kitdocs.command.terminal import table
from kitdocs.command.ways_answer import wish_of
from kitdocs.document.catalog import MessageCatalog, catalog_for
from kitdocs.planning.buying.design_figures import Figures
from kitdocs.planning.buying.pieces import counted_in_pieces
from kitdocs.planning.buying.why_there import changes
from kitdocs.practice.message import Clock, Fixed
from kitdocs.practice.model import Practice
from kitdocs.practice.problems import PracticeError, nearest
from kitdocs.practice.reading.undesigned import missing_for_a_proposal, read_undesigned, states_every_price
from kitdocs.proposing.demand import POUCHES, Demand
from kitdocs.proposing.new_folder import write_proposal
from kitdocs.proposing.packing import cannot_be_packed
from kitdocs.proposing.proposals import WEIGHINGS, Proposal, Proposals, propose_designs
from kitdocs.proposing.reasons import difference, reasons
from kitdocs.proposing.record import record_of
from kitdocs.proposing.ways_out import WaysOut, ways_out
from kitdocs.report.proposal import frontier_drawing
from kitdocs.tasks import Each, one_by_one


class AskingError(ValueError):
    """Something was asked for that there is none of."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ProposalsAsked:
    """What somebody asks of the proposals: the command's options."""

    kinds: int | None = None
    pouches: int = POUCHES
    keep: Sequence[str] = ()
    together: Sequence[str] = ()
    """Ids with commas between them."""
    apart: Sequence[str] = ()
    choose: str = ""
    each: Each = one_by_one
    """Where designs and ways are run."""


def answer_proposals(
    folder: Path, asked: ProposalsAsked, tell: Callable[[str], None], language: str
) -> tuple[MessageCatalog, Proposals, Proposal]:
    """Return the words of the answer, the proposals, and the one that is chosen (by name, or the first).

    Raises `PracticeError` with what keeps a design from being proposed, `AskingError` for an instrument or a proposal
    that there is none of, or where no design has so few kinds.
    """
    tell("reading the practice folder")
    read = read_undesigned(folder, asked.keep)
    practice = read.practice
    if lacking := missing_for_a_proposal(practice):
        raise PracticeError(lacking)
    if asked.choose and asked.choose not in WEIGHINGS:
        raise AskingError(f"there is no proposal '{asked.choose}'; choose one of {', '.join(WEIGHINGS)}")
    words = catalog_for(language or practice.settings.languages[0], practice.words)
    in_pieces = not states_every_price(practice)
    demand = Demand(
        practice=counted_in_pieces(practice) if in_pieces else practice,
        as_written=practice if in_pieces else None,
        together=_groups(practice, asked.together),
        apart=_groups(practice, asked.apart),
        pouches=asked.pouches,
    )
    if homeless := cannot_be_packed(demand):
        raise PracticeError(homeless)

    answer = propose_designs(demand, whole=read.whole, kinds=asked.kinds, tell=tell, each=asked.each)
    if not answer.proposals:
        few = f"{asked.kinds} kinds or fewer and " if asked.kinds else ""
        raise AskingError(f"no design was found with {few}at most {asked.pouches} pouches a visit; allow more")
    chosen = next((p for p in answer.proposals if asked.choose in (p.weighing, *p.also)), answer.proposals[0])
    return words, answer, chosen


def answer_ways(
    folder: Path,
    asked: ProposalsAsked,
    wish: tuple[str, str, str],
    tell: Callable[[str], None],
    language: str,
) -> tuple[MessageCatalog, WaysOut]:
    """Return the ways to a wish (ends, budget, chance, as written) for the folder's sets, or for a proposal.

    Raises as `answer_proposals` does; `AskingError` also for a wish that cannot be read.
    """
    tell("reading the practice folder")
    read = read_undesigned(folder)
    practice = None if asked.choose else read.whole
    for option, said in (
        ("kinds", asked.kinds),
        ("keep", asked.keep),
        ("together", asked.together),
        ("apart", asked.apart),
    ):
        if said and practice:
            raise AskingError(
                f"--{option} is about proposals, and the ways are for the sets of the folder; add --choose NAME"
            )
    if practice is None:
        practice = answer_proposals(folder, asked, tell, language)[2].practice
    try:
        wished = wish_of(*wish, practice.settings.currency)
    except ValueError as error:
        raise AskingError(str(error)) from None
    words = catalog_for(language or practice.settings.languages[0], practice.words)
    return words, ways_out(practice, wished, tell=tell, each=asked.each)


def _groups(practice: Practice, written: Sequence[str]) -> tuple[frozenset[str], ...]:
    groups = []
    for text in written:
        ids = [part.strip() for part in text.split(",") if part.strip()]
        for id_ in ids:
            if id_ not in practice.instruments:
                raise AskingError(f"there is no instrument '{id_}'; {nearest(id_, practice.instruments)}")
        if len(set(ids)) < 2:
            raise AskingError(f"'{text}' is not two instruments or more, as in 'bird-beak,three-prong'")
        groups.append(frozenset(ids))
    return tuple(groups)


def write_chosen(folder: Path, to: Path, answer: Proposals, chosen: Proposal) -> None:
    """Write a practice folder with a proposal, its comments in the practice's first language."""
    practice = chosen.practice
    words = catalog_for(practice.settings.languages[0], practice.words)
    write_proposal(folder, to, answer, chosen, reasons(answer, chosen), words.say)


def show_proposals(to: Console, words: MessageCatalog, answer: Proposals, chosen: Proposal) -> None:
    """Print the list, how it stands beside today's sets, and the chosen proposal with a reason for each choice."""
    with trimmed(to):
        to.print()
        to.print(Text(words("propose.title"), style="bold"))
        to.print(Padding(_list(words, answer), (1, 0)))
        for line in (
            *_answers_to_more(words, answer),
            *_beside_today(words, answer),
            words("propose.legend"),
            *_for_want_of_prices(words, answer),
            *_for_want_of_sheets(words, answer),
            *_stopped(words, answer),
        ):
            to.print(Text(line, style="dim"))
        to.print()
        to.print(Text(words("propose.chosen", name=name_of(words, chosen)), style="bold"))
        found = reasons(answer, chosen).of
        for id_, head in _heads(words, answer.demand, chosen):
            to.print()
            to.print(Text.assemble((head, "bold cyan")))
            for line in (_contents(words, chosen, id_), *map(words.say, found[id_])):
                to.print(Padding(Text(line), (0, 0, 0, 2)))
        to.print()
        to.print(Text(bound_said(words, answer, chosen), style="dim"))
        others = ", ".join(proposal.weighing for proposal in answer.proposals if proposal is not chosen)
        if others:
            to.print(Text(words("propose.chose-of", names=others), style="dim"))


def name_of(words: MessageCatalog, proposal: Proposal) -> str:
    """Return the name of a proposal: that of the first weighing that it is the answer to."""
    return words(f"propose.weighing.{proposal.weighing}")


def proposals_json(words: MessageCatalog, answer: Proposals, chosen: Proposal) -> dict[str, Any]:
    """Return everything as JSON data. Lengths of time in minutes, the day's end after midnight."""
    return {
        "today": answer.today and figures_json(answer.today),
        "at_least_as_good_as_today": [
            proposal.weighing
            for proposal in answer.proposals
            if answer.today and at_least_as_good(proposal.figures, answer.today)
        ],
        "cassettes_without_a_sheet": {c: ceil(side) for c, side in answer.judge.packing.unwrapped.items()},
        "stopped": answer.stopped,
        "bought_in": "pieces" if answer.demand.in_pieces else answer.demand.practice.settings.currency,
        "designs_judged": answer.tried,
        "candidates": {"sets": answer.candidates[0], "pouches": answer.candidates[1], "complete": answer.complete},
        "frontier": {"svg": picture_of(words, answer, chosen), "chosen": chosen.weighing},
        "proposals": [_proposal_json(words, answer, proposal) for proposal in answer.proposals],
    }


def picture_of(words: MessageCatalog, answer: Proposals, chosen: Proposal) -> str:
    """Return, as SVG, the picture of the planning report: money against walks, the chosen proposal filled."""
    return frontier_drawing(words, record_of(answer, chosen), answer.demand.practice.settings.currency).svg


def figures_json(figures: Figures) -> dict[str, Any]:
    """Return the figures of a design."""
    return {
        "to_buy": str(figures.money),
        "walks_per_day": round(figures.walks, 3),
        "drawer_openings_per_day": round(figures.openings, 3),
        "kinds": figures.kinds,
        "loads_per_day": round(figures.loads, 3),
        "hand_minutes_per_day": round(figures.hands, 1),
        "instruments_cleaned_per_day": round(figures.handled, 1),
        "day_ends": round(figures.ends, 1),
        "pieces": figures.pieces,
        "cassettes": figures.cassettes,
    }


def _proposal_json(words: MessageCatalog, answer: Proposals, proposal: Proposal) -> dict[str, Any]:
    practice, found = proposal.practice, reasons(answer, proposal).of
    return {
        "weighing": proposal.weighing,
        "also": list(proposal.also),
        "name": name_of(words, proposal),
        **figures_json(proposal.figures),
        "rule_of_thumb": {"cost": round(proposal.cost, 2), "bound": round(proposal.bound, 2)},
        "sets": {
            id_: {
                "name": words.say(kit.name),
                "code": kit.code,
                "cassette": kit.cassette,
                "contents": list(kit.contents),
                "procedures": [p for p, record in practice.procedures.items() if record.set == id_],
                "own": proposal.plan.days.stock.get(id_, 0),
                "reasons": [words.say(reason) for reason in found[id_]],
            }
            for id_, kit in practice.sets.items()
        },
        "pouches": {
            id_: {
                "name": words.say(pouch.name),
                "code": pouch.code,
                "kind": pouch.kind,
                "size": pouch.size,
                "contents": list(pouch.contents),
                "procedures": {p: r.add_ons[id_] for p, r in practice.procedures.items() if id_ in r.add_ons},
                "chairs": [c for c, chair in practice.chairs.items() if id_ in chair.drawer],
                "own": proposal.plan.days.pouch_stock.get(id_, 0),
                "reasons": [words.say(reason) for reason in found[id_]],
            }
            for id_, pouch in practice.pouches.items()
        },
    }


def _list(words: MessageCatalog, answer: Proposals) -> Any:
    currency = words.say(answer.demand.bought_in)
    names = ("name", "money", "walks", "openings", "kinds", "loads", "hands", "ends")
    drawn = table(words.each("propose.head", *names, currency=currency), numbers=range(1, len(names)))
    rows: dict[str, Figures] = {name_of(words, proposal): proposal.figures for proposal in answer.proposals}
    if answer.today:
        rows[words("propose.weighing.today")] = answer.today
    for name, figures in rows.items():
        drawn.add_row(Text(name), *_cells(words, figures))
    drawn.padding = (0, 0, 0, 1)
    for column in drawn.columns:  # no word of a narrow terminal's table is broken
        texts = (str(text) for text in (column.header, *column.cells))
        column.min_width = max(len(word) for text in texts for word in text.split())
    return drawn


def _cells(words: MessageCatalog, figures: Figures) -> Iterable[Text]:
    for value in (
        words.say(Fixed(float(figures.money), 0)),
        words.say(Fixed(figures.walks)),
        words.say(Fixed(figures.openings)),
        str(figures.kinds),
        words.say(Fixed(figures.loads)),
        words.say(Fixed(figures.hands, 0)),
        words.say(Clock(figures.ends)),
    ):
        yield Text(value)


def _answers_to_more(words: MessageCatalog, answer: Proposals) -> Iterable[str]:
    """Which proposals are the answer to more than one way of weighing."""
    for proposal in answer.proposals:
        if proposal.also:
            others = ", ".join(words(f"propose.weighing.{weighing}") for weighing in proposal.also)
            yield words("propose.also", name=name_of(words, proposal), others=others)


def _beside_today(words: MessageCatalog, answer: Proposals) -> Iterable[str]:
    """Which proposal is at least as good as today's sets; what the first loses, where none is."""
    today = answer.today
    if today is None:
        return
    bought = "pieces" if answer.demand.in_pieces else "money"
    good = [proposal for proposal in answer.proposals if at_least_as_good(proposal.figures, today)]
    for proposal in good:
        yield words(f"propose.no-losses.{bought}", name=name_of(words, proposal))
    if not good:
        yield words(f"propose.none-better.{bought}")
        first = answer.proposals[0]
        lost = difference(today, losses(first.figures, today))
        currency = None if answer.demand.in_pieces else answer.demand.practice.settings.currency
        yield words("propose.losses", name=name_of(words, first), changes=changes(lost, currency))


def at_least_as_good(one: Figures, other: Figures) -> bool:
    """Whether a design is at least as good as another in money, walks and kinds at once."""
    return one.money <= other.money and one.walks <= other.walks + 1e-9 and one.kinds <= other.kinds


def losses(one: Figures, other: Figures) -> Figures:
    """Return the figures in which one design is worse than another, as its own; the rest as the other's."""
    return Figures(**{name: max(getattr(one, name), getattr(other, name)) for name in Figures.__dataclass_fields__})


def _for_want_of_prices(words: MessageCatalog, answer: Proposals) -> Iterable[str]:
    if answer.demand.in_pieces:
        yield words("propose.in-pieces")


def _for_want_of_sheets(words: MessageCatalog, answer: Proposals) -> Iterable[str]:
    for cassette, side in answer.judge.packing.unwrapped.items():
        name = answer.demand.practice.cassettes[cassette].name
        yield words("propose.no-sheet", cassette=words.say(name), side=ceil(side))


def _stopped(words: MessageCatalog, answer: Proposals) -> Iterable[str]:
    if answer.stopped:
        yield words("propose.stopped")


def _heads(words: MessageCatalog, demand: Demand, proposal: Proposal) -> Iterable[tuple[str, str]]:
    """Sets, then pouches, by id; what is for most visits first."""
    design, named = proposal.design, proposal.named
    visits = {id_: demand.rate(kit.procedures) for id_, kit in zip(named.sets, design.sets, strict=True)}
    visits |= {id_: demand.rate(pouch.procedures) for id_, pouch in zip(named.pouches, design.pouches, strict=True)}
    names = {id_: kit.name for id_, kit in named.sets.items()}
    names |= {id_: pouch.name for id_, pouch in named.pouches.items()}
    for ids in (named.sets, named.pouches):
        for id_ in sorted(ids, key=lambda id_: -visits[id_]):
            yield id_, f"{words.say(names[id_])} ({id_})"


def _contents(words: MessageCatalog, proposal: Proposal, id_: str) -> str:
    practice = proposal.practice
    if id_ in practice.sets:
        size = practice.cassettes[practice.sets[id_].cassette].name
    else:
        size = practice.room.pouch_sizes[practice.pouches[id_].size].name
    counted = Counter(practice.contents(id_))
    contents = ", ".join(
        words.say(practice.instruments[i].name) + (f" × {n}" if n > 1 else "") for i, n in counted.items()
    )
    return words("propose.contents", size=size, contents=contents)


def bound_said(words: MessageCatalog, answer: Proposals, proposal: Proposal) -> str:
    """Return what the design costs by the rule of thumb, and below what no other one can cost."""
    cost, bound = Fixed(proposal.cost, 0), Fixed(proposal.bound, 0)
    if answer.complete:
        return words("propose.bound.all", cost=cost, bound=bound, tried=answer.tried)
    sets, pouches = answer.candidates
    # A change that the program's sets and pouches do not allow may have led below its bound.
    beyond = proposal.cost < proposal.bound
    key = "propose.bound.beyond" if beyond else "propose.bound.some"
    return words(key, cost=cost, bound=bound, tried=answer.tried, sets=sets, pouches=pouches)
