"""Whatever the planning report promises can be recomputed by somebody else, and holds.

A sentence of the report counts as promising when it has a value in it or one of the words in `STRONG`. Each of them
stands in one of three tables here, and a new one without an entry fails:

- `RECOMPUTED`: worked out again from `plan --json` and from days that are drawn and run a second time (`second_look`);
- `HELD_BY`: a rule of the model or a measure, held by the test that is named;
- `REPEATED`: says what the practice wrote, what the numbers are of, or what to do; nothing is promised.
"""

from __future__ import annotations

import ast
import math
import re
import sys
from collections.abc import Iterable, Mapping
from functools import cache
from pathlib import Path
from typing import Any

import pytest

sys.path.insert(0, str(Path(__file__).parents[1] / "planning"))

from recomputed import RECOMPUTED, TABLES, Rounded, Value, Values
from said_practices import made
from said_practices import practices as said_practices
from second_look import SecondLook
from told import Told, stem, told_of

from kitdocs.command.plan_json import plan_json
from kitdocs.document.catalog import catalog_for
from kitdocs.planning.day.breaking import breakdowns
from kitdocs.planning.plan import make_plan
from kitdocs.practice.model import Practice
from kitdocs.practice.reading.reader import read_practice
from kitdocs.practice.sentences import shipped_sentences

STRONG = re.compile(
    r"\{|%|\b(?:never|always|every|nobody|nothing|none|no|at most|at least|exactly|only|all|each)\b", re.I
)

# which practices ----------------------------------------------------------------------------------

#: As few as the counts can be judged on other days with.
DAYS = 20
EXAMPLE = Path(__file__).parents[2] / "example_practice"
LEAD = "{name: Lead, hours: {start: 8:00, end: 17:00}, lunch: {start: 12:00, end: 12:30}}"
SECOND = "{name: Technician, hours: {start: 8:30, end: 17:00}, lunch: {start: 12:30, end: 13:00}}"
UNLIKE = (
    "{name: Steam sterilizer, area: sterilization, kind: machine, wait: 15 min, repeats: 4%, machines: ["
    "{cycle: 52 min, capacity: {slim: 8, medium: 6, large: 4, small-pouch: 16, medium-pouch: 12, large-pouch: 8}}, "
    "{cycle: 44 min, capacity: {slim: 6, medium: 4, large: 3, small-pouch: 12, medium-pouch: 9, large-pouch: 6}}, "
    "{cycle: 52 min, capacity: {slim: 8, medium: 6, large: 4, small-pouch: 16, medium-pouch: 12, large-pouch: 8}}]}"
)

#: The example otherwise: what is written differently.
EXAMPLES: Mapping[str, Mapping[str, str]] = {
    "the example": {},
    "people until five": {"room.people": f"{{lead: {LEAD}, technician: {SECOND}}}"},
    "a room that closes": {"room.closes": "18:30"},
    "unlike machines and repeated loads": {
        "room.stages.sterilize": UNLIKE,
    },
    "two mirrors, a packed book, late and absent": {
        "sets.exam.contents": "[mirror: 2, explorer, probe, cotton-plier]",
        "sets.exam.cassette": "medium",
        "practice.book": "packed",
        "practice.no_shows": "6%",
        "practice.overrun": "{share: 30%, median: 8 min, most: 25 min}",
        "practice.budget": "6000",
    },
    "fewer machines": {"room.stages.wash.machines": "1", "room.stages.sterilize.machines": "2"},
}

#: Small practices whose days or money are of another kind.
SMALL = (
    *("the whole of it", "nothing to buy, nothing used up", "real days", "people who go home"),
    *(
        "a room that closes late",
        "part loads",
        "past midnight",
        "hands only",
        "many kinds",
        "no prices",
        "one in repair",
    ),
    *("a long way back", "implants", "single use", "a drawer that runs out", "a packed book, late and absent"),
    *("visits that run over", "visits that are not kept", "one chair", "forty chairs"),
)


def many_chairs() -> Practice:
    """Forty chairs, each with a drawer and a colour of its own."""
    chairs: dict[str, Any] = {}
    for n in range(40):
        colour = {"name": f"Colour {n + 1}", "hex": f"#{(n * 6151 + 4000) * 409 % 0xFFFFFF:06x}"}
        mark = ("circle", "square", "triangle", "diamond")[n % 4]
        drawer = {"bends": "auto" if n % 2 else 1}
        chairs[f"chair-{n + 1}"] = {"name": f"Chair {n + 1}", "colour": colour, "mark": mark, "drawer": drawer}
    return made(chairs=chairs)


