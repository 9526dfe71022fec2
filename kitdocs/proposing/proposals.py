"""The short list: for each way of weighing things the best design found, judged by the whole plan."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace

from kitdocs.planning.buying.design_figures import Figures, figures_of
from kitdocs.planning.plan import Plan, make_plan
from kitdocs.practice.model import Practice
from kitdocs.practice.problems import PracticeError
from kitdocs.practice.proposal import Weighing
from kitdocs.proposing.candidates import FEW, candidates, with_designs
from kitdocs.proposing.completing import completed, filled_set, kept_pouches, kept_sets
from kitdocs.proposing.demand import Demand
from kitdocs.proposing.design import Design, PouchKind, SetKind
from kitdocs.proposing.judge import Judge, Named, Weights, practice_of_design
from kitdocs.proposing.naming import named
from kitdocs.proposing.program import Answer, Program
from kitdocs.proposing.proxy import Lines, Proxy, measured
from kitdocs.proposing.search import JUDGED, ROUNDS, Search
from kitdocs.tasks import Each, one_by_one

#: Days on which designs are compared while one is looked for. Those of the list are judged on all days of the plan.
DAYS = 60

#: What each way of weighing gives for one walk a day, one opening, one kind, one load, one minute of hands, one
#: instrument that is opened, cleaned and packed again, and one minute of the end of the day, in prices of a usual one.
#: Our judgement, no source: a walk of two minutes on two hundred days a year is worth some eight instruments. What is
#: thrifty gives less for most things, but more for few kinds: a kind is more than a walk. An instrument is
#: looked at, oiled and worn each time that its pack is opened, used or not, so that what few visits want lies with the
#: rest only where that saves more. It counts for half an opening at most.
WEIGHINGS: Mapping[Weighing, tuple[float, ...]] = {
    "balanced": (8.0, 1.5, 3.0, 2.0, 0.6, 0.75, 0.3),
    "fewer-walks": (20.0, 2.0, 4.0, 2.0, 0.6, 1.0, 0.3),
    "cheapest": (0.6, 0.2, 0.4, 0.2, 0.1, 0.1, 0.05),
    "fewest-walks": (80.0, 3.0, 8.0, 1.0, 0.3, 1.0, 0.1),
    "fewest-kinds": (4.0, 0.8, 40.0, 1.0, 0.3, 0.4, 0.1),
    "least-work": (6.0, 2.0, 2.0, 6.0, 4.0, 1.0, 1.0),
    "thrifty": (8.0, 1.2, 9.0, 1.5, 0.5, 0.25, 0.25),
}


@dataclass(frozen=True, slots=True, kw_only=True)
class Proposal:
    """A design of the list. `figures` are the plan's, `cost` and `bound` the program's (`program.py`)."""

    weighing: Weighing
    also: tuple[Weighing, ...] = ()
    """Other ways of weighing that come to the same design."""
    design: Design
    named: Named
    practice: Practice
    plan: Plan
    figures: Figures
    cost: float
    """By the rule of thumb."""
    bound: float
    """No design of the candidates costs less, by the rule of thumb."""


@dataclass(frozen=True, kw_only=True)
class Proposals:
    """The list, balanced first, and what it was chosen from."""

    demand: Demand
    judge: Judge
    proxy: Proxy
    proposals: tuple[Proposal, ...]
    whole: Practice | None
    """The folder with its own design, when it has one."""
    today: Figures | None
    """Of the folder's own design, when it has one that can be planned."""
    tried: int
    complete: bool
    """Whether every set and pouch that there could be was a candidate of the program."""
    candidates: tuple[int, int]
    stopped: bool
    """Whether somebody stopped the search before its end."""

    def weights(self, proposal: Proposal) -> Weights:
        return weights_of(self.demand, proposal.weighing)


def weights_of(demand: Demand, weighing: Weighing) -> Weights:
    """Return a way of weighing in the practice's currency."""
    walk, opening, kind, load, hand, piece, minute = (demand.piece * times for times in WEIGHINGS[weighing])
    return Weights(walk=walk, opening=opening, kind=kind, load=load, hand=hand, piece=piece, minute=minute)


@dataclass(slots=True)
class _Found:
    """What is found while the search goes on: enough to answer when somebody stops it."""

    designs: dict[Weighing, Design] = field(default_factory=dict)
    answers: dict[Weighing, Answer] = field(default_factory=dict)
    stopped: bool = False


