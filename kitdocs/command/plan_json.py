"""The plan as JSON for another program. Keys are stable, ids are those of the folder, units stand in the names of keys.

Sections hold what a program asks for first; `figures` holds every figure with its reason and inputs. Times of day are
texts as ``19:30``. Money is in the `currency` of the practice. `..._mean` is the average over the busy days,
`..._95_percent` what is not exceeded on 95 % of them. Chances are shares from 0 to 1, with their 95 % interval from
`low` to `high`; so have other numbers, from `..._low` to `..._high` or `..._within` on either side. `what_if` is null
unless values were changed.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from decimal import Decimal
from typing import Any

from kitdocs.command.evening_json import breakdown_json, nights_json, person_json
from kitdocs.command.problems_told import plain_problems
from kitdocs.document.catalog import MessageCatalog
from kitdocs.planning.buying.ladder import Rung
from kitdocs.planning.buying.placement import PlacementStudy, Placing, placement_figures
from kitdocs.planning.buying.savings import Saving
from kitdocs.planning.buying.steps import BuyingStep
from kitdocs.planning.buying.supplies import SupplyUse
from kitdocs.planning.day.breaking import Breakdown
from kitdocs.planning.day.chance import Chance
from kitdocs.planning.day.par import BEYOND, DrawerPouch, DrawerSlot
from kitdocs.planning.day.promise import Firmness, Promise
from kitdocs.planning.day.stock import Stock
from kitdocs.planning.day.tally import Spread
from kitdocs.planning.day.turnaround import StageDay
from kitdocs.planning.figure import Figure, Input, Number
from kitdocs.planning.plan import Plan
from kitdocs.practice.message import Clock
from kitdocs.practice.model import Practice
from kitdocs.practice.values import clock_text
from kitdocs.report.amounts import unit_text

Plain = dict[str, Any]


def plan_json(
    words: MessageCatalog,
    practice: Practice,
    plan: Plan,
    studies: Sequence[PlacementStudy] = (),
    broken: Sequence[Breakdown] = (),
) -> Plain:
    """Return every figure of a plan, section by section; with the studies that there are."""
    days = plan.days
    return {
        "practice": words.say(practice.settings.name),
        "currency": practice.settings.currency,
        "run": {
            "busy_days": days.days,
            "seed": days.seed,
            "service_percent": round(days.service * 100, 2),
            "drawer_service_percent": round(days.drawer_service * 100, 2),
            "visits_per_day_mean": round(days.visits.mean, 2),
        },
        "promise": {
            "sets": _promise(days.promises.sets, plan.on_other_days.get("sets")),
            "drawers": _promise(days.promises.drawers, plan.on_other_days.get("drawers")),
            "all": _promise(days.promises.all, plan.on_other_days.get("all")),
        },
        "money_against_chance": [_rung(rung) for rung in plan.ladder],
        "buying_steps": [_buying_step(step) for step in plan.steps],
        "sets": {id_: _stock(stock, "sets") for id_, stock in days.sets.items()},
        "pouches": {
            **{id_: {"kind": "add-on", **_stock(stock, "pouches")} for id_, stock in days.add_ons.items()},
            **{id_: {"kind": "drawer", **_drawer_pouch(pouch)} for id_, pouch in days.drawer_pouches.items()},
        },
        "drawers": _drawers(practice, plan),
        "day": _day(plan),
        "restockings": [
            {
                "at": clock_text(each.at / 60),
                "complete_at_median": clock_text(each.complete.median / 60),
                "complete_at_95_percent": clock_text(each.complete.high / 60),
                "complete_at_95_percent_low": clock_text(each.complete.high_between[0] / 60),
                "complete_at_95_percent_high": clock_text(each.complete.high_between[1] / 60),
            }
            for each in days.restockings
        ],
        "stages": {id_: _stage(stage) for id_, stage in days.stages.items()},
        "people": {id_: person_json(person) for id_, person in days.people.items()},
        "nights": nights_json(days.nights),
        "breakdowns": [breakdown_json(each) for each in broken],
        "loads": {
            guide.stage: {"points_in_a_load": guide.points_in_a_load, "points_each": dict(guide.points)}
            for guide in plan.load_guides
        },
        "buying": _buying(words, plan),
        "cassettes_of_sets": {set_id: _cassette(plan, set_id) for set_id in plan.fits},
        "supplies": {_supply_key(use): _supply(use) for use in plan.supplies},
        "savings": {saving.id: _saving(words, saving) for saving in plan.savings},
        "placement": {study.instrument: _placement(study) for study in studies},
        "figures": figures_json(words, (*plan.figures, *placement_figures(practice, studies))),
        "problems": plain_problems(plan.problems),
    }


def _chance(chance: Chance) -> Plain:
    return {"kept": chance.share, "low": round(chance.low, 6), "high": round(chance.high, 6)}


def _promise(promise: Promise, on_other_days: Chance | None = None) -> Plain:
    judged = on_other_days and _chance(on_other_days)
    return {"asked": promise.asked, **_chance(promise.kept), "on_other_days": judged}


def _rung(rung: Rung) -> Plain:
    return {
        "asked": rung.asked,
        "is_plan": rung.is_plan,
        "sets_and_add_ons": dict(rung.set_counts),
        **_drawer_counts(rung.drawer_counts),
        "sets": _chance(rung.sets),
        "drawers": _chance(rung.drawers),
        "all": _chance(rung.all),
        "total_in_currency": float(rung.buy),
        "total_with_drawers_as_planned_in_currency": float(rung.buy_for_sets),
        "total_with_sets_as_planned_in_currency": float(rung.buy_for_drawers),
    }


def _buying_step(step: BuyingStep) -> Plain:
    return {
        "up_to_in_currency": float(step.purse),
        "spent_in_currency": float(step.spent),
        "sets_and_pouches": dict(step.own),
        **_drawer_counts(step.drawers),
        "sets_and_pouches_short_mean": round(step.short, 4),
        "all": _chance(step.kept),
    }


def _drawer_counts(counts: Mapping[DrawerSlot, int]) -> Plain:
    """Return how many of each pouch lie in each drawer, and how many there are beyond the drawers."""
    drawers: dict[str, dict[str, int]] = {}
    for (chair, pouch), count in counts.items():
        drawers.setdefault(chair, {})[pouch] = count
    return {"pouches_beyond_drawers": drawers.pop(BEYOND, {}), "pouches_in_drawers": drawers}


def _sure(firmness: Firmness) -> Plain:
    return {
        "firm": firmness.firm,
        "enough": _chance(firmness.enough),
        "one_fewer": _chance(firmness.one_fewer),
        "promise_with_one_fewer": _chance(firmness.promise_with_one_fewer),
    }


def figures_json(words: MessageCatalog, figures: Iterable[Figure]) -> list[Plain]:
    """Return figures with their reason and inputs."""
    return [
        {
            "id": figure.id,
            "section": figure.section,
            "name": words.say(figure.name),
            "value": figure_value(figure.value),
            "unit": unit_text(words, figure.unit),
            "why": words.say(figure.why),
            "inputs": [_input(words, given) for given in figure.inputs],
        }
        for figure in figures
    ]


def _input(words: MessageCatalog, given: Input) -> Plain:
    number = isinstance(given.value, int | float)
    return {
        "name": words.say(given.name),
        "value": given.value if number else words.say(given.value),
        "unit": unit_text(words, given.unit),
        "source": words.say(given.source) or None,
    }


def figure_value(value: Number) -> int | float | str:
    """Return a figure's value as JSON has it: money as a number, a time of day as ``19:30``."""
    return float(value) if isinstance(value, Decimal) else str(value) if isinstance(value, Clock) else value


