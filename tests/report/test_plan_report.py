"""What must stand in the planning report of the example practice."""

from __future__ import annotations

import dataclasses
import re
from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal
from types import MappingProxyType

import pytest

from kitdocs.document.blocks import Caution, Chart, Facts, Matrix, Picture, Prose
from kitdocs.document.card import Card, Handbook
from kitdocs.planning.buying.placement import placement_study
from kitdocs.planning.day.run import busy_days
from kitdocs.planning.plan import Plan, make_plan
from kitdocs.practice.model import Practice
from kitdocs.practice.numbers import money, plain
from kitdocs.practice.problems import Problem
from kitdocs.practice.values import clock_text
from kitdocs.report.build_report import make_report
from kitdocs.shipped import shipped_languages

POINT_MM = 25.4 / 72


@pytest.fixture(scope="module")
def report(example: Practice, example_plan: Plan) -> Handbook:
    return make_report(example, example_plan)


def matrices(card: Card) -> list[Matrix]:
    return [block for block in card.front if isinstance(block, Matrix)]


def charts(report: Handbook) -> list[Chart]:
    return [block for card in report.cards for block in card.front if isinstance(block, Chart)]


def column(table: Matrix, number: int) -> dict[str, str]:
    """A column's words by the first cell of its row."""
    return {row[0].text: row[number].text for row in table.rows}


def words(thing: object) -> Iterator[str]:
    """Every text that a person reads in a block, without names of files and pictures."""
    if isinstance(thing, str):
        yield thing
    elif isinstance(thing, tuple):
        for part in thing:
            yield from words(part)
    elif isinstance(thing, Picture):
        yield thing.alt
    elif dataclasses.is_dataclass(thing):
        for field in dataclasses.fields(thing):
            if field.name not in ("link", "href", "anchor", "more"):
                yield from words(getattr(thing, field.name))


def facts(card: Card) -> dict[str, str]:
    return {fact.label: fact.value for block in card.front if isinstance(block, Facts) for fact in block.facts}


def test_the_first_page_answers_what_an_owner_asks(report: Handbook, example: Practice, example_plan: Plan) -> None:
    summary, days = report.cards[0], example_plan.days
    told = facts(summary)
    assert summary.id == "plan/summary"
    assert told["Sets to own"] == f"{sum(days.stock.values())} sets of {len(days.stock)} kinds"
    assert told["Pouches to own"].startswith(f"{sum(days.pouch_stock.values())} pouches ")
    assert f"USD {example_plan.orders.total:,.2f}" in told["To buy"]
    assert clock_text(days.ends.high / 60) in told["The last load is put away"]
    assert told["Warnings"] == "none open, 1 accepted with a reason"
    busiest = max(days.stages.values(), key=lambda stage: stage.work_per_unit)
    machine = example.room.stages[busiest.id].name.in_language("en")
    assert told["Busiest"].startswith(f"{machine}: ") and busiest.id in ("wash", "sterilize")
    assert any(isinstance(block, Caution) and "makers'" in block.text for block in summary.front)


def test_what_to_own_is_what_the_plan_says(report: Handbook, example: Practice, example_plan: Plan) -> None:
    sets, add_ons = matrices(report.card("plan/sets"))
    days = example_plan.days
    own = {**column(sets, 5), **column(add_ons, 5)}
    assert own == {
        **{str(example.sets[id_].name): str(stock.own) for id_, stock in days.sets.items()},
        **{str(example.pouches[id_].name): str(stock.own) for id_, stock in days.add_ons.items()},
    }


def test_every_drawers_par_is_in_the_table(report: Handbook, example: Practice, example_plan: Plan) -> None:
    table = matrices(report.card("plan/drawers"))[0]
    shown = {
        (row[0].text, name): cell.text
        for row in table.rows
        for name, cell in zip(table.head[1:], row[1:], strict=True)
        if cell.text != "–"
    }
    assert shown == {
        (str(example.chairs[chair].name), str(example.pouches[pouch].name)): str(par.par)
        for (chair, pouch), par in example_plan.days.pars.items()
    }


