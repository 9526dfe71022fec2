"""Every sentence of plan, report, tables and terminal, word for word, with the numbers of small practices.

``said.txt`` holds, of each sentence in the words files, the first line that it is said in. Whoever changes a sentence
changes it there too, and reads the numbers in it. ``python tests/report/test_every_sentence.py`` writes the file anew.
"""

from __future__ import annotations

import dataclasses
import io
import re
import sys
from collections.abc import Callable, Iterator, Mapping
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest
from rich.console import Console

sys.path.insert(0, str(Path(__file__).parents[1] / "planning"))

from invented_practice import SETS
from said_practices import made, practices

from kitdocs.command.plan_answer import show_comparison, show_figures
from kitdocs.document.blocks import Picture
from kitdocs.document.catalog import catalog_for
from kitdocs.planning.buying.placement import PlacementStudy, placement_figures, placement_study
from kitdocs.planning.colours.check import eyes
from kitdocs.planning.colours.distance import VISIONS
from kitdocs.planning.compare import compare
from kitdocs.planning.day.breaking import breakdowns
from kitdocs.planning.day.run import busy_days
from kitdocs.planning.measures.fit import fit_figures
from kitdocs.planning.measures.wrap import wrap_figures
from kitdocs.planning.plan import Plan, make_plan
from kitdocs.practice.locations import Path as ValuePath
from kitdocs.practice.message import Joined, Message, Share, counted, message
from kitdocs.practice.model import Practice
from kitdocs.practice.rules.looking import texts as in_record
from kitdocs.practice.sentences import counted as plural_stem
from kitdocs.practice.sentences import shipped_sentences
from kitdocs.practice.values import Text
from kitdocs.report.build_report import make_report
from kitdocs.report.tables import plan_tables

SAID = Path(__file__).parent / "said.txt"
DAYS = 20
#: The practices whose terminal says what no other's does, and those whose tables do; of the rest the report is enough.
TERMINALS = {
    "the whole of it",
    "a packed book, late and absent",
    "nothing to buy, nothing used up",
    "real days",
    "a square chamber that is too small",
}
TABLES = {*TERMINALS, "single use", "a full pouch", "hands only", "two sizes of pouch", "a design that was proposed"}
#: Those that are tried with something broken.
BREAKING = {"the whole of it", "people who go home", "part loads", "past midnight"}
PARTS = ("figures", "report", "tables", "terminal")
#: Said only where another package adds something; tests/test_extensions.py reads it.
OF_OTHER_PACKAGES = {"report.reasons.section.own"}
MARK = re.compile("⟦([^⟧]+)⟧")


@cache
def planned() -> Mapping[str, tuple[Practice, Plan]]:
    return {name: (practice, make_plan(practice, days=DAYS)) for name, practice in practices()}


def texts(thing: object) -> Iterator[str]:
    """Every text of a block that a person reads; a chart's narrow drawing says the same in more lines."""
    if isinstance(thing, str):
        yield thing
    elif isinstance(thing, Picture):
        yield from (thing.alt, *re.findall(r"<text[^>]*>([^<]*)</text>", thing.data.decode()))
    elif isinstance(thing, tuple):
        for part in thing:
            yield from texts(part)
    elif dataclasses.is_dataclass(thing):
        for field in dataclasses.fields(thing):
            if field.name not in ("colour", "ink", "link", "id", "anchor", "more", "narrow"):
                yield from texts(getattr(thing, field.name))


def lines(name: str, practice: Practice, plan: Plan, before: Plan) -> Iterator[str]:
    """Everything that is said of a plan: in the report, and of some in the tables and the terminal."""
    broken = breakdowns(practice, plan.days) if name in BREAKING else ()
    if name not in TABLES:
        for card in make_report(practice, plan, (), broken).cards:
            yield from texts((card.front,))
        return
    studies = placement_study(practice, busy_days(practice, days=5), instruments=("bird-beak", "explorer", "cutter"))
    report = make_report(practice, plan, studies, broken)
    for card in report.cards:
        yield from texts((card.section, card.title, card.subtitle, card.front))
    tables = plan_tables(practice, plan)
    yield from (tables.title, tables.total)
    for table in tables.tables:
        yield from (table.title, table.tab, *(column.header for column in table.columns))
        ids = [n for n, column in enumerate(table.columns) if column.id.endswith("id") or column.id == "code"]
        yield from (cell for row in table.rows for n, cell in enumerate(row) if isinstance(cell, str) and n not in ids)
    if name in TERMINALS:
        yield from terminal(practice, plan, before, studies)
        yield report.words("terminal.more", parts="sets, day", thing="core")


