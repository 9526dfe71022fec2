"""What the forms ask for, against the guidance that asks for it."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

from kitdocs.document.blocks import Cell, FormGrid, Steps
from kitdocs.document.card import Card, Handbook
from kitdocs.planning.plan import Plan
from kitdocs.practice.model import Practice
from kitdocs.shipped import shipped_folder

LOGS = ("load-log", "spore-test-log", "repair-log")
ALL = (*LOGS, "round", "count-sheet", "piece-count", "training")


def grid(card: Card) -> FormGrid:
    (found,) = (block for block in card.blocks if isinstance(block, FormGrid))
    return found


def rows(card: Card) -> dict[str, tuple[Cell, ...]]:
    """The rows with something in them, without the heads of groups."""
    return {row[0].text: row for row in grid(card).given if len(row) > 1}


def said(card: Card) -> str:
    return " ".join(step.text for block in card.blocks if isinstance(block, Steps) for step in block.steps)


def test_every_form_is_a_card_in_a_section_of_its_own(example_handbooks: tuple[Handbook, ...]) -> None:
    for book in example_handbooks:
        forms = [card for card in book.cards if card.kind == "form"]
        assert [card.id for card in forms if card.id != "forms/maintenance-log"] == [f"forms/{name}" for name in ALL]
        assert len({card.section for card in forms}) == 1
        assert all(card.edition and card.in_binder for card in forms)
        assert dict(book.sections)[forms[0].section] == tuple(forms)


def test_the_load_log_has_the_readings_and_indicators_of_every_load(english: Handbook) -> None:
    # CDC, Best Practices for Sterilization Monitoring; Guidelines 2003, MMWR 52(RR-17), VI.F: time, temperature and
    # pressure of every load; an indicator inside every package, and outside where the inner one cannot be seen.
    card = english.card("forms/load-log")
    columns = " ".join(grid(card).columns).lower()
    asked = ("date", "load", "what is in it", "cycle", "time", "temp", "pressure", "external", "internal", "who")
    for word in (*asked, "remarks"):
        assert word in columns
    assert grid(card).fields[0] == "Sterilizer", "each sterilizer has a log of its own"
    assert "every load" in said(card) and "Implant-related pack (AK)" in said(card)


def test_the_spore_log_has_test_and_control_of_one_lot_and_comes_round_every_week(english: Handbook) -> None:
    # MMWR 52(RR-17), VI.F: at least weekly for each sterilizer, with a matching control of the same lot.
    card = english.card("forms/spore-test-log")
    columns = grid(card).columns
    for column in (
        "Sterilizer",
        "Load no.",
        "Lot, test",
        "Lot, control",
        "Growth in test?",
        "Growth in control?",
        "Read by",
    ):
        assert column in columns
    assert "What was done" in columns
    assert "at least once a week" in said(card) and "7 days" in said(card)
    assert "out of service" in said(card) and english.card("spore-test").title in said(card)


def test_the_repair_log_follows_an_instrument_out_and_back(english: Handbook) -> None:
    columns = " · ".join(grid(english.card("forms/repair-log")).columns)
    for word in ("Date", "Instrument", "it left", "wrong", "Spare put in?", "Sent on", "Back on"):
        assert word in columns


def test_the_count_sheet_has_everything_with_what_is_needed_and_no_number_to_count_against(
    english: Handbook, example: Practice, example_plan: Plan
) -> None:
    card = english.card("forms/count-sheet")
    listed = rows(card)
    kept = [instrument for instrument in example.instruments.values() if not instrument.single_use]
    assert len(kept) < len(example.instruments)
    things: list[Any] = [*kept, *example.cassettes.values(), *example.pouches.values()]
    assert list(listed) == [thing.name.in_language("en") for thing in things]
    assert all(row[0].picture for row in listed.values())
    for line in example_plan.orders.lines:
        assert listed[line.name.in_language("en")][1].text == str(line.need)
    # What is counted is left to the hand.
    assert grid(card).columns[2:] == ("On hand", "In repair", "Remarks")
    assert all(len(row) == 2 for row in listed.values())


def test_pieces_are_counted_when_a_pack_is_opened_and_before_it_is_closed(
    example_handbooks: tuple[Handbook, ...], example: Practice
) -> None:
    for book, boxes in zip(example_handbooks, (("Opened", "Closed"), ("Al abrir", "Al cerrar")), strict=True):
        card = book.card("forms/piece-count")
        packs: list[Any] = [*example.sets.values(), *example.pouches.values()]
        listed = rows(card)
        assert [(name, row[1].text) for name, row in listed.items()] == [
            (f"{pack.code} · {pack.name.in_language(book.language)}", str(sum(1 for _ in pack.contents)))
            for pack in packs
        ]
        # The boxes are left to the hand, and stand in pairs.
        assert all(len(row) == 2 for row in listed.values())
        assert grid(card).columns[2:] == boxes * 3
    counted = {name: row[1].text for name, row in rows(example_handbooks[0].card("forms/piece-count")).items()}
    # Counted by hand in sets.yaml and pouches.yaml.
    assert (counted["EX · Exam set"], counted["HK · Crimp hook pouch"]) == ("4", "1")


def test_a_topic_is_signed_with_the_edition_of_its_card_and_the_sheet_does_not_change_with_it(
    english: Handbook,
) -> None:
    columns = grid(english.card("forms/training")).columns
    assert columns[1:3] == ("By the card", "Edition")
    assert all(len(row) <= 2 for row in grid(english.card("forms/training")).given), "written by hand"


def test_the_sign_off_has_topics_of_every_task_and_names_cards_that_exist(english: Handbook, example: Practice) -> None:
    card = english.card("forms/training")
    heads = [row[0].text for row in grid(card).given if len(row) == 1]
    assert heads == ["At the chair", "In the reprocessing room", "In storage"]
    topics = rows(card)
    for of in topics.values():
        if of[1].link:
            assert english.card(of[1].link).title == of[1].text
        else:
            assert of[1].text in dict(english.sections)
    assert any(all(set_.code in topic for set_ in example.sets.values()) for topic in topics)


def test_no_form_label_or_survey_asks_about_a_person_treated() -> None:
    asked = re.compile(r"patient|birth|chart|paciente|nacimiento|expediente|historia cl", re.IGNORECASE)
    folder = shipped_folder("site_templates") / "words"
    files = [path for path in Path(folder).rglob("*.yaml") if path.stem in ("forms", "labels", "survey")]
    assert len(files) >= 4
    for path in files:
        assert not asked.search(path.read_text("utf-8")), path
