"""Appointment exports become figures and busy days; nothing about a patient goes any further than the file.

The exports are ours, written as offices have them: common practice, no source.
"""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import pytest
from appointment_book import (
    CANARY,
    ENGLISH,
    MONDAY,
    SPANISH,
    TYPES,
    Visit,
    answered,
    book,
    csv_text,
    grid,
    table,
    taken,
)
from asking import Ask

from kitdocs.importing.found import Found, Known
from kitdocs.importing.grids import grid_of, read_grids
from kitdocs.importing.kinds.appointments import KIND, score
from kitdocs.practice.message import Message, said
from kitdocs.practice.reading.reader import read_practice
from kitdocs.practice.sentences import shipped_sentences
from kitdocs.shipped import shipped_languages
from kitdocs.starter import start


def sentences(found: Found, language: str = "en") -> list[str]:
    """Everything that a person could be shown, said."""

    def say(part: Message | str) -> str:
        return said(part, shipped_sentences(language), language)

    return [
        *map(say, found.told),
        *map(say, found.details),
        *(f"{unused.where}: {say(unused.why)}" for unused in found.unused),
        *(f"{doubt.about} {say(doubt.asked)} {say(doubt.why)} {doubt.suggested}" for doubt in found.doubts),
        *(f"{key}: {say(meaning)}" for doubt in found.doubts for key, meaning in doubt.choices.items()),
        *(f"{merged.written} {merged.meant} {say(merged.why)}" for merged in found.merged),
        *(f"{record.stem} {record.id} {dict(record.fields)} {record.sources}" for record in found.records),
        *(f"{about} {answer}" for about, answer in found.remembered.items()),
    ]


def records(found: Found, stem: str) -> dict[str, dict[str, object]]:
    return {record.id: dict(record.fields) for record in found.records if record.stem == stem}


def lines(found: Found) -> list[dict[str, object]]:
    return [dict(record.fields) for record in found.records if record.stem == "schedule"]


@pytest.mark.parametrize("columns", [ENGLISH, SPANISH], ids=["en", "es"])
def test_two_weeks_become_figures_of_each_type(columns: object) -> None:
    assert isinstance(columns, dict)
    found, answers = answered(grid(book(), columns))
    procedures = records(found, "procedures")
    assert {each["name"] for each in procedures.values()} == set(TYPES)
    kept = Counter(visit.type for visit in book() if visit.outcome != "Cancelled" and visit.day.weekday() < 4)
    for each in procedures.values():
        minutes, _ = TYPES[str(each["name"])]
        assert each["minutes"] == f"{minutes} min"
        assert each["per_day"] == pytest.approx(kept[str(each["name"])] / 8, abs=0.05)
    assert re.fullmatch(r"\d+%", str(records(found, "practice")[""]["no_shows"]))
    word = "op" if "Operatory" in columns else "sillon"
    assert list(records(found, "chairs")) == [f"{word}-{n}" for n in range(1, 10)]
    assert lines(found) == []
    told = "\n".join(sentences(found))
    assert "busy days are those of Monday, Tuesday, Wednesday and Thursday" in told
    assert "adj-l: " in told and "on 8 days)" in told
    assert answers["days", "schedule"] == "figures"