def terminal(practice: Practice, plan: Plan, before: Plan, studies: tuple[PlacementStudy, ...]) -> Iterator[str]:
    """What the terminal says of the figures, without their ids and where they are written."""
    file = io.StringIO()
    console = Console(file=file, width=1_000, color_system=None)
    words = catalog_for("en", practice.words)
    figures = (*plan.figures, *placement_figures(practice, studies))
    show_figures(console, words, figures, {figure.id: figure for figure in before.figures})
    show_comparison(console, words, compare(before.figures, plan.figures), {"a.path": "3"})
    ids = {figure.id for figure in (*figures, *before.figures)}
    for line in file.getvalue().split("\n"):
        parts = [part for part in re.split(" {2,}", line.strip()) if part not in ids]
        yield "  ".join(part for part in parts if part != "a.path=3" and not re.fullmatch(r"\w+:\d+:\d+", part))


def of_no_plan() -> Iterator[Message | Joined]:
    """What is said of what a finished plan never has, or hardly ever."""
    unfit = made(
        sets={"core": {**SETS["core"], "contents": ["weingart", "cutter", "bird-beak", "mirror"]}},
        room={"sheets": {"sheet-10": {"name": "10 in sheet", "side": "10 in", "pack": 100}}},
    )
    yield from (figure.why for figure in (*fit_figures(unfit), *wrap_figures(unfit)))
    yield from map(eyes, VISIONS)
    yield message("figures.warning.colours-too-close.no-remedy")
    yield message("figures.placement.no-cassette", set="Core set")
    yield counted("report.stock.spares", 2)
    yield message("report.placement.as-now-cheapest")
    yield message("report.promise.brackets")
    yield message("report.warnings.count-all-accepted", accepted=1)
    yield message("report.people.title")
    yield message("report.night.second")
    yield message("report.night.second-value", share=Share(0.03))
    yield message("report.placement.difference-cheapest", more="−120", noise="40")


def with_words(practice: Practice, change: Callable[[str, str], str]) -> Practice:
    """The practice in English that is changed, sentence by sentence."""
    english = {key: change(key, sentence) for key, sentence in shipped_sentences("en").items()}
    return replace(practice, words={"en": english})


@cache
def marked() -> tuple[tuple[str, tuple[str, ...]], ...]:
    """What each practice makes the plan say, each sentence with its key behind it; what it says twice stands once."""
    (_, first), *_ = planned().values()
    parts = []
    for name, (practice, plan) in planned().items():
        with_marks = with_words(practice, lambda key, sentence: f"{sentence}⟦{key}⟧")
        parts.append((name, tuple(dict.fromkeys(lines(name, with_marks, plan, first)))))
    words = catalog_for("en", with_marks.words)
    return (*parts, ("of no plan", tuple(map(words.say, of_no_plan()))))


def ours(line: str) -> list[str]:
    """The keys of a line's sentences, without those that the handbook says too."""
    return [key for key in MARK.findall(line) if key.partition(".")[0] in PARTS]


@cache
def said() -> str:
    """Of each sentence the first line that it is said in."""
    known: set[str] = set()
    parts = []
    for name, told in marked():
        parts.append(f"== {name}")
        for line in told:
            if not known.issuperset(keys := ours(line)):
                known.update(keys)
                parts.append(MARK.sub("", line).strip())
    return "\n".join((*parts, ""))


def test_every_sentence_is_said_as_it_is_written_down() -> None:
    assert said() == SAID.read_text("utf-8")