def propose_designs(
    demand: Demand,
    *,
    whole: Practice | None = None,
    kinds: int | None = None,
    days: int | None = None,
    seed: int = 1,
    tell: Callable[[str], None] = lambda step: None,
    weighings: Sequence[Weighing] = tuple(WEIGHINGS),
    each: Each = one_by_one,
) -> Proposals:
    """Return the short list for one demand: at most one design for each way of weighing, none that another beats.

    `kinds` is the most kinds of set and pouch; `whole` the practice with its own design, to compare. `tell` hears of
    each step with the best so far. Ctrl-C ends the search, and the list is of what was found by then. `each` says where
    designs are run; wherever that is, the list is the same. Raises `PracticeError` when no design can be planned.
    """
    judge = Judge(demand, days=DAYS, seed=seed, each=each)
    proxy = Proxy(judge.packing, fitted_lines(judge))
    choice = candidates(judge.packing)
    program = Program(proxy, choice)
    found = _Found()
    few = len(demand.instruments) <= FEW
    try:
        for weighing in weighings:
            weights = weights_of(demand, weighing)
            tell(_step(weighing, judge, found))
            found.answers[weighing] = answer = program.solve(weights, kinds=kinds)
            judged, rounds = (60, 30) if few else (JUDGED, ROUNDS)
            search = Search(judge, proxy, most_kinds=kinds, judged=judged, rounds=rounds)
            starts = [answer.design, *_plain_designs(judge)] if answer.design else _plain_designs(judge)
            best = search.improve([start for start in starts if start], weights)
            if best:
                found.designs[weighing] = best
        tell("mixing what was found")
        mixed = with_designs(choice, found.designs.values())
        program = Program(proxy, mixed, found.designs.values())
        for weighing in found.designs:
            found.answers[weighing] = answer = program.solve(weights_of(demand, weighing), kinds=kinds)
            if answer.design:
                judge(answer.design)
        choice = mixed  # not before every bound is of these
        for weighing in found.designs:  # what was found for one way of weighing may serve another better
            best = Search(judge, proxy, most_kinds=kinds).best(weights_of(demand, weighing))
            found.designs[weighing] = best or found.designs[weighing]
    except KeyboardInterrupt:
        found.stopped = True
        if not found.designs:
            raise
    tell("judging the best designs by the whole plan")
    proposals = _without_beaten(list(_judged(judge, proxy, found, days, seed)))
    return Proposals(
        demand=demand,
        judge=judge,
        proxy=proxy,
        proposals=tuple(proposals),
        whole=whole,
        today=_today(whole, days, seed, in_pieces=demand.in_pieces),
        tried=judge.tried,
        complete=choice.complete,
        candidates=(len(choice.sets), len(choice.pouches)),
        stopped=found.stopped,
    )


def _step(weighing: Weighing, judge: Judge, found: _Found) -> str:
    """The step that begins, with the best so far."""
    best = next((judge(design) for design in found.designs.values()), None)
    so_far = f"; so far {best.money:,.0f} to buy, {best.walks:.1f} walks, {best.kinds} kinds" if best else ""
    return f"looking for designs: {weighing.replace('-', ' ')}{so_far}"


def fitted_lines(judge: Judge) -> Lines:
    """Return the rule of thumb's lines, fitted to the plan's own run of a plain design with drawers."""
    design = completed(
        judge.packing,
        [*kept_sets(judge.demand), *(filled_set(judge.packing, (p,)) for p in _free(judge.demand))],
        kept_pouches(judge.demand),
        drawers=True,
    )
    if design is None:
        return Lines()
    practice = practice_of_design(judge.packing, design)
    ids: dict[SetKind | PouchKind, str] = dict(zip(design.sets, practice.sets, strict=True))
    ids |= dict(zip(design.pouches, practice.pouches, strict=True))
    try:
        return measured(judge.demand, design, ids, judge.run(practice))
    except PracticeError:
        return Lines()


def _free(demand: Demand) -> list[str]:
    """The procedures whose set is not settled."""
    return [p for p in demand.procedures if not demand.practice.procedures[p].set]


