"""Report on what the sets could be: the proposals, the chosen one beside today's, and what changes for whom."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from string import ascii_uppercase

from kitdocs.document.blocks import Block, Cell, Chart, said
from kitdocs.document.card import Card
from kitdocs.document.catalog import MessageCatalog
from kitdocs.drawings.drawing import Drawing
from kitdocs.drawings.frontier import DesignPoint, FrontierWords, frontier_chart
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.layout import table
from kitdocs.planning.buying.design_figures import Figures, figures_of, laid_out
from kitdocs.planning.buying.placement import walks_per_day
from kitdocs.planning.day.kept_visits import visits_per_day
from kitdocs.practice.message import Clock
from kitdocs.practice.proposal import DesignRecord, ProposalRecord, TakenBefore
from kitdocs.report.layout import HALF_MM, NARROW_MM, chart, report_card


def proposal_card(brief: Brief) -> Card | None:
    """Return what the design was chosen from; nothing where the folder keeps no proposals."""
    record = brief.practice.proposal
    return report_card(brief, "design", "proposal", _blocks(brief, record)) if record else None


def frontier_drawing(
    words: MessageCatalog, record: ProposalRecord, currency: str, width_mm: float = HALF_MM
) -> Drawing:
    """Draw the proposals of a record, the chosen one filled, and the design of today as a square."""
    letters = _letters(record)
    points = [
        DesignPoint(
            label=letters[weighing],
            money=float(design.to_buy),
            walks=design.walks,
            kinds=design.kinds,
            is_chosen=weighing == record.chosen,
        )
        for weighing, design in record.designs.items()
    ]
    if today := record.today:
        label = words("propose.weighing.today")
        figures = {"money": float(today.to_buy), "walks": today.walks, "kinds": today.kinds}
        points.append(DesignPoint(label=label, is_today=True, **figures))  # type: ignore[arg-type]
    chart_words = FrontierWords(
        money=words("report.proposal.axis-money", currency=bought_in(words, record, currency)),
        walks=words("report.proposal.axis-walks"),
        kinds=lambda kinds: words.count("report.proposal.kinds", kinds),
    )
    return frontier_chart(
        points, words=chart_words, money_words=lambda amount: words.number(amount, 0), width_mm=width_mm
    )


def bought_in(words: MessageCatalog, record: ProposalRecord, currency: str) -> str:
    """Return the unit of what the proposals buy: the currency, or pieces."""
    return words("propose.pieces") if record.bought_in == "pieces" else currency


def _letters(record: ProposalRecord) -> Mapping[str, str]:
    return dict(zip(record.designs, ascii_uppercase, strict=False))


def _blocks(brief: Brief, record: ProposalRecord) -> Iterator[Block]:
    words, chosen = brief.words, record.designs[record.chosen]
    yield said(words("report.proposal.intro", designs=len(record.designs), name=_name(words, record.chosen)))
    yield _frontier(brief, record)
    yield _others(brief, record)
    if record.today:
        yield said(words("report.proposal.beside-today", **_beside(words, record, record.today, brief)))
    if _was_changed(brief, record, chosen):
        yield said(words("report.proposal.changed"))
    if record.before:
        yield _for_whom(brief, record)


def _name(words: MessageCatalog, weighing: str) -> str:
    return words(f"propose.weighing.{weighing}")


def _frontier(brief: Brief, record: ProposalRecord) -> Chart:
    words = brief.words
    currency = bought_in(words, record, brief.practice.settings.currency)
    rows = [
        (name, words.number(float(design.to_buy), 0), words.number(design.walks), str(design.kinds))
        for name, design in _listed(words, record)
    ]
    return chart(
        brief,
        words("report.proposal.chart", currency=currency),
        frontier_drawing(words, record, brief.practice.settings.currency),
        " ".join(_says(words, record)),
        table("", _head(brief, record, "name", "money", "walks", "kinds"), rows, numbers=(1, 2, 3)),
        narrow=frontier_drawing(words, record, brief.practice.settings.currency, width_mm=NARROW_MM),
    )


def _others(brief: Brief, record: ProposalRecord) -> Block:
    words = brief.words
    rows = [
        (
            name,
            words.number(design.from_drawers),
            words.number(design.loads),
            words.number(design.hands, 0),
            words.say(Clock(design.ends)),
        )
        for name, design in _listed(words, record)
    ]
    head = _head(brief, record, "name", "openings", "loads", "hands", "ends")
    return table(words("report.proposal.others"), head, rows, numbers=(1, 2, 3, 4))


def _head(brief: Brief, record: ProposalRecord, *names: str) -> tuple[str, ...]:
    currency = bought_in(brief.words, record, brief.practice.settings.currency)
    return brief.words.each("report.proposal.head", *names, currency=currency)


def _listed(words: MessageCatalog, record: ProposalRecord) -> Iterator[tuple[str, DesignRecord]]:
    for letter, (weighing, design) in zip(ascii_uppercase, record.designs.items(), strict=False):
        yield f"{letter}  {_name(words, weighing)}", design
    if record.today:
        yield _name(words, "today"), record.today


def _says(words: MessageCatalog, record: ProposalRecord) -> Iterator[str]:
    yield words("report.proposal.says", name=_name(words, record.chosen), letter=_letters(record)[record.chosen])
    if record.today:
        yield words("report.proposal.says-before")


def _beside(words: MessageCatalog, record: ProposalRecord, today: DesignRecord, brief: Brief) -> dict[str, str]:
    chosen = record.designs[record.chosen]

    def bought(design: DesignRecord) -> str:
        if record.bought_in == "pieces":
            return f"{words.number(float(design.to_buy), 0)} {words('propose.pieces')}"
        return words.money(design.to_buy, brief.practice.settings.currency)

    return {
        "name": _name(words, record.chosen),
        "money": bought(chosen),
        "money_today": bought(today),
        "walks": words.number(chosen.walks),
        "walks_today": words.number(today.walks),
        "openings": words.number(chosen.from_drawers),
        "openings_today": words.number(today.from_drawers),
        "kinds": str(chosen.kinds),
        "kinds_today": str(today.kinds),
    }


def _was_changed(brief: Brief, record: ProposalRecord, chosen: DesignRecord) -> bool:
    """Whether the folder is no longer the chosen design; unknown, and not said, on other days than it was judged on."""
    ran = brief.plan.days
    if (ran.days, ran.seed) != (record.days, record.seed):
        return False
    now: Figures = figures_of(brief.practice, ran)
    pairs = ((now.walks, chosen.walks), (now.openings, chosen.from_drawers), (now.hands, chosen.hands))
    costs_more = record.bought_in == "money" and now.money != chosen.to_buy
    return costs_more or now.kinds != chosen.kinds or any(abs(one - other) > 0.1 for one, other in pairs)


def _for_whom(brief: Brief, record: ProposalRecord) -> Block:
    words = brief.words
    rows = [
        (
            brief.procedure(procedure),
            _taken(brief, brief.say(before.set), map(brief.say, before.pouches)),
            _taken(brief, brief.set(brief.practice.procedures[procedure].set), _pouches(brief, procedure)),
            ". ".join(_changes(brief, procedure, before)) or words("report.proposal.as-before"),
        )
        for procedure, before in record.before.items()
        if procedure in brief.practice.procedures
    ]
    head = words.each("report.proposal.for-whom", "procedure", "before", "now", "changes")
    return table(words("report.proposal.for-whom.title"), head, rows)


def _taken(brief: Brief, kit: str, pouches: Iterator[str] | map[str]) -> Cell:
    return Cell(text=kit, detail=" · ".join(pouches))


def _pouches(brief: Brief, procedure: str) -> Iterator[str]:
    taken = {**brief.practice.procedures[procedure].add_ons, **brief.plan.drawer_pouches[procedure]}
    yield from map(brief.pouch, taken)


def _changes(brief: Brief, procedure: str, before: TakenBefore) -> Iterator[str]:
    words, practice = brief.words, brief.practice
    now = laid_out(practice, procedure)
    known = [i for i in before.laid_out if i in practice.instruments]
    for key, one, other in (("no-longer", known, now), ("new", now, known)):
        if changed := [brief.instrument(i) for i in one if i not in other]:
            yield words(f"report.proposal.{key}", instruments=", ".join(changed))
    walks = walks_per_day(practice, {procedure: visits_per_day(practice).get(procedure, 0.0)})
    if abs(walks - before.walks) >= 0.05:
        yield words("report.proposal.walks", before=words.number(before.walks), now=words.number(walks))
