"""`kitdocs plan` and `kitdocs colours`: the report, figures down to their inputs, what-if, JSON; a real day."""

from __future__ import annotations

import contextlib
import io
import json
import re
import shutil
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
import yaml
from asking import Ask
from scipy.stats import binomtest

sys.path.insert(0, str(Path(__file__).parent / "planning"))

from simulated_day import ItemHistory, histories, simulate_day

from kitdocs.cli import main
from kitdocs.command.plan_answer import changes_of
from kitdocs.planning.buying.placement import PlacementStudy, placement_study
from kitdocs.planning.colours.distance import VISIONS, distance
from kitdocs.planning.day.run import BusyDays
from kitdocs.planning.figure import figures_about
from kitdocs.planning.plan import Plan, make_plan
from kitdocs.practice.model import Practice
from kitdocs.practice.reading.reader import read_practice
from kitdocs.report.build_report import make_report

pytestmark = pytest.mark.whole

EXAMPLE = Path(__file__).parent.parent / "example_practice"
DAYS = ("--days", "30")
CHANGE = "procedures.wire-change.per_day=26"


@pytest.fixture(scope="module", autouse=True)
def studied_once() -> Iterator[None]:
    """The study of instrument places, which takes longer than all the rest, is made once for the same practice."""
    made: list[tuple[Practice, BusyDays, tuple[PlacementStudy, ...]]] = []

    def study(practice: Practice, days: BusyDays) -> tuple[PlacementStudy, ...]:
        for of, on, found in made:
            if (of, on) == (practice, days):
                return found
        made.append((practice, days, placement_study(practice, days)))
        return made[-1][-1]

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("kitdocs.command.plan_answer.placement_study", study)
        yield


@pytest.fixture(scope="module")
def plan() -> Plan:
    return make_plan(read_practice(EXAMPLE), days=30)


@pytest.fixture(scope="module")
def told() -> dict[str, Any]:
    """The JSON of the example, once for all tests that only look at it."""
    return dict(json.loads(said_by("plan", EXAMPLE, *DAYS, "--json")))


@pytest.fixture(scope="module")
def told_with_change() -> dict[str, Any]:
    return dict(json.loads(said_by("plan", EXAMPLE, *DAYS, "--set", CHANGE, "--json")))


def said_by(*arguments: object) -> str:
    out = io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.redirect_stderr(io.StringIO()), contextlib.suppress(SystemExit):
        main([str(argument) for argument in arguments])
    return out.getvalue()


def flat(text: str) -> str:
    """The words of an output without its line breaks and frames."""
    return " ".join(re.sub(r"[│╭╮╰╯─]", " ", text).split())


# The report -------------------------------------------------------------------------------------


def test_the_report_shows_the_numbers_of_the_plan(ask: Ask, plan: Plan) -> None:
    answer = ask("plan", EXAMPLE, *DAYS)
    assert answer.status == 0
    core = plan.days.sets["core"]
    assert re.search(rf"^Core set .* {core.needed} +{core.own}$", answer.out, re.M)
    assert f"{plan.orders.total:,.2f}" in answer.out
    assert "--why" in answer.out and "--part" in answer.out


def test_what_is_piped_has_no_colour_codes_and_no_line_is_too_long_or_ends_in_blanks(ask: Ask) -> None:
    for arguments in (("--part", "all"), ("--why", "core"), ("--set", "procedures.wire-change.per_day=23")):
        answer = ask("plan", EXAMPLE, *DAYS, *arguments)
        assert answer.status == 0 and "\x1b" not in answer.out
        lines = answer.out.split("\n")
        assert max(map(len, lines)) <= 80
        assert [line for line in lines if line != line.rstrip()] == []


def test_nothing_of_a_cell_is_lost_in_a_narrow_window(ask: Ask, monkeypatch: pytest.MonkeyPatch) -> None:
    """Every word that the wide report has stands in the narrow one too."""
    narrow = ask("plan", EXAMPLE, *DAYS, "--part", "all").out
    monkeypatch.setenv("COLUMNS", "200")
    wide = ask("plan", EXAMPLE, *DAYS, "--part", "all").out
    # A rule under a table's head is as long as the table is wide, and no word.
    assert set(re.findall(r"[^\s─]{1,12}", wide)) - set(re.findall(r"[^\s─]{1,12}", narrow)) == set()
    assert "…" not in narrow