def test_the_order_lists_lines_add_up_to_the_total(report: Handbook, example_plan: Plan) -> None:
    table = next(table for table in matrices(report.card("plan/buying")) if table.title == "Order list")
    *lines, together = table.rows
    assert len(lines) == len(example_plan.orders.to_buy)
    for row in lines:
        needed, owned, buy, price, total = (Decimal(cell.text.replace(",", "")) for cell in row[1:])
        assert buy == needed - owned and total == buy * price
        pieces = [int(number) for number in re.findall(r"\d+", row[0].detail)]
        assert sum(pieces) == needed
    totals = [Decimal(row[5].text.replace(",", "")) for row in lines]
    assert sum(totals) == Decimal(together[5].text.replace(",", "")) == example_plan.orders.total
    assert sum(int(row[3].text) for row in lines) == int(together[3].text)


def test_the_cost_charts_bars_add_up_to_the_total(report: Handbook, example_plan: Plan) -> None:
    chart = next(chart for chart in charts(report) if chart.title.startswith("What it costs"))
    assert chart.table
    costs = [Decimal(row[1].text.replace(",", "")) for row in chart.table.rows]
    assert sum(costs) == example_plan.orders.total


def test_a_sets_time_away_is_the_sum_of_its_parts(report: Handbook, example_plan: Plan) -> None:
    (chart,) = (block for block in report.card("plan/turnaround").front if isinstance(block, Chart))
    assert chart.table
    *parts, together = chart.table.rows

    def minutes(text: str) -> float:
        return 0.0 if text == "–" else float(text)

    for number in (1, 2):
        assert sum(minutes(row[number].text) for row in parts) == pytest.approx(
            float(together[number].text), abs=0.05 * (len(parts) + 1)
        )
    whole = float(together[1].text) + float(together[2].text)
    assert whole == pytest.approx(example_plan.days.turnaround.total.mean / 60, abs=0.2)


def test_every_chart_has_a_sentence_numbers_and_words_in_its_place(report: Handbook) -> None:
    found = charts(report)
    assert len(found) == 5 + 6, "sets to own, money against chance, machines, turnaround, cost; and one for each set"
    for chart in found:
        assert chart.summary.endswith(".") and re.search(r"\d", chart.summary)
        assert chart.table and chart.table.rows and chart.table.numbers
        assert chart.title in chart.picture.alt


def test_no_letter_of_a_chart_is_smaller_than_seven_points(report: Handbook) -> None:
    area = 210.0 - 22.0 - 14.0  # A4 between its margins, where a wide chart is set smallest
    for chart in charts(report):
        svg = chart.picture.data.decode()
        sizes = [float(size) for size in re.findall(r'font-size="([\d.]+)"', svg)]
        assert sizes, chart.title
        assert min(sizes) * min(1.0, area / chart.picture.width_mm) >= 7 * POINT_MM - 0.005, chart.title


def test_the_numbers_beside_a_sets_chart_are_those_of_its_day(report: Handbook, example_plan: Plan) -> None:
    card = report.card("plan/out")
    bands = list(example_plan.days.bands.values())
    shown = [block for block in card.front if isinstance(block, Chart)]
    assert len(shown) == len(bands)
    for chart, band in zip(shown, bands, strict=True):
        assert chart.table and len(chart.table.rows) >= 4
        for time, median, high in chart.table.rows:
            row = [clock_text(at / 60) for at in band.times].index(time.text)
            assert (int(median.text), int(high.text)) == (band.median[row], band.high[row])
            assert int(high.text) <= example_plan.days.sets[band.id].own


def test_people_read_names_and_not_ids(report: Handbook, example: Practice) -> None:
    room = example.room
    kinds = (example.sets, example.pouches, example.instruments, example.procedures, example.chairs, room.stages)
    ids = {id_ for kind in (*kinds, room.sheets, room.pouch_sizes) for id_ in kind if "-" in id_}
    assert len(ids) > 30
    # A hyphen is in a name too ("Bird-beak plier"): only what no name holds can tell.
    named = " ".join(str(of.name).lower() for kind in kinds for of in kind.values())
    told = [text for card in report.cards for text in words((card.title, card.subtitle, card.front))]
    for id_ in ids - {id_ for id_ in ids if id_ in named}:
        pattern = re.compile(rf"(?<![\w-]){re.escape(id_)}(?![\w-])")
        assert [text for text in told if pattern.search(text)] == [], id_
    assert [text for text in told if re.search(r"'[a-z0-9-]+'", text)] == []


def test_counts_have_the_right_word(report: Handbook) -> None:
    told = [text for card in report.cards for text in words(card.front)]
    wrong = re.compile(r"(?<![\d.,−])1 (sets|pouches|pieces|boxes|spares|visits|machines|people|walks|sheets)\b")
    assert [text for text in told if wrong.search(text)] == []