@cache
def looked_at(name: str) -> tuple[SecondLook, Told]:
    small = {**dict(said_practices()), "forty chairs": many_chairs()}
    practice = small[name] if name in small else read_practice(EXAMPLE, EXAMPLES[name])
    plan = make_plan(practice, days=DAYS)
    broken = breakdowns(practice, plan.days)
    told = plan_json(catalog_for("en", practice.words), practice, plan, (), broken)
    return SecondLook(practice, told), told_of(practice, plan, broken)


# how what is told is compared ---------------------------------------------------------------------


TIME = re.compile(r"(\d+):(\d\d)(?: next day| \+(\d+) d)?")
SPAN = re.compile(r"(?:(\d+) h)? ?(?:(\d+) min)?")


def same(told: str, expected: Value) -> bool:
    """Whether a value in words is what was worked out, to half of the last digit."""
    if isinstance(expected, str):
        return told == expected
    decimals = expected.decimals if isinstance(expected, Rounded) else 1
    value = expected.value if isinstance(expected, Rounded) else expected
    number, decimals = _number(told, decimals)
    return math.isclose(number, value, rel_tol=1e-9, abs_tol=0.5 * 10**-decimals + 1e-6)


def _number(told: str, decimals: int) -> tuple[float, int]:
    if found := TIME.fullmatch(told):
        days = 1 if told.endswith("next day") else int(found[3] or 0)
        return 1440 * days + 60 * int(found[1]) + int(found[2]), 0
    if told.endswith((" h", " min")) and (found := SPAN.fullmatch(told)):
        return 60 * int(found[1] or 0) + int(found[2] or 0), 0
    plain = re.sub(r"[^\d.−-]", "", told).replace("−", "-")
    assert re.fullmatch(r"-?\d+(\.\d+)?", plain), told
    return float(plain), decimals


def matches(told: Mapping[str, str], expected: Values) -> bool:
    assert set(expected) <= set(told), (told, expected)
    return all(same(told[name], value) for name, value in expected.items())


# what other tests hold ----------------------------------------------------------------------------