def test_every_part_of_the_report_can_be_asked_for(ask: Ask, example: Practice, example_plan: Plan) -> None:
    titles = {card.id: card.title for card in make_report(example, example_plan).cards}
    everything = ask("plan", EXAMPLE, *DAYS, "--part", "all").out.split("\n")
    two = ask("plan", EXAMPLE, *DAYS, "--part", "out", "--part", "storage").out.split("\n")
    assert all(title in everything for title in titles.values())
    assert [id_ for id_, title in titles.items() if title in two] == ["plan/out", "plan/storage"]


def test_a_part_that_does_not_exist_is_wrong_use(ask: Ask) -> None:
    answer = ask("plan", EXAMPLE, *DAYS, "--part", "stok")
    assert answer.status == 2 and "no part 'stok'" in flat(answer.err) and "summary" in answer.err


def test_the_same_seed_gives_the_same_report_and_another_seed_another(ask: Ask) -> None:
    first, again, other = (ask("plan", EXAMPLE, *DAYS, "--seed", n).out for n in (5, 5, 6))
    assert first == again != other


# Why --------------------------------------------------------------------------------------------


def test_a_figure_is_explained_down_to_each_input(ask: Ask, plan: Plan) -> None:
    for figure in plan.figures[::60]:
        answer = ask("plan", EXAMPLE, *DAYS, "--why", figure.id)
        assert answer.status == 0 and flat(str(figure.why)) in flat(answer.out)
        for each in figure.inputs:
            for words in (str(each.name), str(each.source)):
                assert set(words.split()) <= set(flat(answer.out).split()), (figure.id, words)


def test_an_input_says_where_in_the_folder_it_is_written(ask: Ask) -> None:
    answer = ask("plan", EXAMPLE, *DAYS, "--why", "stock.core")
    place = re.search(r"22 a busy day +procedures.yaml:(\d+):\d+", answer.out)
    assert place is not None
    line = (EXAMPLE / "procedures.yaml").read_text("utf-8").splitlines()[int(place[1]) - 1]
    assert line.strip() == "per_day: 22"


def test_where_an_instrument_had_better_lie_is_explained_too(ask: Ask) -> None:
    answer = ask("plan", EXAMPLE, *DAYS, "--why", "placement.scaler.add-on")
    assert answer.status == 0 and "walks to the store" in flat(answer.out)


def test_a_things_id_explains_all_figures_about_it(ask: Ask) -> None:
    answer = ask("plan", EXAMPLE, *DAYS, "--why", "core")
    assert re.findall(r"^\S+", answer.out, re.M) == ["stock.core", "fit.core", "storage.core"]


def test_parts_of_an_id_must_stand_together(plan: Plan) -> None:
    assert {f.id for f in figures_about(plan.figures, "par.chair-1")} == {
        f.id for f in plan.figures if f.id.startswith("par.chair-1.")
    }
    assert figures_about(plan.figures, "stock.bends") == ()
    assert [f.id for f in figures_about(plan.figures, "day.ends")] == ["day.ends"], "an exact id is that figure alone"


def test_an_unknown_figure_names_the_nearest(ask: Ask) -> None:
    answer = ask("plan", EXAMPLE, *DAYS, "--why", "stock.coer")
    assert answer.status == 2 and answer.out == ""
    assert "no figure 'stock.coer'" in flat(answer.err) and "stock.core" in answer.err


# What if ----------------------------------------------------------------------------------------


def test_before_and_after_are_those_of_two_separate_runs(
    told_with_change: dict[str, Any], plan: Plan, tmp_path: Path
) -> None:
    copy = tmp_path / "practice"
    shutil.copytree(EXAMPLE, copy)
    file = copy / "procedures.yaml"
    file.write_text(file.read_text("utf-8").replace("per_day: 22", "per_day: 26", 1), "utf-8")
    before = {figure.id: figure.value for figure in plan.figures}
    after = {figure.id: figure.value for figure in make_plan(read_practice(copy), days=30).figures}
    told = told_with_change["what_if"]
    of_plan = [each for each in told["figures_changed"] if not each["id"].startswith("placement.")]
    changed = {each["id"]: (str(each["before"]), str(each["after"])) for each in of_plan}
    assert changed == {
        id_: tuple(str(float(v)) if id_ == "buy.total" else str(v) for v in (before[id_], after[id_]))  # type: ignore[arg-type]
        for id_ in before
        if before[id_] != after[id_]
    }
    assert told["figures_unchanged"] >= len(before) - len(changed) > 0
    assert "stock.core" in changed


