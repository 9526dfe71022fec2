"""Two years in the life of a binder: after each change, exchanging just what is to be exchanged gives what a full
reprint would give, nothing that stayed the same is printed anew, and the sheets of the binder keep their order.

Loose-leaf manuals are kept so (common practice, no source): a list of what to take out and what to put in, labels that
let a sheet in between two others, and a list of the sheets that are valid.
"""

from __future__ import annotations

import re
import shutil
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from pathlib import Path

import pytest

from kitdocs.document.card import Card, Handbook
from kitdocs.document.history import Replacement
from kitdocs.handbook.build_handbook import make_handbooks
from kitdocs.planning.plan import Plan, make_plan
from kitdocs.practice.model import Practice
from kitdocs.practice.reading.reader import read_practice
from kitdocs.practice.recording import write_run
from kitdocs.revisions.loose_leaf import sheet_label, sheet_labels
from kitdocs.revisions.record import new_run
from kitdocs.revisions.replacements import Since, since_printed

pytestmark = pytest.mark.whole

EXAMPLE = Path(__file__).parent.parent / "example_practice"
#: Figures from so few days move more often than those from a thousand: the harder for what has to be exchanged.
DAYS = 12
#: So much of a card goes on one sheet, instead of setting every binder to see where its pages end.
LETTERS_A_SHEET = 6000

#: What somebody does to the folder, what it does to the wall, and whether anything may have to be exchanged.
Edit = Callable[[Path], None]


def edit(file: str, old: str, new: str, count: int = 1) -> Edit:
    def change(folder: Path) -> None:
        text = (folder / file).read_text("utf-8")
        assert old in text, f"{file} no longer holds {old!r}"
        (folder / file).write_text(text.replace(old, new, count), "utf-8")

    return change


def write(file: str, text: str) -> Edit:
    def change(folder: Path) -> None:
        (folder / file).write_text(text, "utf-8")

    return change


def remove(*files: str) -> Edit:
    def change(folder: Path) -> None:
        for file in files:
            (folder / file).unlink()

    return change


def without_record(file: str, record: str) -> Edit:
    """A record of a YAML file, from its id to the next one, is taken out."""

    def change(folder: Path) -> None:
        text = (folder / file).read_text("utf-8")
        left = re.sub(rf"^{record}:\n(?:(?![^\s#]).*\n)*", "", text, count=1, flags=re.M)
        assert left != text
        (folder / file).write_text(left, "utf-8")

    return change


TEAL, SEA = "colour: teal", "colour: {name: {en: sea green, es: verde mar}, hex: '#1d7f5a'}"
NEW_CHAIR = """
chair-7:
  name: {en: Chair 7, es: Sillón 7}
  colour: {name: {en: lavender, es: lavanda}, hex: "#c8c8f0"}
  mark: heart
  drawer: {bends: auto, ties: auto, hard-wire: auto}
"""
DEBOND_ROW = "- explorer\n    - scaler\n    - adhesive-remover"
CHAIRS = "[chair-1, chair-2, chair-3, chair-4, chair-5, chair-6]"
SHARPS = "# Sharps\n\nWires and ends go into the sharps box at once.\n"