#: By the key, or by what it begins with and an asterisk: the test of the rule that is stated.
HELD_BY: Mapping[str, str] = {
    "promise.brackets": "planning/test_chance.py::test_the_interval_is_scipys_wilson_interval",
    "promise.brackets-other-days": (
        "planning/test_intervals_hold.py::test_what_is_said_of_busy_days_holds_on_other_days"
    ),
    "storage.no-shelf": (
        "planning/test_storage.py::test_what_is_taken_most_stands_within_reach_and_what_has_no_room_is_told"
    ),
    "drawers.intro": "planning/test_joint.py::test_an_integer_program_finds_hardly_anything_cheaper",
    "out.intro": "planning/test_stock_and_par.py::test_the_band_counts_what_is_out_at_each_time",
    "breakdown.intro": "planning/test_breaking.py::test_simpy_has_the_same_waits_with_one_machine_less",
    "breakdown.most": "planning/test_breaking.py::test_simpy_has_the_same_waits_with_one_machine_less",
    "breakdown.visits": "planning/test_breaking.py::test_simpy_has_the_same_waits_with_one_machine_less",
    "breakdown.what.stays": (
        "planning/test_breaking.py::test_whoever_stays_until_everything_is_back_leaves_nothing_for_the_morning"
    ),
    "summary.stays*": (
        "planning/test_breaking.py::test_whoever_stays_until_everything_is_back_leaves_nothing_for_the_morning"
    ),
    "breakdown.do.stopped": "planning/test_breaking.py::test_without_the_only_washer_nothing_comes_back",
    "placement.intro": "planning/test_placement.py::test_a_place_that_is_called_cheapest_is_so_on_many_more_days",
    "placement.own-and-buy": (
        "planning/test_placement.py::test_the_place_that_is_now_costs_what_the_plan_says_to_the_cent"
    ),
    "placement.own-and-walks": (
        "planning/test_placement.py::test_an_add_on_for_a_tenth_of_twenty_visits_costs_two_walks_and_set_or_drawer_none"
    ),
    "placement.walks": (
        "planning/test_placement.py::test_an_add_on_for_a_tenth_of_twenty_visits_costs_two_walks_and_set_or_drawer_none"
    ),
    "placement.pairs": (
        "planning/test_placement.py::test_a_walk_costs_a_pair_of_gloves_and_so_does_a_drawer_that_is_opened_with_clean_hands"
    ),
    "placement.difference*": (
        "planning/test_placement.py::test_the_noise_of_a_difference_is_students_t_of_the_days_drawn_again"
    ),
    "supplies.intro": "planning/test_supplies.py::test_the_reorder_point_is_the_poisson_quantile_of_the_lead_time",
    "boxes": "planning/test_supplies.py::test_the_reorder_point_is_the_poisson_quantile_of_the_lead_time",
    "savings.*": "planning/test_savings.py::test_the_figures_subtract_after_from_before",
    "loads.rule": "planning/test_loads.py::test_the_full_mixes_are_those_found_one_by_one",
    "loads.head.points": "planning/test_loads.py::test_thirds_and_sixths_add_up_exactly",
    "loads.head.chamber": (
        "planning/test_chamber.py::test_a_row_in_a_round_chamber_stays_inside_the_circle_and_one_more_would_not"
    ),
    "loads.least": "planning/test_steam.py::test_the_least_times_are_those_of_table_7_and_a_minute_less_is_a_warning",
    "loads.no-times": "planning/test_steam.py::test_a_cycle_that_table_7_does_not_know_is_said_not_to_be_in_it",
    "wrap.rule": "planning/test_pouch_fit.py::test_thirty_millimetres_to_the_seal_just_fit",
    "wrap.pieces": "planning/test_fit.py::test_the_figure_says_how_the_room_left_was_made",
    "wrap.sets-head.left": "planning/test_fit.py::test_the_figure_says_how_the_room_left_was_made",
    "wrap.of": "planning/test_pouch_fit.py::test_a_pouch_that_fits_is_no_problem_and_says_how_full_it_is",
    "storage.left": "planning/test_storage.py::test_packs_stand_upright_in_one_row",
    "storage.missing": "planning/test_storage.py::test_too_little_shelf_is_a_warning_with_what_is_missing",
    "storage.rule": "planning/test_storage.py::test_clearances_are_those_of_the_guideline",
    "colours.intro": "planning/test_colour_distance.py::test_a_published_pair_has_its_published_difference_both_ways",
    "colours.letter-value": "planning/test_legibility.py::test_letters_clear_sixteen_minutes_of_arc",
    "colours.code-value": "planning/test_legibility.py::test_a_code_is_large_enough_for_its_distance_and_its_modules",
    "warnings.none": (
        "report/test_plan_report.py::test_an_accepted_warning_stands_with_its_reason_and_an_open_one_with_its_remedy"
    ),
    "night.second": "planning/test_people_and_nights.py::test_what_is_left_a_second_night_too_often_is_an_error",
    "method.are-part.1": "planning/test_same_practice.py::test_the_plain_diary_books_the_same_visits",
    "method.are-part.2": "planning/test_day_against_simpy.py::test_simpy_agrees_item_for_item",
    "method.are-part.2-late": "planning/test_day_shape.py::test_what_runs_over_is_lognormal",
    "method.are-part.3": "planning/test_day_run.py::test_reprocessing_that_runs_into_the_next_day_names_its_bottleneck",
    "method.are-part.4": "planning/test_same_practice.py::test_no_order_in_the_folder_moves_a_figure",
    "method.are-part.5": "planning/test_joint.py::test_an_integer_program_finds_hardly_anything_cheaper",
    "method.are-part.6*": "planning/test_same_practice.py::test_the_plain_diary_books_the_same_visits",
    "why-there.*": (
        "proposing/test_reasons.py::test_each_other_place_is_what_the_plan_says_of_a_practice_changed_by_hand"
    ),
    "proposal.intro": "proposing/test_small_proposals.py::test_no_proposal_beats_another",
    "proposal.*": (
        "report/test_proposal_section.py::test_the_section_shows_every_design_today_s_and_what_changes_for_whom"
    ),
    "start.drawn": "planning/test_day_run.py::test_one_seed_gives_the_same_figures_and_another_gives_others",
}