def _stock(stock: Stock, things: str) -> Plain:
    return {
        f"{things}_to_own": stock.own,
        f"{things}_out_at_once": stock.needed,
        f"spare_{things}": stock.spares,
        "taken_per_day_mean": round(stock.taken_per_day, 2),
        "away_minutes_mean": round(stock.away.mean / 60, 1),
        "away_minutes_mean_within": round(stock.away.mean_within / 60, 2),
        **_minutes_95_percent("away", stock.away),
        "sure": _sure(stock.firmness),
    }


def _drawer_pouch(pouch: DrawerPouch) -> Plain:
    return {
        "pouches_to_own": pouch.own,
        "pouches_in_drawers": pouch.par,
        "pouches_beyond_drawers": pouch.needed_beyond,
        "pouches_beyond_drawers_computed": pouch.computed_beyond,
        "spare_pouches": pouch.spares,
        "opened_per_day_mean": round(pouch.opened_per_day, 2),
        "sure": _sure(pouch.firmness),
    }


def _drawers(practice: Practice, plan: Plan) -> Plain:
    drawers: dict[str, Plain] = {chair: {} for chair in practice.chairs}
    for par in plan.days.pars.values():
        drawers[par.chair][par.pouch] = {
            "pouches_in_drawer": par.par,
            "pouches_computed": par.computed,
            "pouches_if_none_written": par.unwritten,
            "opened_per_day_mean": round(par.opened_per_day, 2),
            "sure": _sure(par.firmness),
        }
    return drawers