YEARS: list[tuple[str, list[Edit]]] = [
    ("a chair is recoloured", [edit("chairs.yaml", TEAL, SEA)]),
    ("a drawer gets more of a pouch", [edit("chairs.yaml", "ties: auto, hard", "ties: 6, hard")]),
    ("an instrument is renamed", [edit("instruments.yaml", "en: Weingart plier", "en: Arch-placing plier")]),
    ("the washer is slower", [edit("room.yaml", "cycle: 38 min", "cycle: 54 min")]),
    ("a procedure comes more often", [edit("procedures.yaml", "per_day: 22", "per_day: 26")]),
    ("a pouch is dropped", [
        edit("procedures.yaml", "  add_ons: {hooks: 10%}\n", ""),
        edit("procedures.yaml", "    hook-crimper: 10%\n", ""),
        without_record("pouches.yaml", "hooks"),
        without_record("instruments.yaml", "hook-crimper"),
        edit("stock.csv", "hook-crimper,2,0\n", ""),
    ]),
    ("a set gains an instrument", [
        edit("sets.yaml", DEBOND_ROW, DEBOND_ROW.replace("- scaler", "- cotton-plier\n    - scaler")),
    ]),
    ("a set moves into another cassette", [edit("sets.yaml", "cassette: slim", "cassette: medium")]),
    ("an instrument is sharpened more often", [edit("instruments.yaml", "uses_between: 1200", "uses_between: 400")]),
    ("a load of the sterilizer holds less", [edit("room.yaml", "capacity: {slim: 8", "capacity: {slim: 7")]),
    ("the cassettes are wrapped with less tape", [edit("room.yaml", "strips: 3", "strips: 2")]),
    ("the sheet is called otherwise", [edit("room.yaml", "en: 18 in sheet", "en: Small sheet")]),
    ("the cards are read from nearer", [edit("practice.yaml", "reading_distance: 600 mm", "reading_distance: 500 mm")]),
    ("only the layout of a file is changed", [
        edit("practice.yaml", "currency: USD\npaper: letter\n", "paper: letter\n\n# dollars\ncurrency:   USD\n"),
    ]),
    ("a page of our own is edited", [edit("pages/house-rules.md", "the", "each")]),
    ("a page of our own is added", [write("pages/sharps.md", SHARPS)]),
    ("somebody else is to be asked", [edit("practice.yaml", "extension 14", "extension 41")]),
    ("a chair is added", [
        edit("chairs.yaml", "\nexam-room:", f"{NEW_CHAIR}\nexam-room:"),
        edit("procedures.yaml", CHAIRS, CHAIRS.replace("]", ", chair-7]"), 2),
    ]),
    ("a language is added", [edit("practice.yaml", "languages: [en, es]", "languages: [en, es] ")]),
    ("a procedure is renamed", [edit("procedures.yaml", "en: Power chain and auxiliaries", "en: Chains")]),
    ("a chair is closed", [
        without_record("chairs.yaml", "chair-6"),
        edit("procedures.yaml", "chair-5, chair-6, chair-7]", "chair-5, chair-7]", 9),
        edit("procedures.yaml", "chair-6, ", "", 9),
        edit("procedures.yaml", ", chair-6]", "]", 9),
    ]),
    ("a set has another name and code", [
        edit("sets.yaml", "en: Core set, es: Juego básico", "en: Basic set, es: Juego de base"),
        edit("sets.yaml", "code: CO", "code: MN"),
    ]),
    ("a sterilizer is bought", [edit("room.yaml", "machines: 3\n    cycle: 52 min", "machines: 4\n    cycle: 52 min")]),
    ("a page of our own is given up", [remove("pages/opening-and-closing.md", "pages/opening-and-closing.es.md")]),
    ("the site has another address", [edit("practice.yaml", "https://handbook.example/", "https://cards.example/")]),
    ("the first colour comes back", [edit("chairs.yaml", SEA, TEAL)]),
    ("the closed chair's colour goes to another", [edit("chairs.yaml", "mark: heart", "mark: hexagon")]),
    ("a language is given up", [edit("practice.yaml", "languages: [en, es] ", "languages: [en]")]),
]  # fmt: skip


@dataclass
class Wall:
    """What hangs and what lies in the binders, as hands put it there."""

    hangs: dict[tuple[str, str, str], str] = field(default_factory=dict)
    """Edition by place, card and language."""
    binders: dict[str, dict[str, tuple[str, str]]] = field(default_factory=dict)
    """Card and edition by label of the sheet, by language."""

    def exchange(self, language: str, given: Replacement, labels: Iterable[str]) -> None:
        """Do what one line of the list of replacements says; `labels` stand on the new sheets of the binder."""
        if given.action != "add":
            place = given.old_hangs if given.action == "replace" else given.hangs
            assert self.hangs.pop((place, given.card, language)) == given.old_edition
            binder = self.binders.get(language, {})
            for label in given.sheets:
                assert binder.pop(label) == (given.card, given.old_edition)
            if not binder:
                self.binders.pop(language, None)
        if given.action != "take-out":
            assert (given.hangs, given.card, language) not in self.hangs
            self.hangs[given.hangs, given.card, language] = given.new_edition
            for label in labels:
                assert label not in self.binders.setdefault(language, {}), f"two sheets are called {label}"
                self.binders[language][label] = (given.card, given.new_edition)


@dataclass
class Now:
    """The practice as the folder has it now, and what is different since the last printing."""

    practice: Practice
    plan: Plan
    handbooks: tuple[Handbook, ...]
    since: Since

    @classmethod
    def read(cls, folder: Path) -> Now:
        practice = read_practice(folder)
        plan = make_plan(practice, days=DAYS)
        handbooks = make_handbooks(practice, plan)
        return cls(practice, plan, handbooks, since_printed(practice, plan, handbooks))

    def replacements(self) -> list[tuple[str, Replacement]]:
        return [(language, exchange) for language, listed in self.since.replacements.items() for exchange in listed]

    def record(self, folder: Path, day: str, *chosen: str) -> None:
        new = new_run(self.practice, self.plan, self.handbooks, day=day, chosen=chosen, labels=labels_of)
        assert new
        write_run(folder, new.name, new.run)