def test_times_of_both_kinds_say_how_visits_run_over() -> None:
    found, _ = answered(grid(book(weeks=4)))
    late = [v.dismissed - v.seated - v.minutes for v in book(weeks=4) if v.seated is not None and v.dismissed]
    over = sorted(each for each in late if each > 0)
    overrun = records(found, "practice")[""]["overrun"]
    assert isinstance(overrun, dict)
    assert overrun["share"] == f"{round(100 * len(over) / len(late))}%"
    assert abs(int(str(overrun["median"]).removesuffix(" min")) - over[len(over) // 2]) <= 1
    without, _ = answered(grid(book(weeks=4), SPANISH))
    assert "overrun" not in records(without, "practice")[""]


@pytest.mark.parametrize("columns", [ENGLISH, SPANISH], ids=["en", "es"])
@pytest.mark.parametrize("language", shipped_languages())
def test_no_cell_about_a_patient_is_in_anything_that_could_be_shown_or_kept(columns: object, language: str) -> None:
    assert isinstance(columns, dict)
    source = grid(book(), columns)
    asked = taken(source)
    done, answers = answered(source)
    for found in (asked, done):
        told = "\n".join([*sentences(found, language), repr(found)])
        assert CANARY not in told.lower()
    assert CANARY not in repr(answers).lower()


@pytest.mark.parametrize("mix", ["{type} - {last}", "{last}: {type}", "{first} {last} {type}", "{type} {first}"])
def test_a_type_that_stands_beside_a_name_is_found_and_the_name_is_not_shown(mix: str) -> None:
    columns = {
        **ENGLISH,
        "Appt Type": lambda v: mix.format(type=v.type.replace(" ", "-"), first=v.first, last=v.last),
    }
    source = grid(book(weeks=3), columns)
    found, answers = answered(source)
    assert CANARY not in "\n".join([*sentences(taken(source)), *sentences(found), repr(found), repr(answers)]).lower()
    if "first} {last" not in mix:
        assert {str(each["name"]) for each in records(found, "procedures").values()} == {
            kind.replace(" ", "-") for kind in TYPES
        }


def test_without_days_enough_the_busiest_day_is_the_schedule_and_nothing_is_stated() -> None:
    visits = [visit for visit in book() if visit.day < MONDAY + timedelta(days=5)]
    found, answers = answered(grid(visits))
    counts = Counter(visit.day for visit in visits if visit.outcome != "Cancelled")
    assert {line["day"] for line in lines(found)} == {max(counts, key=lambda day: (counts[day], day)).isoformat()}
    assert len(lines(found)) == max(counts.values())
    assert all("per_day" not in each for each in records(found, "procedures").values())
    assert not {"no_shows", "overrun"} & records(found, "practice").get("", {}).keys()
    told = "\n".join(sentences(found))
    assert "no per_day and no time of day is stated: they need 8 busy days, and here are 4" in told
    assert ("days", "schedule") not in answers


def test_all_busy_days_can_be_the_schedule() -> None:
    found, _ = answered(grid(book()), schedule="all")
    days = {str(line["day"]) for line in lines(found)}
    assert len(days) == 8 and all(date.fromisoformat(day).weekday() < 4 for day in days)
    line = lines(found)[0]
    assert re.fullmatch(r"\d\d:\d\d", str(line["start"]))
    assert (set(line), str(line["chair"])[:3]) == ({"day", "start", "chair", "procedure", "minutes"}, "op-")


def test_what_the_folder_names_is_known_without_a_question() -> None:
    """By id, by name in any of its languages, and by the number of a chair as a suggestion."""
    folder: dict[str, dict[str, object]] = {
        "procedures": {
            "adj-l": {"name": "Long adjustment"},
            "short": {"name": {"en": "ADJ-S", "es": "Ajuste corto"}},
            "bonding": {"name": "Bonding brackets"},
            "debond": {"name": "Debonding"},
        },
        "chairs": {f"chair-{n}": {"name": f"Chair {n}"} for n in range(1, 10)},
    }
    asked = {doubt.about: doubt for doubt in taken(grid(book()), Known(records=folder)).doubts}
    assert ("types", "adj l") not in asked and ("types", "adj s") not in asked
    assert asked["types", "bond u l"].suggested == "bonding"
    assert asked["types", "deband"].suggested == "debond"
    assert {asked["chairs", f"op {n}"].suggested for n in range(1, 10)} == set(folder["chairs"])
    found, _ = answered(grid(book()), Known(records=folder))
    assert {"adj-l", "short", "bonding", "debond"} <= records(found, "procedures").keys()
    assert "name" not in records(found, "procedures")["adj-l"]
    assert records(found, "chairs") == {}


def test_the_answers_of_one_month_are_enough_for_the_next() -> None:
    november, answers = answered(grid(book()))
    folder = {stem: records(november, stem) for stem in ("procedures", "chairs")}
    december = grid(book(2, monday=date(2026, 12, 7)))
    known = Known(answers=answers, records=folder)
    found = taken(december, known)
    assert found.doubts == ()
    assert records(found, "procedures").keys() == folder["procedures"].keys()
    assert records(found, "chairs") == {}


def test_days_that_could_be_months_are_asked_with_the_likelier_first() -> None:
    visits = [visit for visit in book(monday=date(2026, 11, 2)) if visit.day <= date(2026, 11, 12)]
    (doubt,) = taken(grid(visits)).doubts
    assert (doubt.about, doubt.suggested) == (("dates", "order"), "mdy")
    remembered = answered(grid(book()))[1]
    assert ("dates", "order") not in {d.about for d in taken(grid(visits), Known(answers=remembered)).doubts}
    found, _ = answered(grid(visits))
    assert len(found.records) > 9


def test_lunch_is_no_visit() -> None:
    lunch = [
        Visit(MONDAY + timedelta(days=day), 720, 60, "LUNCH", chair, "", None, None, 5)
        for day in range(4)
        for chair in range(1, 10)
    ]
    asked = {doubt.about: doubt.suggested for doubt in taken(grid([*book(), *lunch])).doubts}
    assert asked["types", "lunch"] == "-"
    assert answered(grid([*book(), *lunch]))[0].records == answered(grid(book()))[0].records


def test_units_are_asked_and_ends_give_minutes() -> None:
    units = {name: column for name, column in ENGLISH.items() if name != "Duration"}
    source = grid(book(), {**units, "Units": lambda v: v.minutes // 5})
    (doubt,) = [doubt for doubt in taken(source).doubts if doubt.about == ("minutes", "unit")]
    assert set(doubt.choices) == {"5", "10", "15"}
    found, _ = answered(source, unit="5")
    assert records(found, "procedures")["adj-l"]["minutes"] == "30 min"


def test_a_list_that_names_only_those_who_did_not_come_says_kept_by_silence() -> None:
    silent = {**ENGLISH, "Status": lambda v: "" if v.outcome == "Completed" else v.outcome, "Seated": lambda v: ""}
    assert records(answered(grid(book(), silent))[0], "practice") == {
        "": {"no_shows": records(answered(grid(book()))[0], "practice")[""]["no_shows"]}
    }


def test_providers_are_asked_at_which_chair_they_work() -> None:
    columns = {name: column for name, column in ENGLISH.items() if name != "Operatory"}
    source = grid(book(), {**columns, "Provider": lambda v: f"Dr. {'Alba' if v.chair < 5 else 'Berg'}"})
    asked = {doubt.about: doubt for doubt in taken(source).doubts}
    assert asked["chairs", "dr alba"].suggested == "-"
    found, _ = answered(source)
    assert records(found, "chairs") == {} and records(found, "procedures")


def test_rows_and_columns_that_were_not_used_are_told_by_place() -> None:
    rows = table(book())
    rows[7][1] = "after school"
    rows[9][0] = ""
    found = taken(grid_of("appts.csv", "", [[str(cell) for cell in row] for row in rows]))
    told = "\n".join(f"{unused.where}: {unused.why}" for unused in found.unused)
    assert "appts.csv: 8, 10: these rows have no date or no time that can be read" in told
    for letter in "CDGIM":
        assert f"appts.csv: column {letter} " in told
    assert "appts.csv: column C (“Patient Name”) is not read: by its heading, it holds names of patients" in told


@pytest.mark.parametrize("delimiter", [",", ";", "\t"])
def test_files_of_text_are_read_with_any_delimiter(tmp_path, delimiter: str) -> None:
    path = tmp_path / "export.csv"
    path.write_text(csv_text(table(book()), delimiter), "utf-8")
    assert (
        answered(path)[0].records
        == answered(grid_of("export.csv", "", [[str(cell) for cell in row] for row in table(book())]))[0].records
    )
    assert read_grids(path)[0].rows


def test_what_is_booked_in_the_morning_says_so() -> None:
    early = [replace(visit, start=480 + visit.start % 200) if visit.type == "BOND U/L" else visit for visit in book()]
    assert records(answered(grid(early))[0], "procedures")["bond-u-l"]["when"] == "morning"
    some = [replace(visit, start=790) if n % 6 == 0 else visit for n, visit in enumerate(early)]
    found = records(answered(grid(some))[0], "procedures")
    assert found["bond-u-l"].get("when") in (None, {"morning": found["bond-u-l"].get("when", {}).get("morning")})  # type: ignore[attr-defined]
    assert all("when" not in each for id_, each in found.items() if id_ != "bond-u-l")


def test_hours_to_which_visits_are_bound_are_written_and_explained() -> None:
    """From forty visits on; with fewer it stays at half a day, and says why."""
    late = [replace(v, start=780 + v.start % 18 * 5) if v.type == "ADJ-S" else v for v in book()]
    found = answered(grid(late))[0]
    assert records(found, "procedures")["adj-s"]["when"] == "13:00-14:30"
    told = "\n".join(sentences(found))
    assert "adj-s: booked to begin from 13:00 on and before 14:30 (95 % interval: 9" in told
    assert "; 75 visits on 10 days)" in told
    assert "adj-s: these hours were found on every other day, and they hold on the days between" in told
    few = [v for n, v in enumerate(late) if v.type != "ADJ-S" or n % 3 == 0]
    found = answered(grid(few))[0]
    assert records(found, "procedures")["adj-s"]["when"] == "afternoon"
    assert "adj-s: only halves of the day are looked at below 40 visits" in "\n".join(sentences(found))


def test_visits_that_do_not_count_are_told_in_the_second_line() -> None:
    """What came once or twice is not shown; that it is missing from every figure is said before them."""
    visits = book()
    some = [replace(v, type=f"loose {n}") if n in (3, 50, 90) else v for n, v in enumerate(visits)]
    told = sentences(answered(grid(some))[0])
    assert told[1].startswith(f"3 OF {len(visits)} VISITS ARE NOT COUNTED")
    assert not any("NOT COUNTED" in each for each in sentences(answered(grid(visits))[0]))


@pytest.mark.parametrize(("called", "suggested"), [("HYG", "new"), ("Room", "chair-1")])
def test_a_number_alone_makes_no_chair_of_another_kind(called: str, suggested: str) -> None:
    known = Known(records={"chairs": {f"chair-{n}": {"name": f"OP {n}"} for n in range(1, 10)}})
    columns = {**ENGLISH, "Operatory": lambda v: f"{called} {v.chair}"}
    asked = {doubt.about: doubt for doubt in taken(grid(book(), columns), known).doubts}
    assert asked["chairs", f"{called.lower()} 1"].suggested == suggested


def test_hours_outside_those_of_a_new_folder_stay_halves_of_the_day() -> None:
    """A span outside them would be a mistake there."""
    early = [replace(v, start=400 + v.start % 12 * 5) if v.type == "ADJ-S" else v for v in book()]
    found = answered(grid(early))[0]
    assert records(found, "procedures")["adj-s"]["when"] == "morning"
    assert "Write when you work into practice.yaml (day)" in "\n".join(sentences(found))


def test_exports_of_single_weeks_are_put_together_and_overlaps_count_once() -> None:
    weeks = [
        [visit for visit in book() if (visit.day < MONDAY + timedelta(days=7)) == first] for first in (True, False)
    ]
    first, second = (replace(grid(week), file=f"week{n}.csv") for n, week in enumerate(weeks))
    whole, known = taken(grid(book())), Known(answers=answered(grid(book()))[1])
    both = KIND.take((first, second), known)
    assert [record.fields for record in both.records] == [
        record.fields for record in taken(grid(book()), known).records
    ]
    overlapping = KIND.take((grid(book()), second), known)
    assert [r.fields for r in overlapping.records] == [r.fields for r in both.records]
    assert "these rows stand in another sheet, too" in "\n".join(sentences(overlapping))
    assert len(whole.doubts) == len(KIND.take((first, second), Known()).doubts)


def test_an_export_that_is_named_schedule_is_replaced_only_when_somebody_says_so(ask: Ask, tmp_path: Path) -> None:
    start(tmp_path / "ours")
    week = [visit for visit in book() if visit.day < MONDAY + timedelta(days=5)]
    schedule = tmp_path / "ours" / "schedule.csv"
    schedule.write_text(csv_text(table(week, SPANISH)), "utf-8")
    before = schedule.read_bytes()
    (problem,) = [line for line in ask("check", tmp_path / "ours").out.splitlines() if line.startswith("schedule.csv:")]
    assert "lacks the columns" in problem
    memory = (
        "dates: {order: dmy}\ntypes: {adj l: wire-change, adj s: check, bond u l: '-', deband: '-', ret chk: check}\n"
    )
    chairs = ", ".join(f"sillon {n}: {'chair-1' if n % 2 else 'chair-2'}" for n in range(1, 10))
    (tmp_path / "ours" / "import.yaml").write_text(f"{memory}chairs: {{{chairs}}}\n", "utf-8")
    assert ask("import", schedule, tmp_path / "ours").status == 5
    assert schedule.read_bytes() == before
    answer = ask("import", schedule, tmp_path / "ours", "--yes")
    assert answer.status == 0, answer
    lines = schedule.read_text("utf-8").splitlines()
    assert (lines[0], len(lines) > 20) == ("day,start,chair,procedure,minutes", True)
    assert len(read_practice(tmp_path / "ours").schedule) == len(lines) - 1


def test_other_lists_are_no_appointment_books() -> None:
    lists = (
        [["Item", "Length", "Qty", "Type"], ["Weingart plier", "140 mm", "12", "plier"]],
        [["Date", "Load", "Time", "Result"], ["11/2/2026", "7", "08:30", "pass"]],
        [["Chair", "Colour"], ["1", "teal"]],
    )
    for rows in lists:
        assert score(grid_of("list.csv", "", rows), Known()) < 0.5
    assert score(grid(book()), Known()) > 0.9
    assert KIND.reads.keys() == {".ics"}
