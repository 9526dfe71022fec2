"""Answers of `kitdocs plan`: the report, figures explained, or what a change moves; for people, or as JSON."""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal
from pathlib import Path
from typing import Any

from rich.console import Console, RenderableType
from rich.padding import Padding
from rich.text import Text

from kitdocs.command.console import trimmed
from kitdocs.command.plan_json import figures_json, plan_json
from kitdocs.command.problems_told import show_problems
from kitdocs.command.terminal import show_card, show_handbook, table
from kitdocs.command.what_if_json import designs_json, what_if_json
from kitdocs.document.card import Card, Handbook
from kitdocs.document.catalog import MessageCatalog, catalog_for
from kitdocs.handbook.brief import brief_for
from kitdocs.planning.buying.design_figures import figures_of
from kitdocs.planning.buying.placement import PlacementStudy, placement_figures, placement_study
from kitdocs.planning.compare import Change, Comparison, compare, compare_designs
from kitdocs.planning.day.breaking import Breakdown, breakdowns
from kitdocs.planning.day.promise import days_to_run
from kitdocs.planning.figure import Figure, Input, figures_about, nearest_ids
from kitdocs.planning.plan import Plan, make_plan
from kitdocs.practice.model import Practice
from kitdocs.practice.problems import PracticeError, Problem
from kitdocs.practice.reading.changes import FILE
from kitdocs.practice.reading.reader import read_practice
from kitdocs.practice.reading.undesigned import RULES_OF_A_DESIGN
from kitdocs.practice.reading.whole_proposal import OWN, RECORD, is_whole
from kitdocs.report.amounts import amount, amount_of, number, unit_text
from kitdocs.report.build_report import make_report
from kitdocs.report.proposal import proposal_card
from kitdocs.tasks import Each, one_by_one

Tell = Callable[[str], None]

#: The parts of the report that are shown when nobody asks for others.
SHORT = ("summary", "promise", "sets", "drawers", "day", "buying", "supplies", "warnings")

#: The parts that are worked out only when they are asked for.
_STUDIES = ("breakdown", "placement")

#: Width in characters from which ids fit beside the names.
_WIDE = 110


class ChangeError(PracticeError):
    """A change that cannot be made: a path that does not exist, or a value that is not valid there."""


def changes_of(texts: Sequence[str]) -> dict[str, str]:
    """Parse ``["procedures.wire-change.per_day=45"]`` into values by path; a file of proposals, or a folder with one,
    needs no value. Raises ValueError saying what to write."""
    changes: dict[str, str] = {}
    for text in texts:
        path, sign, value = text.partition("=")
        if path.strip() and (Path(path.strip()) / RECORD).is_file():
            path = str(Path(path.strip()) / RECORD)
        whole = is_whole(path.strip()) and path.strip() != OWN
        if not path.strip() or not (value.strip() or (whole and not sign)):
            raise ValueError(
                f"'{text}' is not a change; write it as in procedures.wire-change.per_day=45, proposal=cheapest "
                "or leaner/proposal.yaml"
            )
        if path.strip() in changes:
            raise ValueError(f"'{path.strip()}' is set twice")
        changes[path.strip()] = value.strip()
    return changes


def changed_practice(folder: Path | str, changes: Mapping[str, str]) -> Practice:
    """Read the practice with some values replaced; its files stay as they are.

    Raises `ChangeError` when a change itself is wrong, `PracticeError` when it breaks something else.
    """
    try:
        return read_practice(folder, changes)
    except PracticeError as error:
        wrong = [problem for problem in error.problems if problem.severity == "error" and problem.place.file == FILE]
        if wrong:
            raise ChangeError(wrong) from None
        raise