def _day(plan: Plan) -> Plain:
    days = plan.days
    return {
        "ends_at_median": clock_text(days.ends.median / 60),
        "ends_at_median_low": clock_text(days.ends_median_between[0] / 60),
        "ends_at_median_high": clock_text(days.ends_median_between[1] / 60),
        "ends_at_95_percent": clock_text(days.ends.high / 60),
        "ends_at_95_percent_low": clock_text(days.ends.high_between[0] / 60),
        "ends_at_95_percent_high": clock_text(days.ends.high_between[1] / 60),
        "visits_booked_per_day_mean": round(days.kept.booked, 2),
        "visits_that_begin_late_percent": round(100 * days.kept.late, 1),
        "late_visits_late_by_minutes_median": round(days.kept.late_by.median / 60, 1),
        **_minutes_95_percent("late_visits_late_by", days.kept.late_by),
        "last_visit_over_at_median": clock_text(days.kept.last.median / 60),
        "last_visit_over_at_95_percent": clock_text(days.kept.last.high / 60),
        "last_visit_over_at_95_percent_low": clock_text(days.kept.last.high_between[0] / 60),
        "last_visit_over_at_95_percent_high": clock_text(days.kept.last.high_between[1] / 60),
        "turnaround_minutes_mean": round(days.turnaround.total.mean / 60, 1),
        "turnaround_minutes_mean_within": round(days.turnaround.total.mean_within / 60, 2),
        **_minutes_95_percent("turnaround", days.turnaround.total),
        "turnaround_parts": [
            {"name": part.name, "stage": part.stage or None, "minutes_mean": round(part.seconds / 60, 1)}
            for part in days.turnaround.parts
        ],
        "loads_per_day_mean": round(days.loads_per_day, 1),
        "implant_loads_per_day_mean": round(days.implant_loads.per_day, 2),
    }


def _minutes_95_percent(what: str, spread: Spread) -> Plain:
    """Return what 95 % of all do not exceed, with its interval."""
    low, high = spread.high_between
    named = {"": spread.high, "_low": low, "_high": high}
    return {f"{what}_minutes_95_percent{end}": round(seconds / 60, 1) for end, seconds in named.items()}


def _stage(stage: StageDay) -> Plain:
    return {
        "kind": stage.kind,
        "machines_or_people": stage.units,
        "wait_minutes_mean": round(stage.wait.mean / 60, 1),
        "wait_minutes_mean_within": round(stage.wait.mean_within / 60, 2),
        **_minutes_95_percent("wait", stage.wait),
        "work_minutes_per_day": round(stage.work_per_day / 60, 1),
        "utilisation_percent": round(stage.utilisation * 100, 1),
        "loads_per_day_mean": round(stage.loads.mean, 1) if stage.loads else None,
        "loads_per_day_mean_within": round(stage.loads.mean_within, 2) if stage.loads else None,
        "loads_per_day_95_percent": stage.loads.high if stage.loads else None,
        "loads_per_day_95_percent_low": stage.loads.high_between[0] if stage.loads else None,
        "loads_per_day_95_percent_high": stage.loads.high_between[1] if stage.loads else None,
    }