def test_every_sentence_of_the_words_files_has_been_said() -> None:
    told = {key for _, lines in marked() for line in lines for key in MARK.findall(line)} | OF_OTHER_PACKAGES
    told |= {plural_stem(key) for key in told}
    keys = (key for key in shipped_sentences("en") if key.partition(".")[0] in PARTS)
    assert [key for key in keys if key not in told and plural_stem(key) not in told - {""}] == []


#: An equation in a sentence, after its last stop or semicolon: ``10 + 2 = 12 needed``.
EQUATION = re.compile(r"([^.;:=(]*(?:\([^)]*\)[^.;:=(]*|(?<=\d)\.(?=\d)[^.;:=(]*)*)= (?:at least )?([\d,.]*\d)")
NUMBER = r"\d[\d,]*(?:\.\d+)?"


def in_minutes(text: str) -> str:
    """A text in which every duration is a number of minutes."""
    hours = re.sub(r"(\d+) h(?: (\d+) min)?\b", lambda found: str(60 * int(found[1]) + int(found[2] or 0)), text)
    return re.sub(r"(\d+) min\b", r"\1", hours)


def worked_out(side: str) -> float | None:
    """The left side of an equation, its words left out; None where it is no arithmetic."""
    signs = re.findall(rf"{NUMBER}|[-+−×÷√()/]", side)
    python = " ".join(signs).translate(str.maketrans("−×÷", "-*/")).replace(",", "")
    python = re.sub(r"√ (\S+)", r"(\1 ** 0.5)", python)
    try:
        return float(eval(python, {}))
    except SyntaxError:
        return None


def test_every_equation_in_a_sentence_comes_out_right() -> None:
    """The numbers are worked out again from the words, as with a pencil; they are rounded, and so is the result."""
    checked = 0
    told = {in_minutes(MARK.sub("", line)) for _, lines in marked() for line in lines}
    for line in told:
        for side, result in EQUATION.findall(line):
            found = worked_out(side)
            if found is not None and re.search(r"[-+−×÷]", side):
                checked += 1
                assert found == pytest.approx(float(result.replace(",", "")), rel=0.02, abs=0.6), line
    assert checked > 200


def test_the_names_of_practice_and_every_sentence_are_all_that_is_said() -> None:
    """Each sentence in brackets: what stands outside of them was written in the code, and no language can change it."""
    (_, (_, first)), *_ = planned().items()
    two = ("the whole of it", "nothing to buy, nothing used up")
    assert {word for name in two for word in unsaid(name, *planned()[name], first)} <= UNITS


#: Signs that every language writes alike, and names of things that are no words; A is a shelf.
UNITS = frozenset({"A", "mm", "min", "h", "m", "in", "pt", "USD", "ΔE", "auto"})


def unsaid(name: str, practice: Practice, plan: Plan, before: Plan) -> Iterator[str]:
    """Words outside of all brackets that are no name of the practice's."""
    names = [
        *sorted({name for _, text in written(practice) for name in named(text)}, key=len, reverse=True),
        "a.path=3",
    ]
    places = re.compile(r"#[0-9a-f]{6}|\b(?:\w+)(?::1:1|\.yaml)|^(?:instruments|cassettes)$|[¼½¾]")
    for line in {*lines(name, with_words(practice, lambda key, sentence: f"⟦{sentence}⟧"), plan, before)}:
        rest = places.sub("", line)
        for own in names:
            rest = rest.replace(own, "")
        while rest != (inner := re.sub("⟦[^⟦⟧]*⟧", "", rest)):
            rest = inner
        yield from re.findall(r"[^\W\d_]+", rest)


def named(text: Text) -> tuple[str, ...]:
    return (text.plain,) if text.plain else tuple(dict(text.by_language).values())


def written(practice: Practice) -> Iterator[tuple[ValuePath, Text]]:
    for table in ("settings", "chairs", "instruments", "cassettes", "sets", "pouches", "procedures", "room"):
        yield from in_record((table,), getattr(practice, table))


if __name__ == "__main__":
    SAID.write_text(said(), "utf-8")
