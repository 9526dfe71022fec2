"""What an office never stated is the starter's, and marked so: by check, in the report and on every card with it."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest
from asking import Ask
from editing import edit

from kitdocs.document.content import content
from kitdocs.handbook.build_handbook import make_handbooks
from kitdocs.importing.completing import completed
from kitdocs.importing.found import Found, Known
from kitdocs.importing.into_folder import import_lists
from kitdocs.planning.plan import Plan, make_plan
from kitdocs.practice.model import Practice
from kitdocs.practice.reading.folder import read_folder
from kitdocs.practice.reading.reader import read_practice
from kitdocs.report.build_report import make_report
from kitdocs.starter import start

WORDS = {"day": "working hours", "cassettes": "cassettes and their prices", "room": "machines, hands"}


def test_a_new_folder_owns_no_cassette_and_says_what_is_an_example(tmp_path: Path) -> None:
    (tmp_path / "inventory.csv").write_text("Instrument,Qty\nmirror,40\n", "utf-8")
    import_lists([tmp_path / "inventory.csv"], tmp_path / "ours")
    files = read_folder(tmp_path / "ours").files
    assert files["practice"].data["from_starter"] == ["day", "cassettes", "room"]
    assert files["cassettes"].data and all("on_hand" not in record for record in files["cassettes"].data.values())


def test_cassettes_that_a_list_brings_are_the_offices_own(tmp_path: Path) -> None:
    text = "Cassette,Length,Width,Height,On hand\nBig,280 mm,180 mm,35 mm,7\n"
    (tmp_path / "cassettes.csv").write_text(text, "utf-8")
    import_lists([tmp_path / "cassettes.csv"], tmp_path / "ours")
    files = read_folder(tmp_path / "ours").files
    assert files["practice"].data["from_starter"] == ["day", "room"]
    assert [record["on_hand"] for record in files["cassettes"].data.values()] == [7]


@pytest.fixture(scope="module")
def marked(tmp_path_factory: pytest.TempPathFactory) -> tuple[Practice, Plan, Path]:
    folder = tmp_path_factory.mktemp("marked") / "ours"
    start(folder)
    edit(folder / "practice.yaml", "#   from_starter: [room]", "from_starter: [day, cassettes, room]")
    practice = read_practice(folder)
    return practice, make_plan(practice, days=20), folder


def test_check_warns_of_each_part_until_it_is_taken_out(ask: Ask, marked: tuple[Practice, Plan, Path]) -> None:
    practice, _, folder = marked
    warnings = [problem for problem in practice.problems if problem.rule == "from-starter"]
    assert [problem.path for problem in warnings] == [f"practice.from_starter[{n}]" for n in (1, 2, 3)]
    said = " ".join(ask("check", folder).out.split())
    assert "the working hours are still the starter's example" in said and "take 'room' out of from_starter" in said


def test_each_page_whose_figures_rest_on_it_says_so(marked: tuple[Practice, Plan, Path]) -> None:
    practice, plan, _ = marked
    report = make_report(practice, plan, language="en")
    said = {card.id: str(content(card)) for card in report.cards}
    for card, parts in {
        "plan/summary": ("day", "cassettes", "room"),
        "plan/start": ("day", "cassettes", "room"),
        "plan/day": ("day", "room"),
        "plan/buying": ("cassettes", "room"),
    }.items():
        line = next(text for text in said[card].split("'") if "From the starter, not yours" in text)
        assert [part for part in WORDS if WORDS[part] in line] == list(parts), card
    assert "From the starter" not in said["plan/colours"]
    (handbook,) = make_handbooks(practice, plan)
    order = next(card for card in handbook.cards if card.id == "move/order")
    assert "From the starter, not yours: working hours" in str(content(order))
    assert "cassettes and their prices" in str(content(order))


#: Values of each part that cards print or work with, each with another.
OTHERWISE: dict[str, list[tuple[str, str, str]]] = {
    "day": [("practice.yaml", "opens: 08:00", "opens: 08:30"), ("practice.yaml", "closes: 17:00", "closes: 17:30")],
    "cassettes": [
        ("cassettes.yaml", "name: Slim cassette", "name: Other cassette"),
        ("cassettes.yaml", "height: 1.25 in", "height: 1.4 in"),
    ],
    "room": [
        ("room.yaml", "restock: [08:00, 12:30]", "restock: [08:10, 13:10]"),
        ("room.yaml", "setup: 5 min", "setup: 9 min"),
        ("room.yaml", "name: Instrument washer", "name: Thermal washer"),
        ("room.yaml", "cycle: 38 min", "cycle: 46 min"),
        ("room.yaml", "capacity: {slim: 16,", "capacity: {slim: 14,"),
        ("room.yaml", "capacity: {slim: 8,", "capacity: {slim: 7,"),
        ("room.yaml", "exposure: 4 min, drying: 30 min", "exposure: 5 min, drying: 35 min"),
        ("room.yaml", "strips: 3}", "strips: 4}"),
        ("room.yaml", "name: 18 in sheet", "name: Other sheet"),
        ("room.yaml", "name: Small pouch", "name: Little pouch"),
        ("room.yaml", "using: Moistening spray", "using: Gel"),
        ("room.yaml", "using: Instrument lubricant that steam passes", "using: Oil"),
        ("room.yaml", "water: {kind: distilled", "water: {kind: deionized"),
        ("room.yaml", "name: Clean the washer's filter", "name: Rinse the filter"),
        ("room.yaml", "name: Shelf", "name: Rack"),
        ("room.yaml", "internal_indicator: {pack: 250", "internal_indicator: {pack: 200"),
    ],
}
#: What these say of other cards is their titles and editions.
_ABOUT_CARDS = ("current", "move/training/")


@pytest.mark.parametrize("part", OTHERWISE)
def test_every_card_that_prints_something_of_the_starters_says_so(
    part: str, marked: tuple[Practice, Plan, Path], tmp_path: Path
) -> None:
    """Found by changing the part: each card that reads otherwise then has the mark, and names the part."""
    practice, plan, folder = marked
    shutil.copytree(folder, tmp_path / "other")
    for file, before, after in OTHERWISE[part]:
        edit(tmp_path / "other" / file, before, after)
    other = read_practice(tmp_path / "other")
    (ours,), (theirs,) = make_handbooks(practice, plan), make_handbooks(other, make_plan(other, days=20))
    changed = [
        card
        for card in ours.cards
        if card.id not in theirs.by_id or content(card) != content(theirs.by_id[card.id])
        if not card.id.startswith(_ABOUT_CARDS)
    ]
    assert len(changed) >= {"day": 8, "cassettes": 5, "room": 20}[part]
    words = {WORDS[part], ours.words(f"card.from-starter.short-{part}")}
    unmarked = []
    for card in changed:
        said = next((text for text in str(content(card)).split("'") if "From the starter, not yours" in text), "")
        unmarked += [] if any(word in said for word in words) else [card.id]
    assert not unmarked


def test_a_practice_that_states_all_has_no_mark(marked: tuple[Practice, Plan, Path], tmp_path: Path) -> None:
    shutil.copytree(marked[2], tmp_path / "own")
    edit(tmp_path / "own" / "practice.yaml", "from_starter: [day, cassettes, room]", "")
    own = read_practice(tmp_path / "own")
    (handbook,) = make_handbooks(own, marked[1])
    assert not [card.id for card in handbook.cards if "From the starter" in str(content(card))]


def test_a_name_that_is_told_later_takes_the_place_of_the_starters_and_of_no_other() -> None:
    told: dict[tuple[str, ...], str] = {("practice", "name"): "Harbour practice"}
    for name, after in (("Our practice", [{"name": "Harbour practice"}]), ("Tern & Juniper", [])):
        known = Known(answers=told, records={"practice": {"name": name}})
        found = completed(Found(), known)
        assert [record.fields for record in found.records] == after
        assert not found.doubts