def test_numbers_are_written_as_people_read_them() -> None:
    assert [plain("en", n) for n in (46.0, 7.26, 1234.0, 0.04, -0.04, -12.15)] == [
        "46",
        "7.3",
        "1,234",
        "0",
        "0",
        "−12.2",
    ]
    assert money("en", Decimal("1234.5"), "USD") == "USD 1,234.50"


def test_every_figure_of_the_plan_is_there_with_its_reason(report: Handbook, example_plan: Plan) -> None:
    rows = [row for table in matrices(report.card("plan/reasons")) for row in table.rows]
    assert [row[0].text for row in rows] == [str(figure.name) for figure in example_plan.figures]
    assert [row[1].text[1:] for row in rows] == [str(figure.why)[1:] for figure in example_plan.figures]


def test_an_accepted_warning_stands_with_its_reason_and_an_open_one_with_its_remedy(
    example: Practice, example_plan: Plan
) -> None:
    (known,) = example_plan.problems
    card = make_report(example, example_plan).card("plan/warnings")
    (accepted,) = matrices(card)
    (where, what, why), *_ = accepted.rows
    assert where.text == "sets.yaml" and where.detail == f"line {known.place.line}"
    assert what.text == "No procedure that uses “Banding set” needs “Hollow-chop plier”"
    assert known.accepted and why.text == known.accepted.in_language("en")
    still_open: Problem = replace(known, accepted=None)
    reopened = make_report(example, replace(example_plan, problems=(still_open,)))
    (table,) = matrices(reopened.card("plan/warnings"))
    assert table.title == "1 open warning" and table.rows[0][2].text.startswith("Take it out")
    assert facts(reopened.cards[0])["Warnings"] == "1 open"


@pytest.mark.parametrize("language", shipped_languages())
def test_a_warning_calls_a_thing_by_its_name_in_each_language(
    example: Practice, example_plan: Plan, language: str
) -> None:
    card = make_report(example, example_plan, language=language).card("plan/warnings")
    (_, what, _) = matrices(card)[0].rows[0]
    assert example.sets["banding"].name.in_language(language) in what.text and "banding" not in what.text, what.text


def test_the_reason_of_an_accepted_warning_is_said_in_each_language(example: Practice, example_plan: Plan) -> None:
    english, spanish = (
        matrices(make_report(example, example_plan, language=language).card("plan/warnings"))[0].rows[0][2].text
        for language in ("en", "es")
    )
    assert english.startswith("We need the hollow-chop plier about twice a month")
    assert spanish.startswith("Usamos la pinza para contornear unas dos veces al mes")


def test_no_name_on_a_chart_of_the_example_is_cut_off(example: Practice, example_plan: Plan) -> None:
    for language in ("en", "es"):
        for chart in charts(make_report(example, example_plan, language=language)):
            assert "…" not in chart.picture.data.decode(), chart.title


def test_what_has_no_price_is_named_beside_the_total(example: Practice) -> None:
    mirror = example.instruments["mirror"].model_copy(update={"price": None})
    practice = replace(example, instruments=MappingProxyType({**example.instruments, "mirror": mirror}))
    report = make_report(practice, make_plan(practice, days=20))
    assert "Mouth mirror" in facts(report.cards[0])["To buy"]


def test_the_limits_are_stated(report: Handbook) -> None:
    told = " ".join(words(report.card("plan/method").front))
    for limit in (
        "upper bound",
        "does not validate a cycle",
        "makers' instructions",
        "not a forecast",
        "Tally two weeks",
    ):
        assert limit in told, limit


