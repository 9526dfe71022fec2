"""The plan of a practice: every figure that is worked out, in one value that cards and reports read from."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from math import fsum

from kitdocs.errors import KitdocsError
from kitdocs.extensions import extensions
from kitdocs.planning.buying.ladder import Rung, ladder
from kitdocs.planning.buying.orders import OrderList, buying_figures, buying_problems, uses_per_day
from kitdocs.planning.buying.placement import drawer_openings_per_day, orders_for, taken_per_day, walks_per_day
from kitdocs.planning.buying.savings import Saving, savings, savings_figures
from kitdocs.planning.buying.steps import BuyingStep, buying_steps
from kitdocs.planning.buying.supplies import SupplyUse, supply_figures, supply_uses
from kitdocs.planning.colours.check import colour_figures, colour_problems
from kitdocs.planning.day.chance import Chance
from kitdocs.planning.day.figures import day_figures
from kitdocs.planning.day.items import Takings
from kitdocs.planning.day.kept_visits import visits_per_day
from kitdocs.planning.day.promise import on_other_days
from kitdocs.planning.day.run import BusyDays, RunDays, busy_days
from kitdocs.planning.figure import Figure
from kitdocs.planning.legibility import legibility_figures
from kitdocs.planning.measures.chamber import chamber_figures, chamber_problems
from kitdocs.planning.measures.fit import Fit, fit_figures, fit_problems, fit_set
from kitdocs.planning.measures.loads import LoadGuide, load_figures, load_guides
from kitdocs.planning.measures.pouch_fit import pouch_figures, pouch_problems
from kitdocs.planning.measures.stated_places import stated_place_problems
from kitdocs.planning.measures.steam import steam_figures, steam_problems
from kitdocs.planning.measures.storage import storage_figures, storage_problems
from kitdocs.planning.measures.store import Stored, in_store, pack_codes
from kitdocs.planning.measures.wrap import SheetChoice, sheets_for_cassettes, wrap_figures, wrap_problems
from kitdocs.practice.model import Practice
from kitdocs.practice.problems import PracticeError, Problem, in_order
from kitdocs.practice.rules.accepting import accept


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """What kitdocs worked out. Ids as in the practice folder; lengths in millimetres."""

    days: BusyDays
    fits: Mapping[str, Fit]
    """By set."""
    sheets: Mapping[str, SheetChoice]
    """By set."""
    load_guides: tuple[LoadGuide, ...]
    drawer_pouches: Mapping[str, Mapping[str, float]]
    """By procedure: the drawer pouches that it may open, with the share of its visits that do."""
    orders: OrderList
    ladder: tuple[Rung, ...]
    """Other promises and what they cost, by what is kept; the plan's own among them."""
    steps: tuple[BuyingStep, ...]
    """What to buy first; empty where nothing has to be bought."""
    on_other_days: Mapping[str, Chance]
    """By promise (`sets`, `drawers`, and `all` of both): how often it is kept on days that had no part in the choice.
    Empty where few days were run."""
    supplies: tuple[SupplyUse, ...]
    store: tuple[Stored, ...]
    """All that is kept in the store, in the order of its places: who fetches along it walks once."""
    savings: tuple[Saving, ...] = ()
    """Empty where the practice counted nothing before the change."""
    figures: tuple[Figure, ...]
    """Every figure with its reason, section by section."""
    problems: tuple[Problem, ...]
    """The practice's warnings and the plan's, sorted by place."""

    @property
    def par(self) -> Mapping[tuple[str, str], int]:
        """How many of a pouch should be in a drawer, by (chair, pouch)."""
        return self.days.par

    @property
    def places(self) -> Mapping[str, tuple[str, ...]]:
        """The codes of the places of each set and pouch in the store, as ``A2``, in the order in which one passes them.

        Empty for what has none, as where the practice states no shelf.
        """
        return pack_codes(self.store)