def test_only_what_changes_is_shown_and_the_rest_is_counted(ask: Ask) -> None:
    answer = ask("plan", EXAMPLE, *DAYS, "--set", CHANGE)
    shown = re.search(r"^(\d+) figures change, (\d+) do not$", answer.out, re.M)
    assert answer.status == 0 and shown is not None and int(shown[2]) > 50
    row = re.search(r"^Core set: sets to own +(\d+) +(\d+) +\+(\d+) +sets$", answer.out, re.M)
    assert row is not None and int(row[2]) - int(row[1]) == int(row[3])
    assert "Debonding set: sets" not in answer.out


def test_no_file_is_touched(ask: Ask) -> None:
    before = {p: (p.read_bytes(), p.stat().st_mtime_ns) for p in EXAMPLE.rglob("*") if p.is_file()}
    ask("plan", EXAMPLE, *DAYS, "--set", CHANGE)
    assert {p: (p.read_bytes(), p.stat().st_mtime_ns) for p in EXAMPLE.rglob("*") if p.is_file()} == before


def test_several_changes_hold_together(ask: Ask) -> None:
    both = ("--set", CHANGE, "--set", "practice.service=99%")
    told = json.loads(ask("plan", EXAMPLE, *DAYS, *both, "--json", "--why", "stock.core").out)
    assert told["what_if"]["set"] == {"procedures.wire-change.per_day": "26", "practice.service": "99%"}
    values = {each["name"].split(" (")[0]: each["value"] for each in told["figures"][0]["inputs"]}
    assert values["visits for 'wire-change'"] == 26 and values["service"] == "99 %"


def test_a_changed_figure_explained_tells_what_it_was(ask: Ask) -> None:
    answer = ask("plan", EXAMPLE, *DAYS, "--set", CHANGE, "--why", "stock.core")
    assert re.search(r"\d+ sets  \(before: \d+ sets\)", answer.out)
    assert f"(change):1:{CHANGE.index('=') + 2}" in answer.out, "the input says that it is the change"


def test_a_warning_that_only_the_change_brings_is_shown(ask: Ask) -> None:
    change = "room.stages.sterilize.capacity.large=30"
    assert "more than the chamber can hold" not in flat(ask("plan", EXAMPLE, *DAYS, "--set", CHANGE).out)
    assert "more than the chamber can hold" in flat(ask("plan", EXAMPLE, *DAYS, "--set", change).out)


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ("procedures.wire-chang.per_day=45", "did you mean 'wire-change'?"),
        ("procedures.wire-change.per_day=many", "'many' is not a plain number"),
        ("procedures.wire-change.per_day", "write it as in"),
        ("procedures.wire-change.per_day=", "write it as in"),
        ("procedure.wire-change.per_day=45", "did you mean 'procedures'?"),
    ],
)
def test_a_change_that_cannot_be_made_is_wrong_use(ask: Ask, change: str, said: str) -> None:
    answer = ask("plan", EXAMPLE, *DAYS, "--set", change)
    assert answer.status == 2 and answer.out == "" and said in flat(answer.err)
    assert "rides along" not in answer.err, "only what is wrong with the change is told"


def test_one_value_is_not_set_twice() -> None:
    with pytest.raises(ValueError, match="twice"):
        changes_of(["a.b=1", "a.b=2"])
    assert changes_of(["a.b=x=y"]) == {"a.b": "x=y"}


def test_a_change_that_cannot_work_is_a_problem_of_the_practice(ask: Ask) -> None:
    answer = ask("plan", EXAMPLE, *DAYS, "--set", "procedures.wire-change.per_day=90")
    assert answer.status == 1 and "the visits do not fit the chairs" in flat(answer.out)


@pytest.mark.parametrize("arguments", [("--days", "0"), ("--days", "many"), ("--seed", "x")])
def test_numbers_out_of_range_are_wrong_use(ask: Ask, arguments: tuple[str, ...]) -> None:
    assert ask("plan", EXAMPLE, *arguments).status == 2


def test_problems_in_the_folder_are_status_1(ask: Ask, tmp_path: Path) -> None:
    shutil.copytree(EXAMPLE, tmp_path / "p")
    file = tmp_path / "p" / "procedures.yaml"
    file.write_text(file.read_text("utf-8").replace("set: core\n", "set: croe\n", 1), "utf-8")
    answer = ask("plan", tmp_path / "p", *DAYS)
    assert answer.status == 1 and "procedures.yaml:14:8" in answer.out
    asked = ask("plan", tmp_path / "p", *DAYS, "--set", CHANGE)
    assert asked.status == 1, "the folder's own mistake is no wrong use"