def test_what_the_change_saves_is_what_the_practice_counted_less_the_plan(
    report: Handbook, example: Practice, example_plan: Plan
) -> None:
    (table,) = matrices(report.card("plan/savings"))
    assert example.settings.before and example.settings.before.walks_per_day == 58
    walks = table.rows[0]
    assert walks[1].text == "58 walks"
    # By hand, what is fetched when it is wanted: hooks 9 × 10 %, strips 5 × 20 % and 3 × 40 %, photos 3 × 70 %,
    # repositioning 4 × 55 %, handpieces 4 × 20 % and
    # 8 × 10 %.
    fetched = 9 * 0.1 + 5 * 0.2 + 3 * 0.4 + 3 * 0.7 + 4 * 0.55 + 4 * 0.2 + 8 * 0.1
    assert walks[2].text == f"{plain('en', fetched)} walks"
    hands = sum(s.work_per_day for s in example_plan.days.stages.values() if s.kind == "hand") / 60
    assert table.rows[3][2].text == f"{plain('en', hands)} min"
    assert (walks[3].text, walks[4].text, walks[4].detail) == (
        "49 fewer",
        "26.95 less",
        "49 × 0.55",
    )  # 49 × 0.55 = 26.95
    loose = table.rows[2]
    assert (loose[1].text, loose[2].text, loose[3].text) == ("640 instruments", "none", "640 fewer")
    assert all(row[4].text.endswith((" less", " more")) for row in table.rows), "money stands beside every saving"


@pytest.mark.parametrize("language", ["en", "es", "de", "fr"])
def test_nobody_is_told_that_there_are_0_of_a_thing(example: Practice, example_plan: Plan, language: str) -> None:
    report = make_report(example, example_plan, language=language)
    told = [text for card in report.cards if card.id != "plan/reasons" for text in words(card.front)]
    zero = re.compile(r"^0 (?!min\b|%)[^\W\d]|(^|[;:,] )0 (open|boxes|instruments|walks|pairs)")
    assert [text for text in told if zero.search(text)] == []


def test_a_practice_that_counted_nothing_before_has_no_page_of_savings(example: Practice) -> None:
    settings = example.settings.model_copy(update={"before": None})
    practice = replace(example, settings=settings)
    ids = [card.id for card in make_report(practice, make_plan(practice, days=5)).cards]
    assert "plan/savings" not in ids and "plan/placement" not in ids


def test_the_placement_study_tells_each_place_apart_from_now(example: Practice, example_plan: Plan) -> None:
    studies = placement_study(example, busy_days(example, days=3), instruments=("scissors", "height-gauge"))
    card = make_report(example, example_plan, studies).card("plan/placement")
    (table,) = matrices(card)
    scissors, gauge = table.rows
    assert scissors[0].text == "Scissors" and scissors[2].text == "the drawers" and scissors[5].text == "as now"
    assert gauge[2].text == "several places" and "as now" not in [cell.text for cell in gauge]
    more = studies[0].places["set"]
    assert more
    difference, noise = more.money - studies[0].now.money, more.noise(studies[0].now)
    assert scissors[3].text.lstrip("+") == " ± ".join(plain("en", float(n), 0) for n in (difference, noise))
    assert f"{more.own} to own" in scissors[3].detail


def test_tables_are_narrow_enough_for_paper_and_phone(report: Handbook) -> None:
    for card in report.cards:
        for block in card.front:
            table = block.table if isinstance(block, Chart) else block
            if isinstance(table, Matrix):
                assert len(table.head) <= 6, (card.id, table.title)
                assert all(len(row) == len(table.head) for row in table.rows)


def test_the_report_is_made_of_blocks_that_every_output_draws(report: Handbook) -> None:
    kinds = {type(block) for card in report.cards for block in card.front}
    assert kinds == {Caution, Chart, Facts, Matrix, Prose}
    assert {card.kind for card in report.cards} == {"plan"}
    assert len({card.id for card in report.cards}) == len(report.cards) >= 17


def test_the_same_plan_has_the_same_editions_and_another_seed_others(
    report: Handbook, example: Practice, example_plan: Plan
) -> None:
    again = make_report(example, example_plan)
    assert again == report
    assert all(card.edition for card in report.cards)
    one, other = (make_report(example, make_plan(example, days=20, seed=seed)) for seed in (1, 2))
    assert other.card("plan/day").edition != one.card("plan/day").edition
    assert other.card("plan/colours").edition == one.card("plan/colours").edition


def test_the_report_speaks_the_practices_first_language_or_the_one_asked_for(
    example: Practice, example_plan: Plan
) -> None:
    spanish = replace(example, settings=example.settings.model_copy(update={"languages": ("es", "en")}))
    report, english = make_report(spanish, example_plan), make_report(spanish, example_plan, language="en")
    assert (report.language, report.folder) == ("es", "")
    assert (english.language, english.folder) == ("en", "en/")
    assert "Juego básico" in {row[0].text for row in matrices(report.card("plan/sets"))[0].rows}
    assert "Core set" in {row[0].text for row in matrices(english.card("plan/sets"))[0].rows}