def make_plan(practice: Practice, *, days: int | None = None, seed: int = 1, run: RunDays = busy_days) -> Plan:
    """Work the figures out from `days` busy days drawn from `seed`, which `run` runs or knows already.

    By default, as many days as make the promises sure enough.

    Raises `PracticeError` with everything that keeps the practice from working as described, and `ValueError` when
    `days` is less than 1.
    """
    if days is not None and days < 1:
        raise ValueError(f"at least 1 day has to be drawn, not {days}")
    problems = [*practice.problems, *measure_problems(practice)]
    try:
        ran = run(practice, days=days, seed=seed)
    except PracticeError as error:
        raise PracticeError([*problems, *error.problems]) from None
    taken = taken_per_day(ran)
    orders = orders_for(practice, ran)
    packs = {**ran.stock, **ran.pouch_stock}
    supplies = supply_uses(practice, taken, visits_per_day(practice), ran.implant_loads)
    problems += [*ran.problems, *buying_problems(practice, orders), *storage_problems(practice, packs)]
    problems += stated_place_problems(practice, packs)
    told = in_order(accept(problems, practice.settings, practice.places, all_known=True))
    if any(problem.severity == "error" for problem in told):
        raise PracticeError(told)
    sheets = sheets_for_cassettes(practice)
    saved = _savings(practice, ran, taken)
    return Plan(
        days=ran,
        fits={set_id: fit_set(practice, set_id) for set_id in practice.sets},
        sheets={set_id: sheets[kit.cassette] for set_id, kit in practice.sets.items()},
        load_guides=load_guides(practice),
        drawer_pouches=_drawer_pouches(practice),
        orders=orders,
        ladder=ladder(practice, ran, uses_per_day(practice, taken)),
        steps=buying_steps(practice, ran, orders),
        on_other_days=on_other_days(ran.chosen_sets, ran.chosen_drawers),
        supplies=supplies,
        store=in_store(practice, packs, taken, orders.spares, [(use.kind, use.id) for use in supplies]),
        savings=saved,
        figures=(
            *day_figures(practice, ran),
            *buying_figures(practice, orders),
            *measure_figures(practice),
            *storage_figures(practice, packs),
            *supply_figures(practice, supplies),
            *savings_figures(practice, saved),
            *_added_figures(practice, ran),
        ),
        problems=told,
    )


def measure_problems(practice: Practice) -> tuple[Problem, ...]:
    """What does not fit, by measure alone: no day needs to be drawn."""
    checks = (fit_problems, pouch_problems, wrap_problems, chamber_problems, steam_problems, colour_problems)
    return in_order(problem for check in checks for problem in check(practice))


def measure_figures(practice: Practice) -> tuple[Figure, ...]:
    """Return the figures that follow from measures alone."""
    sections = (
        fit_figures,
        pouch_figures,
        wrap_figures,
        load_figures,
        chamber_figures,
        steam_figures,
        colour_figures,
        legibility_figures,
    )
    return tuple(figure for section in sections for figure in section(practice))


def _added_figures(practice: Practice, ran: BusyDays) -> Iterator[Figure]:
    """Yield the figures that other packages add, in a section of their own; their ids begin with the entry point's."""
    for name, make in extensions("figures"):
        for figure in make(practice, ran):
            if figure.id.partition(".")[0] != name:
                raise KitdocsError(f"the figure '{figure.id}' of another package has to begin with '{name}.'")
            yield replace(figure, section="own")


def _savings(practice: Practice, ran: BusyDays, taken: Mapping[str, float]) -> tuple[Saving, ...]:
    """What the practice counted before the change, beside a planned busy day."""
    hands = (stage.work_per_day for stage in ran.stages.values() if stage.kind == "hand")
    compared = savings(
        practice,
        walks=walks_per_day(practice, visits_per_day(practice)),
        drawer_openings=drawer_openings_per_day(ran),
        hand_minutes=fsum(hands) / 60,
        packed=fsum(uses_per_day(practice, taken).values()),
    )
    return tuple(compared)


def _drawer_pouches(practice: Practice) -> dict[str, dict[str, float]]:
    """Return the drawer pouches of each procedure; the largest share where its chairs differ."""
    takings = Takings(practice)
    drawer = {kind.id for kind in takings.kinds if kind.role == "drawer"}
    opened: dict[str, dict[str, float]] = {}
    for procedure in practice.procedures:
        shares = opened.setdefault(procedure, {})
        for chair in practice.chairs_for(procedure):
            for pouch, share in takings.mean_taken(procedure, chair).items():
                if pouch in drawer:
                    shares[pouch] = max(share, shares.get(pouch, 0.0))
    return opened