#: What the practice wrote, what a number is of, what the model does not know and so does not promise, and what to do.
REPEATED = (
    *("none", "line", "chart-alt", "sets-to-own", "sets", "pouches", "kinds", "pieces"),
    *("summary.nobody-waits", "summary.no-drawer", "summary.nothing-short", "summary.nothing"),
    *("start.subtitle", "start.hours*", "start.service-means", "start.drawer-service-means", "start.from-*"),
    *("start.no-shows-of", "start.overrun-of", "start.when*", "start.own-*", "start.table", "start.any-*"),
    *("start.pouch-share", "start.always"),
    *("promise.chart", "promise.each", "promise.both", "promise.head.*", "promise.one-fewer", "promise.alone.*"),
    *("stock.head.*", "stock.spares", "out.most", "out.own", "out.head.*"),
    *(
        "day.head.*",
        "day.machine-number",
        "day.no-machine",
        "day.visits",
        "people.*",
        "night.caution",
        "night.at-stage",
    ),
    *("breakdown.usual", "breakdown.what.machine*", "breakdown.what.person", "breakdown.what.ill"),
    *("breakdown.what.load", "breakdown.do.*"),
    *("drawers.table", "drawers.head.*", "drawers.restock-head.*"),
    *(
        "steps.head.*",
        "steps.step-head.*",
        "steps.bought",
        "steps.spares",
        "steps.owned",
        "steps.counts",
        "steps.candidate*",
    ),
    *("buying.nothing", "buying.head.*", "buying.in-*", "buying.one-for-each", "buying.spare", "buying.without-price"),
    *("buying.other-kinds", "buying.no-prices", "buying.chart", "spares.away-today*", "supplies.head.*"),
    *("placement.table", "loads.contents", "loads.gravity", "loads.dynamic-air-removal"),
    *("wrap.envelope", "wrap.parcel", "wrap.outside", "colours.table", "colours.of-chair"),
    *("warnings.open", "warnings.name", "warnings.count*", "method.are-not-part.*", "method.left-out-part.*"),
    *("method.validation", "reasons.title"),
)


def listed(key: str, entries: Iterable[str]) -> bool:
    """Whether a key stands among the entries, or begins as one with an asterisk does."""
    return any(key == e or (e.endswith("*") and key.startswith(e[:-1])) for e in (f"report.{each}" for each in entries))


def promising() -> dict[str, str]:
    """The sentences of the report that promise something, by key."""
    sentences = {stem(key): text for key, text in shipped_sentences("en").items() if key.startswith("report.")}
    return {key: text for key, text in sentences.items() if STRONG.search(text)}


def test_every_promising_sentence_is_recomputed_or_held_or_promises_nothing() -> None:
    known = {key for key in promising() if key in RECOMPUTED or listed(key, HELD_BY) or listed(key, REPEATED)}
    assert promising().keys() - known == set(), "a sentence that promises something has to be recomputed here"
    keys = {stem(key) for key in shipped_sentences("en")}
    assert {key for key in RECOMPUTED if key not in keys} == set()
    for entry in (*HELD_BY, *REPEATED):
        assert any(listed(key, [entry]) for key in keys), f"no sentence is {entry}"


def test_the_tests_that_hold_a_rule_are_there() -> None:
    for place in HELD_BY.values():
        file, _, name = place.partition("::")
        tree = ast.parse((Path(__file__).parents[1] / file).read_text("utf-8"))
        assert name in {node.name for node in tree.body if isinstance(node, ast.FunctionDef)}, place


def check(name: str) -> set[str]:
    """Hold every sentence and table of a practice's report against the second look; return the keys that were said."""
    look, told = looked_at(name)
    wrong = []
    for key, recompute in RECOMPUTED.items():
        said, expected = told.sentences.get(key, []), list(recompute(look))
        wrong += [(key, one, expected) for one in said if not any(matches(one, each) for each in expected)]
        wrong += [(key, said, each) for each in expected if not any(matches(one, each) for one in said)]
    for head, rows in TABLES.items():
        keys = [f"report.{key}" for key in head]
        if told.has_table(*keys):
            for n, row in enumerate(rows(look)):
                cells = told.table(*keys)[n][1:]
                wrong += [(head, n, c, e) for c, e in zip(cells, row, strict=False) if not same(c, e)]
    assert wrong == []
    return {key for key in RECOMPUTED if told.sentences.get(key)}


def test_what_is_promised_of_the_example_holds() -> None:
    assert len(check("the example")) > 25


@pytest.mark.whole
@pytest.mark.parametrize("name", [name for name in EXAMPLES if name != "the example"])
def test_what_is_promised_of_the_example_otherwise_holds(name: str) -> None:
    assert check(name)


@pytest.mark.whole
@pytest.mark.parametrize("name", SMALL)
def test_what_is_promised_of_small_practices_holds(name: str) -> None:
    assert check(name)