# JSON -------------------------------------------------------------------------------------------


def key_paths(value: Any, at: str = "") -> set[str]:
    """Every path of keys; ids and the members of lists are written as a star."""
    if isinstance(value, list):
        return set().union(*(key_paths(each, f"{at}[]") for each in value))
    if not isinstance(value, dict):
        return {at}
    starred = at in STARRED
    return set().union(*(key_paths(each, f"{at}.*" if starred else f"{at}.{key}") for key, each in value.items()))


STARRED = {
    ".buying_steps[].sets_and_pouches",
    ".money_against_chance[].sets_and_add_ons",
    *(
        f".{part}[].{counts}"
        for part in ("buying_steps", "money_against_chance")
        for counts in ("pouches_beyond_drawers", "pouches_in_drawers", "pouches_in_drawers.*")
    ),
    ".sets",
    ".pouches",
    ".drawers",
    ".drawers.*",
    ".stages",
    ".loads",
    ".loads.*.points_each",
    ".buying.lines",
    ".cassettes_of_sets",
    ".supplies",
    ".savings",
    ".placement",
    ".placement.*.now.smallest_cassettes",
    ".placement.*.set.smallest_cassettes",
    ".placement.*.add-on.smallest_cassettes",
    ".placement.*.drawer.smallest_cassettes",
    ".what_if.set",
    *(f".breakdowns[].{day}.waits_per_day_mean_of" for day in ("usual", "broken", "otherwise")),
}


def test_the_keys_of_the_json_are_the_committed_ones(told_with_change: dict[str, Any]) -> None:
    """Another program relies on them: a key may be added here, but none is renamed or taken away."""
    committed = (Path(__file__).parent / "plan_json_keys.txt").read_text("utf-8").split("\n")
    assert sorted(key_paths(told_with_change)) == [line for line in committed if line]


def test_without_a_change_the_keys_are_the_same(told: dict[str, Any]) -> None:
    committed = (Path(__file__).parent / "plan_json_keys.txt").read_text("utf-8").split("\n")
    changed = {line for line in committed if line.startswith(".what_if")}
    assert key_paths(told) == {line for line in committed if line} - changed | {".what_if"}
    assert told["what_if"] is None


def test_a_number_of_the_json_has_its_unit_in_its_key(told: dict[str, Any]) -> None:
    told = {key: value for key, value in told.items() if key not in ("figures", "problems")}
    units = (
        "sets|pouches|pieces|boxes|units|minutes|percent|mm|points|loads|in_currency|per_day|days|seed|machines|at"
        "|taken|opened"
        "|asked|kept|low|high"  # a chance, from 0 to 1
    )
    for path in number_paths(told):
        key = re.sub(r"(\.\*)+$", "", path).rsplit(".", 1)[1].removesuffix("[]")
        assert re.search(rf"(^|_)({units})(_|$)", key), path


def number_paths(value: Any, at: str = "") -> set[str]:
    """The paths of keys under which a number stands."""
    if isinstance(value, dict):
        starred = at in STARRED
        return set().union(*(number_paths(v, f"{at}.*" if starred else f"{at}.{k}") for k, v in value.items()))
    if isinstance(value, list):
        return set().union(*(number_paths(each, f"{at}[]") for each in value))
    return {at} if isinstance(value, int | float) and not isinstance(value, bool) else set()


def test_sections_and_figures_of_the_json_agree_with_the_plan(told: dict[str, Any], plan: Plan) -> None:
    figures = {each["id"]: each["value"] for each in told["figures"]}
    planned = [figure.id for figure in plan.figures]
    assert list(figures)[: len(planned)] == planned
    assert all(id_.startswith("placement.") for id_ in list(figures)[len(planned) :])
    assert told["placement"]["scaler"]["add-on"]["total_in_currency"] == figures["placement.scaler.add-on"]
    assert told["savings"]["walks"]["units_saved_per_day"] == figures["savings.walks"]
    assert told["sets"]["core"]["sets_to_own"] == figures["stock.core"] == plan.days.stock["core"]
    assert all(told["pouches"][id_]["pouches_to_own"] == own for id_, own in plan.days.pouch_stock.items())
    assert told["buying"]["total_in_currency"] == figures["buy.total"] == float(plan.orders.total)
    assert told["day"]["turnaround_minutes_mean"] == figures["turnaround"]
    assert told["day"]["ends_at_95_percent"] == figures["day.ends"]
    for (chair, pouch), par in plan.par.items():
        assert told["drawers"][chair][pouch]["pouches_in_drawer"] == figures[f"par.{chair}.{pouch}"] == par
    for key, supply in told["supplies"].items():
        assert supply["reorder_at_units"] == figures[f"supplies.{key}.reorder-at"]