def _buying(words: MessageCatalog, plan: Plan) -> Plain:
    return {
        "pieces_to_buy": sum(line.buy for line in plan.orders.lines),
        "total_in_currency": float(plan.orders.total),
        "lines": {
            line.id: {
                "kind": line.kind,
                "name": words.say(line.name),
                "pieces_in_sets": line.in_sets,
                "pieces_in_pouches": line.in_pouches,
                "spare_pieces": line.spares,
                "pieces_needed": line.need,
                "pieces_owned": line.owned,
                "pieces_in_repair": line.in_repair,
                "pieces_to_buy": line.buy,
                "pieces_surplus": line.surplus,
                "price_in_currency": _money(line.price),
                "total_in_currency": _money(line.total),
            }
            for line in plan.orders.lines
        },
    }


def _cassette(plan: Plan, set_id: str) -> Plain:
    fit, sheet = plan.fits[set_id], plan.sheets[set_id]
    return {
        "cassette": fit.cassette,
        "smallest_cassette": fit.smallest,
        "room_left_mm_by_rail": list(fit.room_left_mm),
        "sheet": sheet.sheet,
        "sheet_side_mm": sheet.side_mm,
    }


def _supply(use: SupplyUse) -> Plain:
    return {
        "kind": use.kind,
        "unit": use.unit,
        "units_per_day_mean": round(use.per_day, 2),
        "reorder_at_units": use.reorder_at,
        "reorder_at_boxes": use.boxes_at_reorder,
        "units_in_box": use.pack,
        "box_price_in_currency": _money(use.pack_price),
        "cost_per_day_in_currency": _money(use.cost_per_day),
    }


def _money(value: Decimal | None) -> float | None:
    return None if value is None else float(value)


def _saving(words: MessageCatalog, saving: Saving) -> Plain:
    return {
        "unit": unit_text(words, saving.unit),
        "units_before_per_day": round(saving.before, 1),
        "units_after_per_day": round(saving.after, 1),
        "units_saved_per_day": round(saving.saved, 1),
        "saved_in_currency_per_day": None if saving.money is None else float(saving.money),
    }


def _placement(study: PlacementStudy) -> Plain:
    return {
        "wanted_percent": round(study.wanted * 100, 1),
        "is_now": study.is_now,
        "cheapest": _cheapest(study),
        "days": study.days,
        "now": _placing(study, study.now),
        **{where: placing and _placing(study, placing) for where, placing in study.places.items()},
    }


def _cheapest(study: PlacementStudy) -> str | None:
    """Return the place that is surely the cheapest, ``now`` where that is no single place; None where none is."""
    cheapest = study.cheapest
    where = (where for where, placing in study.places.items() if placing is cheapest)
    return None if cheapest is None else next(where, "now")


def _placing(study: PlacementStudy, placing: Placing) -> Plain:
    return {
        "pieces_to_own": placing.own,
        "pieces_to_buy": placing.buy,
        "total_in_currency": float(placing.money),
        "difference_within_in_currency": float(placing.noise(study.now)),
        "smallest_cassettes": dict(placing.smallest_cassettes),
        "loads_per_day_mean": round(placing.loads_per_day, 1),
        "walks_per_day_mean": round(placing.walks_per_day, 1),
        "glove_pairs_per_day_mean": round(placing.glove_pairs_per_day, 1),
    }


def _supply_key(use: SupplyUse) -> str:
    """As in the ids of its figures: a sheet and a pouch size may have one id."""
    return use.id if use.id == use.kind else f"{use.kind}.{use.id}"