def labels_of(handbook: Handbook) -> Mapping[str, tuple[str, ...]]:
    bound = [(card.id, sheets(card)) for card in handbook.cards if card.in_binder]
    return sheet_labels(bound, handbook.sheets)


def sheets(card: Card) -> int:
    return 1 + len(repr(card.blocks)) // LETTERS_A_SHEET


def reprinted(handbooks: Iterable[Handbook]) -> Wall:
    """What hangs when everything is taken down and printed anew, the sheets with the labels that they have."""
    wall = Wall()
    for handbook in handbooks:
        labels = labels_of(handbook)
        for card in handbook.kept:
            wall.hangs[card.hangs, card.id, handbook.language] = card.edition
            for label in labels.get(card.id, ()):
                wall.binders.setdefault(handbook.language, {})[label] = (card.id, card.edition)
    return wall


def hang(wall: Wall, now: Now, replacements: Iterable[tuple[str, Replacement]]) -> None:
    labels = {handbook.language: labels_of(handbook) for handbook in now.handbooks}
    for language, exchange in replacements:
        wall.exchange(language, exchange, labels.get(language, {}).get(exchange.card, ()))


def in_order(binder: Mapping[str, tuple[str, str]]) -> list[str]:
    """The cards as their sheets lie in the binder, each once."""
    return list(dict.fromkeys(binder[label][0] for label in sorted(binder, key=sheet_label)))


@pytest.mark.usefixtures("codes_alike")
def test_two_years_of_changes_keep_wall_and_binder_as_a_full_reprint_would(tmp_path: Path) -> None:
    folder = Path(shutil.copytree(EXAMPLE, tmp_path / "practice"))
    # The first year has one language, so that another can be added.
    edit("practice.yaml", "languages: [en, es]", "languages: [en]")(folder)
    wall, now = Wall(), Now.read(folder)
    assert {exchange.action for _, exchange in now.replacements()} == {"add"}
    hang(wall, now, now.replacements())
    assert wall == reprinted(now.handbooks)
    now.record(folder, "2025-01-06")
    taken: set[str] = set()
    for month, (what, edits) in enumerate(YEARS):
        if what == "a language is added":
            edit("practice.yaml", "languages: [en]", "languages: [en, es]")(folder)
        for change in edits:
            change(folder)
        before = Wall(dict(wall.hangs), {language: dict(binder) for language, binder in wall.binders.items()})
        now = Now.read(folder)
        given = now.replacements()
        if what in IN_TWO_GOES:
            now = only_the_wall(folder, wall, now, day_of(month))
        hang(wall, now, now.replacements())
        assert wall == reprinted(now.handbooks), what
        for _, exchange in given:
            if exchange.action == "replace":
                assert exchange.old_edition != exchange.new_edition, "what stayed the same is not printed anew"
                assert exchange.changes, (what, exchange.card)
        handled = {(exchange.card, language) for language, exchange in given}
        untouched = {key for key in before.hangs if key[1:] not in handled}
        assert all(wall.hangs[key] == before.hangs[key] for key in untouched)
        for handbook in now.handbooks:
            binder = wall.binders[handbook.language]
            assert in_order(binder) == [card.id for card in handbook.cards if card.in_binder], what
        taken |= {label for binder in before.binders.values() for label in binder}
        assert bool(given) == (what not in SILENT), what
        if given:
            now.record(folder, day_of(month))
    assert len(YEARS) >= 20
    assert any(not label.isdigit() for label in taken), "some sheets came in between"
    now = Now.read(folder)
    assert now.since.current
    assert len(now.practice.printed.runs) == len(YEARS) + 1 - len(SILENT) + len(IN_TWO_GOES)


def only_the_wall(folder: Path, wall: Wall, now: Now, day: str) -> Now:
    """First only what hangs on the wall is exchanged and recorded; just the rest is left to do."""
    the_wall = {card.hangs for handbook in now.handbooks for card in handbook.cards if card.place == "wall"}
    first = [due for due in now.replacements() if due[1].hangs in the_wall]
    rest = [due for due in now.replacements() if due[1].hangs not in the_wall]
    assert first and rest
    hang(wall, now, first)
    now.record(folder, day, "wall")
    after = Now.read(folder)
    assert after.replacements() == rest
    return after


def day_of(month: int) -> str:
    return f"{2025 + (month + 1) // 12}-{1 + (month + 1) % 12:02}-06"


IN_TWO_GOES = {"an instrument is renamed", "a chair is closed"}
#: Changes of the folder that nobody sees on a card.
SILENT = {"the cards are read from nearer", "only the layout of a file is changed"}