def test_somebody_else_counts_the_promises_from_the_json_alone(told: dict[str, Any], example: Practice) -> None:
    """The counts of the JSON, held against the days themselves, item by item."""
    days = [histories(simulate_day(example, day=number)[1]) for number in range(1, told["run"]["busy_days"] + 1)]
    own = {id_: kit["sets_out_at_once"] for id_, kit in told["sets"].items()}
    own |= {id_: p["pouches_out_at_once"] for id_, p in told["pouches"].items() if p["kind"] == "add-on"}
    del own["screws"]  # held until a spore test is read, beyond its day

    def waits(items: tuple[ItemHistory, ...]) -> bool:
        leaving = [item for item in items if item.kind.id in own]
        out = (sum(i.kind.id == j.kind.id and i.out <= j.out < i.back for i in items) - own[j.kind.id] for j in leaving)
        return any(more > 0 for more in out)

    nobody = [not waits(items) for items in days]
    promise = told["promise"]["sets"]
    assert promise["asked"] == 0.95
    assert promise["kept"] <= sum(nobody) / len(days), "the screws may break it, too"
    assert promise["kept"] >= promise["asked"]
    interval = binomtest(round(promise["kept"] * len(days)), len(days)).proportion_ci(0.95, method="wilson")
    assert (promise["low"], promise["high"]) == pytest.approx((interval.low, interval.high), abs=1e-6)
    assert told["promise"]["all"]["asked"] is None
    assert told["promise"]["all"]["kept"] <= min(told["promise"][each]["kept"] for each in ("sets", "drawers"))
    (plan,) = (rung for rung in told["money_against_chance"] if rung["is_plan"])
    assert plan["total_in_currency"] == told["buying"]["total_in_currency"]
    assert all(study["now"]["total_in_currency"] == plan["total_in_currency"] for study in told["placement"].values())


# Colours ----------------------------------------------------------------------------------------


def test_eight_colours_with_names_inks_and_the_worst_pair(ask: Ask) -> None:
    answer = ask("colours", 8)
    assert answer.status == 0 and len(re.findall("#[0-9a-f]{6}", answer.out)) == 8
    assert "Hardest to tell apart" in answer.out and "\x1b" not in answer.out
    told = json.loads(ask("colours", 8, "--json").out)
    hexes = [each["hex"] for each in told["colours"]]
    assert all(each in answer.out for each in hexes) and len({each["name"] for each in told["colours"]}) == 8
    worst = min(distance(a, b, vision) for n, a in enumerate(hexes) for b in hexes[:n] for vision in VISIONS)
    assert told["worst_pair"]["delta_e00"] == pytest.approx(worst, abs=0.01)
    # The published eight of Okabe and Ito (2008) reach 10.87.
    assert worst >= 15 and told["worst_pair"]["vision"] in VISIONS


def test_text_on_a_proposed_colour_reads_best_in_the_ink_that_is_named(ask: Ask) -> None:
    """WCAG 2.2: one of black and white always reaches 4.58:1."""
    for each in json.loads(ask("colours", 6, "--json").out)["colours"]:
        assert each["contrast_ratio"] >= 4.58 and each["ink_hex"] in ("#000000", "#ffffff")


def test_one_colour_has_no_worst_pair(ask: Ask) -> None:
    assert json.loads(ask("colours", 1, "--json").out)["worst_pair"] is None
    assert "cannot be confused with another" in ask("colours", 1).out


@pytest.mark.parametrize("count", ["0", "41", "-1", "eight"])
def test_so_many_colours_cannot_be_proposed(ask: Ask, count: str) -> None:
    assert ask("colours", count).status == 2


# A real day -------------------------------------------------------------------------------------

HEAD = "day,start,chair,procedure,minutes\n"


@pytest.fixture
def real(tmp_path: Path) -> Callable[[str], Path]:
    def with_schedule(rows: str) -> Path:
        folder = tmp_path / "real"
        shutil.copytree(EXAMPLE, folder, dirs_exist_ok=True)
        (folder / "schedule.csv").write_text(HEAD + rows, "utf-8")
        return folder

    return with_schedule