class UnknownError(ValueError):
    """A figure or a part that does not exist."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Worked:
    """A plan, and with changes the plan without them too."""

    practice: Practice
    plan: Plan
    words: MessageCatalog
    """What the answer is said in."""
    studies: tuple[PlacementStudy, ...] = ()
    """Other places for the instruments; empty when nobody asked for it."""
    breakdowns: tuple[Breakdown, ...] = ()
    """What happens when something breaks; empty when nobody asked for it."""
    changes: Mapping[str, str] = field(default_factory=dict)
    before: Worked | None = None

    @property
    def figures(self) -> tuple[Figure, ...]:
        return (*self.plan.figures, *placement_figures(self.practice, self.studies))

    @property
    def comparison(self) -> Comparison | None:
        if self.before is None:
            return None
        whole = any(map(is_whole, self.changes))
        pairs = [figures_of(each.practice, each.plan.days) for each in (self.before, self)] if whole else ()
        return compare(self.before.figures, self.figures, compare_designs(*pairs) if pairs else ())

    @property
    def proposal(self) -> Card | None:
        """What the report says of the proposals, where a whole one is among the changes."""
        if not any(map(is_whole, self.changes)):
            return None
        return proposal_card(brief_for(self.practice, self.plan, self.words.language))

    @property
    def new_problems(self) -> tuple[Problem, ...]:
        """Warnings that only the changed practice gets; of a whole proposal, not those that another design leaves."""
        known = {(p.rule, p.path, p.message) for p in self.before.plan.problems} if self.before else set()
        left = RULES_OF_A_DESIGN if any(map(is_whole, self.changes)) else ()
        return tuple(
            p
            for p in self.plan.problems
            if not p.accepted and p.rule not in left and (p.rule, p.path, p.message) not in known
        )


def work_out(
    folder: Path,
    changes: Mapping[str, str],
    tell: Tell,
    *,
    days: int | None,
    seed: int,
    studies: Collection[str],
    language: str = "",
    each: Each = one_by_one,
) -> Worked:
    """Read the folder and work it out; with changes, a second time, on the same days (as many as either needs).

    `studies` are "placement", other places for the instruments, which takes several times as long, and "breakdown",
    what happens when something breaks. `language` is that of the answer; empty for the practice's first. Raises
    `KitdocsError` when nobody speaks it. `each` says where the days are run: of both at once, on a cluster.
    """

    def done(practice: Practice) -> Worked:
        words = catalog_for(language or practice.settings.languages[0], practice.words)
        tell(f"running {run:,} busy days")
        plan = next(plans)
        worked = Worked(practice=practice, plan=plan, words=words)
        if "breakdown" in studies:
            tell("trying days with one machine less")
            worked = replace(worked, breakdowns=breakdowns(practice, plan.days))
        if "placement" in studies:
            tell("trying other places for the instruments")
            worked = replace(worked, studies=placement_study(practice, plan.days))
        return worked

    tell("reading the practice folder")
    practice = read_practice(folder)
    changed = changed_practice(folder, changes) if changes else None
    run = days or max(days_to_run((p.settings.service, p.settings.drawers)) for p in (practice, changed) if p)
    plans = each(_planned, (run, seed), [practice, changed] if changed else [practice])
    worked = done(practice)
    return worked if changed is None else replace(done(changed), changes=changes, before=worked)


def _planned(run: tuple[int, int], practice: Practice) -> Plan:
    return make_plan(practice, days=run[0], seed=run[1])


def studies_asked_for(why: str, parts: Sequence[str], as_json: bool) -> frozenset[str]:
    """Return the studies that the answer needs: those parts, all as JSON; the placement, all about one thing."""
    if why:
        return frozenset({"placement"} if "." not in why or why.startswith("placement.") else ())
    return frozenset(_STUDIES if as_json or "all" in parts else set(_STUDIES) & set(parts))


def figures_for(figures: Sequence[Figure], wanted: str) -> tuple[Figure, ...]:
    """Return the figures that a person asks about; raises `UnknownError` with the nearest ids."""
    found = figures_about(figures, wanted)
    if not found:
        near = ", ".join(nearest_ids(figures, wanted))
        raise UnknownError(f"there is no figure '{wanted}'" + (f"; near to it: {near}" if near else ""))
    return found


def answer_json(worked: Worked, why: str) -> dict[str, Any]:
    """Return all of the plan, or the figures asked for."""
    words, comparison = worked.words, worked.comparison
    what_if = what_if_json(words, comparison, worked.changes) if comparison else None
    if what_if and worked.proposal and worked.practice.proposal:
        what_if = {**what_if, "proposals": designs_json(worked.practice.proposal)}
    if why:
        return {"figures": figures_json(words, figures_for(worked.figures, why)), "what_if": what_if}
    return {**plan_json(words, worked.practice, worked.plan, worked.studies, worked.breakdowns), "what_if": what_if}


def show_answer(console: Console, worked: Worked, why: str, parts: Sequence[str]) -> None:
    """Print the same for people: figures explained, a comparison, or the report."""
    words = worked.words
    with trimmed(console):
        if why:
            before = {figure.id: figure for figure in worked.before.figures} if worked.before else None
            show_figures(console, words, figures_for(worked.figures, why), before)
        elif worked.comparison:
            show_comparison(console, words, worked.comparison, worked.changes)
            if worked.proposal:
                show_card(console, worked.proposal)
            show_problems(console, worked.new_problems)
        else:
            _show_report(console, worked, parts)


def _show_report(console: Console, worked: Worked, parts: Sequence[str]) -> None:
    language = worked.words.language
    report = make_report(worked.practice, worked.plan, worked.studies, worked.breakdowns, language=language)
    known = {_part(card.id): card.id for card in report.cards}
    wanted = [*known, "all"] if "all" in parts else [*(parts or SHORT)]
    for part in wanted:
        if part not in (*known, *SHORT, *_STUDIES, "all"):
            raise UnknownError(f"the report has no part '{part}'; it has {', '.join(known)}, and all")
    show_handbook(console, report, leave_out={id_ for part, id_ in known.items() if part not in wanted})
    _show_rest(console, report, wanted, next(iter(worked.practice.sets)))


def _show_rest(console: Console, report: Handbook, shown: Sequence[str], thing: str) -> None:
    """Print which parts of the report were not shown, and how to ask about one thing, by its id."""
    parts = dict.fromkeys((*(_part(card.id) for card in report.cards), *_STUDIES))
    more = [part for part in parts if part not in shown and "all" not in shown]
    console.print()
    if more:
        console.print(Text(report.words("terminal.more", parts=", ".join(more), thing=thing)))


def _part(card_id: str) -> str:
    return card_id.removeprefix("plan/")


def show_figures(
    console: Console, words: MessageCatalog, figures: Iterable[Figure], before: Mapping[str, Figure] | None = None
) -> None:
    """Print each figure with its reason and its inputs; `before` holds the figures before a change, by id."""
    for figure in figures:
        console.print()
        console.print(Text.assemble((figure.id, "bold"), "  ", words.say(figure.name)))
        old = before.get(figure.id) if before else None
        earlier = words("terminal.before", value=amount_of(words, old)) if old and old.value != figure.value else ""
        console.print(Text.assemble("  ", (amount_of(words, figure), "bold cyan"), f"  {earlier}" if earlier else ""))
        console.print(Padding(Text(words.say(figure.why)), (0, 0, 0, 2)))
        if figure.inputs:
            console.print(Padding(_inputs(words, figure.inputs), (1, 0, 0, 2)))


def show_comparison(
    console: Console, words: MessageCatalog, comparison: Comparison, changes: Mapping[str, str]
) -> None:
    """Print the figures that a change moves, before and after, and how many it leaves alone."""
    console.print()
    for path, value in changes.items():
        asked = f"{path}={value}" if value else path
        console.print(Text.assemble(words("terminal.what-if"), " ", (asked, "bold")))
    if comparison.changed:
        ids = console.width >= _WIDE
        head = words.each("terminal.compared", "figure", "before", "after", "change", "unit", "id")
        drawn = table(head if ids else head[:-1], numbers=(1, 2, 3))
        for change in comparison.changed:
            row = _row(words, change)
            drawn.add_row(*(row if ids else row[:-1]))
        console.print(Padding(drawn, (1, 0, 1, 0)))
    changed = words.count("terminal.changed", len(comparison.changed))
    unchanged = words.count("terminal.unchanged", comparison.unchanged)
    console.print(Text(f"{changed}, {unchanged}"))


def _inputs(words: MessageCatalog, inputs: Iterable[Input]) -> RenderableType:
    drawn = table(words.each("terminal.input", "name", "value", "source"), numbers=(1,))
    for given in inputs:
        value = amount(words, given.value, given.unit)
        drawn.add_row(Text(words.say(given.name)), Text(value), Text(words.say(given.source) or "–", style="dim"))
    return drawn


def _row(words: MessageCatalog, change: Change) -> tuple[Text, ...]:
    before, after = ("–" if value is None else number(words, value) for value in (change.before, change.after))
    return (
        Text(words.say(change.name)),
        Text(before),
        Text(after, style="bold"),
        Text(_difference(words, change)),
        Text(unit_text(words, change.unit)),
        Text(change.id, style="dim"),
    )


def _difference(words: MessageCatalog, change: Change) -> str:
    """Format a difference: ``+2``, ``−1.5``, or nothing if the values are not numbers."""
    before, after = change.before, change.after
    if not isinstance(before, int | float | Decimal) or not isinstance(after, int | float | Decimal):
        return ""
    difference = Decimal(str(after)) - Decimal(str(before))
    return f"{'−' if difference < 0 else '+'}{number(words, float(abs(difference)))}"