def _plain_designs(judge: Judge) -> Iterator[Design | None]:
    """One set for each procedure, with pouches for the rest; a beginning where the program has none."""
    demand, packing = judge.demand, judge.packing
    kept = kept_sets(demand)
    for least in (1.0, 0.3):
        kits = [filled_set(packing, (p,), least) for p in _free(demand)]
        yield completed(packing, [*kept, *kits], kept_pouches(demand), drawers=True)


def _judged(judge: Judge, proxy: Proxy, found: _Found, days: int | None, seed: int) -> Iterator[Proposal]:
    """The designs, each once, by the whole plan; what cannot be planned is left out, unless nothing can."""
    by_design: dict[Design, list[Weighing]] = {}
    for weighing in WEIGHINGS:
        if weighing in found.designs:
            by_design.setdefault(found.designs[weighing], []).append(weighing)
    problems: list[PracticeError] = []
    planned = 0
    names_of = {design: named(judge.packing, design) for design in by_design}
    practices = [
        _as_written(judge.demand, practice_of_design(judge.packing, design, names))
        for design, names in names_of.items()
    ]
    plans = judge.do_each(_planned, (days, seed), practices)
    for (design, (weighing, *also)), practice, plan in zip(by_design.items(), practices, plans, strict=True):
        if isinstance(plan, PracticeError):
            problems.append(plan)
            continue
        planned += 1
        yield Proposal(
            weighing=weighing,
            also=tuple(also),
            design=design,
            named=names_of[design],
            practice=practice,
            plan=plan,
            figures=figures_of(practice, plan.days, in_pieces=judge.demand.in_pieces),
            cost=proxy.cost(design, weights_of(judge.demand, weighing)),
            bound=found.answers[weighing].bound,
        )
    if not planned and problems:
        raise problems[0]


def _planned(run: tuple[int | None, int], practice: Practice) -> Plan | PracticeError:
    try:
        return make_plan(practice, days=run[0], seed=run[1])
    except PracticeError as error:
        return error


def _without_beaten(proposals: Sequence[Proposal]) -> list[Proposal]:
    """Leave out what another is at least as good as in everything, and better in something; that one has its name, too.

    The dearer of "fewer walks" and "fewest walks" goes as well where both have as few, as the list says it, unless it
    is the best for something else, too.
    """

    def before(one: Proposal, other: Proposal) -> bool:
        same = one.figures == other.figures and proposals.index(one) < proposals.index(other)
        return same or beats(one.figures, other.figures) or _as_few_walks_for_less(one, other)

    left = [one for one in proposals if not any(before(other, one) for other in proposals if other is not one)]
    also: dict[Weighing, list[Weighing]] = {one.weighing: list(one.also) for one in left}
    for beaten in proposals:
        if beaten not in left:
            better = next((one for one in left if before(one, beaten)), left[0])
            also[better.weighing] += (beaten.weighing, *beaten.also)
    return [replace(one, also=tuple(also[one.weighing])) for one in left]


def _as_few_walks_for_less(one: Proposal, other: Proposal) -> bool:
    names = {one.weighing, other.weighing} == {"fewer-walks", "fewest-walks"}
    as_few = round(one.figures.walks, 1) == round(other.figures.walks, 1)
    return names and as_few and not other.also and one.figures.money < other.figures.money


def beats(one: Figures, other: Figures) -> bool:
    """Whether one design is at least as good as another in everything but pieces and loads, and better in something."""
    pairs = [
        (float(one.money), float(other.money)),
        (one.walks, other.walks),
        (one.openings, other.openings),
        (one.kinds, other.kinds),
        (one.hands, other.hands),
        (one.handled, other.handled),
        (one.ends, other.ends),
    ]
    return all(a <= b + 1e-9 for a, b in pairs) and any(a < b - 1e-9 for a, b in pairs)


def _as_written(demand: Demand, practice: Practice) -> Practice:
    """Return the practice with its own prices: the list says what the plan of the folder will say."""
    if demand.as_written is None:
        return practice
    return replace(practice, instruments=demand.as_written.instruments, cassettes=demand.as_written.cassettes)


def _today(whole: Practice | None, days: int | None, seed: int, *, in_pieces: bool) -> Figures | None:
    if whole is None:
        return None
    try:
        return figures_of(whole, make_plan(whole, days=days, seed=seed).days, in_pieces=in_pieces)
    except PracticeError:
        return None