def test_a_real_day_replaces_the_drawn_ones(ask: Ask, real: Callable[[str], Path]) -> None:
    """Two sets are out together at 9:00, so two are to own; nothing else is used."""
    folder = real("Tue,09:00,chair-1,chain,20\nTue,09:00,chair-2,chain,20\nTue,15:00,chair-1,chain,20\n")
    told = json.loads(ask("plan", folder, *DAYS, "--json").out)
    assert told["run"]["visits_per_day_mean"] == 3
    assert told["sets"]["core"]["sets_to_own"] == 2
    assert told["sets"]["core"]["taken_per_day_mean"] == 3
    assert {id_: each["sets_to_own"] for id_, each in told["sets"].items() if id_ != "core"} == dict.fromkeys(
        set(told["sets"]) - {"core"}, 0
    )
    why = ask("plan", folder, *DAYS, "--why", "stock.core").out
    assert "schedule.csv" in why


def test_several_real_days_are_taken_in_turn(ask: Ask, real: Callable[[str], Path]) -> None:
    folder = real(
        "Mon,09:00,chair-1,chain,20\n"
        "Tue,09:00,chair-1,chain,20\nTue,09:00,chair-2,chain,20\nTue,09:00,chair-3,chain,20\n"
    )
    told = json.loads(ask("plan", folder, *DAYS, "--json").out)
    assert told["run"]["visits_per_day_mean"] == 2
    assert told["sets"]["core"]["sets_to_own"] == 3, "on half of the days three are out at once"
    assert ask("check", folder).status == 0


@pytest.mark.parametrize(
    ("row", "place", "said"),
    [
        ("Tue,9 o'clock,chair-1,chain,20", "schedule.csv:3:5", "is not a time of day"),
        ("Tue,09:00,chair-9,chain,20", "schedule.csv:3:11", "there is no chair 'chair-9'"),
        ("Tue,09:00,chair-1,chian,20", "schedule.csv:3:19", "did you mean 'chain'?"),
        ("Tue,09:00,chair-1,chain,soon", "schedule.csv:3:25", "'soon'"),
        ("Tue,09:00,chair-1,chain", "schedule.csv:3", ""),
    ],
)
def test_a_bad_row_is_told_with_its_line(
    ask: Ask, real: Callable[[str], Path], row: str, place: str, said: str
) -> None:
    answer = ask("plan", real(f"Tue,09:00,chair-2,chain,20\n{row}\n"), *DAYS)
    assert answer.status == 1
    assert place in answer.out and said in flat(answer.out)


def test_two_bad_rows_are_both_told(ask: Ask, real: Callable[[str], Path]) -> None:
    answer = ask("plan", real("Tue,09:00,chair-9,chain,20\nTue,09:00,chair-1,chian,20\n"), *DAYS)
    assert answer.status == 1 and "schedule.csv:2:" in answer.out and "schedule.csv:3:" in answer.out


# From Python ------------------------------------------------------------------------------------


def test_the_public_names_give_the_same_figures_and_tables_in_a_few_lines(plan: Plan) -> None:
    import kitdocs  # noqa: PLC0415

    practice = kitdocs.read_practice(EXAMPLE)
    again = kitdocs.make_plan(practice, days=30)
    assert again.figures == plan.figures
    figures = {figure.id: figure.value for figure in again.figures}
    rows = {row[0]: row for row in kitdocs.plan_tables(practice, again).table("stock").rows}
    assert rows["core"][8] == figures["stock.core"]


def test_25_chairs_in_bays_as_a_table_as_json_and_as_the_file_that_holds_them(ask: Ask) -> None:
    told = json.loads(ask("colours", 25, "--bays", "8,9,8", "--json").out)
    looks = [(chair["hex"], chair["mark"]) for chair in told["chairs"]]
    assert len(set(looks)) == 25 and {hex_ for hex_, _ in looks} == {each["hex"] for each in told["colours"]}
    table = ask("colours", 25, "--bays", "8,9,8").out
    assert "Chairs of one mark have colours at least ΔE00 " in table and all(hex_ in table for hex_, _ in looks)
    written = yaml.safe_load(ask("colours", 25, "--bays", "8,9,8", "--yaml").out)
    assert [(chair["colour"]["hex"], chair["mark"]) for chair in written.values()] == looks
    assert list(written)[-1] == "chair-25"
    for wrong in ("8,9", "8,9,x", "25,0", "8,17,"):
        refused = ask("colours", 25, "--bays", wrong)
        assert refused.status == 2 and "--bays" in refused.err
