"""What was printed before is told with the handbook; what is to be exchanged follows from it."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from kitdocs.document.card import Card, Handbook
from kitdocs.document.edition import edition_of, with_edition
from kitdocs.document.history import EarlierEdition, WithdrawnCard
from kitdocs.handbook.build_handbook import make_handbooks
from kitdocs.planning.plan import Plan
from kitdocs.practice.model import Practice
from kitdocs.practice.printed import PrintRecord, PrintRun, TakenOut
from kitdocs.practice.reading.changes import FILE
from kitdocs.practice.reading.reader import read_practice
from kitdocs.practice.recording import run_text
from kitdocs.revisions.inputs import Moved, figures_kept, inputs_kept, moved
from kitdocs.revisions.loose_leaf import sheet_labels
from kitdocs.revisions.record import _free_name, chosen_cards, known_names, new_run, printed_card
from kitdocs.revisions.replacements import due_replacements, for_print, since_printed, with_history


def card(title: str, **more: object) -> Card:
    made = Card(id="r/teal", kind="refill-chair", form="wall", title=title, section="Wall", hangs="wall", front=())
    return with_edition(replace(made, **more))  # type: ignore[arg-type]


@pytest.fixture(scope="module")
def book(example_handbooks: tuple[Handbook, ...]) -> Handbook:
    return example_handbooks[0]


def chair(book: Handbook, title: str) -> Card:
    return with_edition(replace(book.card("r/chair-1"), title=title))


def printed(day: str, *cards: Card, follows: tuple[str, ...] = (), **more: object) -> PrintRun:
    kept = tuple(printed_card(each, "en", sheets=("4",)) for each in cards)
    return PrintRun(date=day, cards=kept, follows=follows, **more)


def test_every_edition_that_ever_hung_is_told_the_latest_first(book: Handbook) -> None:
    first, second, now = (chair(book, title) for title in ("Chair A", "Chair B", "Chair C"))
    record = PrintRecord(
        runs={"a": printed("2026-01-05", first), "b": printed("2026-02-02", second), "c": printed("2026-03-02", first)}
    )
    told = with_history(replace(book, cards=(now,)), record)
    assert told.earlier["r/chair-1"] == (
        EarlierEdition(edition=first.edition, printed="2026-03-02", changes=("Title: Chair A → Chair C",)),
        EarlierEdition(edition=second.edition, printed="2026-02-02", changes=("Title: Chair B → Chair C",)),
    )
    assert told.sheets == {"r/chair-1": ("4",)}
    assert told.withdrawn == ()
    assert (
        "r/chair-1"
        not in with_history(
            replace(book, cards=(first,)), PrintRecord(runs={"a": printed("2026-01-05", first)})
        ).earlier
    )


def test_after_many_exchanges_only_the_latest_are_told_one_by_one(book: Handbook) -> None:
    runs = {f"2026-01-{n:02}": printed(f"2026-01-{n:02}", chair(book, f"Chair {n}")) for n in range(1, 11)}
    told = with_history(replace(book, cards=(chair(book, "Chair 99"),)), PrintRecord(runs=runs)).earlier["r/chair-1"]
    assert len(told) == 10
    assert told[0].changes == ("Title: Chair 10 → Chair 99",)
    assert told[-1].changes == ("This card has been replaced 9 times since",)


def test_a_card_that_is_no_more_is_withdrawn_even_when_it_was_taken_down(book: Handbook) -> None:
    closed = chair(book, "Chair 1")
    down = PrintRun(date="2026-02-02", taken_out=(TakenOut(card="r/chair-1", language="en"),))
    record = PrintRecord(runs={"a": printed("2026-01-05", closed), "b": down})
    told = with_history(replace(book, cards=()), record)
    assert told.withdrawn == (
        WithdrawnCard(id="r/chair-1", title="Chair 1", subtitle="Teal", hangs=closed.hangs, editions=(closed.edition,)),
    )
    assert due_replacements(record, [replace(book, cards=())]) == {}
    still_up = due_replacements(PrintRecord(runs={"a": printed("2026-01-05", closed)}), [replace(book, cards=())])["en"]
    assert [(each.action, each.card, each.old_edition, each.sheets) for each in still_up] == [
        ("take-out", "r/chair-1", closed.edition, ("4",))
    ]


def test_the_list_of_current_cards_does_not_repeat_what_is_told_of_each_card(book: Handbook) -> None:
    first = replace(book, cards=(card("Refill: Chair 1"),))
    hung = [printed_card(replace(book.card("current"), edition="PPPPP"), "en")]
    record = PrintRecord(runs={"2026-01-10-CCCCC": PrintRun(date="2026-01-10", cards=tuple(hung))})
    now = with_edition(replace(book.card("current"), front=book.card("current").front[:2], edition="KKKKK"))
    (told,) = (each for each in due_replacements(record, [replace(first, cards=(now,))])["en"])
    assert told.changes == ("The list shows the new editions",)


def test_a_card_about_which_two_records_of_a_day_disagree_is_exchanged_and_recorded_anew(
    example: Practice, example_plan: Plan, book: Handbook
) -> None:
    ours, theirs = card("Refill: Chair 1"), card("Refill: Chair A")
    runs = {
        name: PrintRun(date="2026-11-25", cards=(printed_card(of, "en"),)) for name, of in (("a", ours), ("b", theirs))
    }
    record = PrintRecord(runs=runs)
    now = replace(book, cards=(theirs,))
    (told,) = due_replacements(record, [now])["en"]
    assert told.changes[0].startswith(
        f"Two records from the same day disagree on the edition posted here ({ours.edition}, "
    )
    run = new_run(replace(example, printed=record), example_plan, [now], day="2026-11-25")
    assert run and [each.edition for each in run.run.cards] == [theirs.edition]
    assert due_replacements(PrintRecord(runs=runs | {run.name: run.run}), [now]) == {}


def test_a_card_that_moved_to_another_section_gets_a_label_there_and_its_old_one_stays_taken(book: Handbook) -> None:
    cards = [replace(card(id_), id=id_, section=section) for id_, section in zip("abcde", "AAABB", strict=True)]
    first = replace(book, cards=tuple(with_edition(each) for each in cards))
    labels = sheet_labels([(each.id, 1) for each in cards], {})
    hung = [printed_card(each, "en", labels[each.id]) for each in first.cards]
    record = PrintRecord(runs={"2026-01-10-CCCCC": PrintRun(date="2026-01-10", cards=tuple(hung))})
    moved = [*cards[:1], *cards[2:3], replace(cards[1], section="B"), *cards[3:]]
    told = with_history(replace(first, cards=tuple(moved)), record)
    now = sheet_labels([(each.id, 1) for each in moved], told.sheets)
    assert now == {"a": ("1",), "c": ("3",), "b": ("3A",), "d": ("4",), "e": ("5",)}
    renamed = [*cards[:3], *(replace(each, section="C") for each in cards[3:])]
    assert with_history(replace(first, cards=tuple(renamed)), record).sheets == labels, "a section with another name"


def test_a_page_that_is_only_on_the_site_is_never_printed(book: Handbook) -> None:
    page = replace(chair(book, "Chair 1"), form="page")
    assert due_replacements(PrintRecord(), [replace(book, cards=(page,))]) == {}


def test_what_is_recorded_already_is_not_recorded_again(
    example: Practice, example_plan: Plan, example_handbooks: tuple[Handbook, ...]
) -> None:
    new = new_run(example, example_plan, example_handbooks, day="2026-11-25", by="lead", chosen=("wall",))
    assert new and {card.place for card in new.run.cards} == {"wall"}
    assert new == new_run(example, example_plan, example_handbooks, day="2026-11-25", by="lead", chosen=("wall",))
    recorded = replace(example, printed=PrintRecord(runs={new.name: new.run}))
    assert new_run(recorded, example_plan, example_handbooks, day="2026-11-26", chosen=("wall",)) is None
    rest = new_run(recorded, example_plan, example_handbooks, day="2026-11-26")
    assert rest and rest.run.follows == (new.name,)
    assert not {card.key for card in rest.run.cards} & {card.key for card in new.run.cards}
    printed_ones = {(c.id, book.language) for book in example_handbooks for c in book.kept}
    assert {card.key for run in (new.run, rest.run) for card in run.cards} == printed_ones


def test_figures_and_inputs_that_moved_are_told_beside_each_other(
    example: Practice, example_plan: Plan, example_handbooks: tuple[Handbook, ...]
) -> None:
    run = new_run(example, example_plan, example_handbooks, day="2026-11-25")
    assert run
    before = {**run.run.figures, "stock.core": 20}
    older = run.run.model_copy(
        update={"figures": before, "inputs": {**run.run.inputs, "procedures.chain.per_day": 7.0}}
    )
    record = PrintRecord(runs={run.name: older})
    since = since_printed(replace(example, printed=record), example_plan, example_handbooks)
    assert since.current and since.since == run.name
    assert since.figures == (Moved(id="stock.core", before=20, after=run.run.figures["stock.core"]),)
    assert since.inputs == (Moved(id="procedures.chain.per_day", before=7.0, after=9.0),)


def test_every_input_is_kept_as_the_folder_can_take_it_back(example: Practice) -> None:
    """`kitdocs plan --set` is pointed to: what was kept is what may be written there."""
    kept = inputs_kept(example)
    assert len(kept) > 100
    what_ifs = {path: f"{value:g}" if isinstance(value, float) else str(value) for path, value in kept.items()}
    again = read_practice(example.folder, what_ifs)
    assert inputs_kept(again) == kept
    assert again.places.value("procedures", "wire-change", "per_day").file == FILE


@pytest.mark.parametrize(
    ("path", "value"),
    [
        ("practice.day.opens", "07:45"),
        ("practice.day.closes", "18:30"),
        ("room.setup", "7 min"),
        ("room.carry", "3 min"),
        ("room.stages.wash.machines", 3),
        ("room.stages.wash.cycle", "54 min"),
        ("room.stages.wash.wait", "11 min"),
        ("room.stages.wash.capacity.slim", 5),
        ("room.stages.pack.people", 3),
        ("room.stages.pack.per_cassette", "9 min"),
        ("room.stages.pack.per_pouch", "8 min"),
        ("room.stages.cool.takes", "41 min"),
        ("procedures.chain.per_day", 12.5),
        ("procedures.chain.minutes", "35 min"),
    ],
)
def test_an_input_that_somebody_changes_is_told_before_and_after(
    example: Practice, path: str, value: str | float
) -> None:
    before = inputs_kept(example)
    after = inputs_kept(read_practice(example.folder, {path: str(value)}))
    assert moved(before, after) == (Moved(id=path, before=before[path], after=value),)


def test_when_visits_are_booked_and_how_they_are_kept_is_an_input_too(example: Practice) -> None:
    written = {
        "practice.book": "packed",
        "practice.overrun": "{share: 30%, median: 8 min, most: 25 min}",
        "procedures.bonding.when": "{8 am to 10 am: 60%, afternoon: 20%}",
        "procedures.chain.when": "morning",
        "procedures.chain.no_shows": "3%",
    }
    kept = inputs_kept(read_practice(example.folder, written))
    new = {each.id: str(each.after) for each in moved(inputs_kept(example), kept)}
    assert new == {
        "practice.book": "packed",
        "practice.overrun.share": "30%",
        "practice.overrun.median": "8 min",
        "practice.overrun.most": "25 min",
        "procedures.bonding.when.08:00-10:00": "60%",
        "procedures.bonding.when.afternoon": "20%",
        "procedures.chain.when": "morning",
        "procedures.chain.no_shows": "3%",
    }
    assert inputs_kept(read_practice(example.folder, {**written, **new})) == kept, "--set takes each back"


def test_what_is_no_more_comes_last() -> None:
    assert [each.id for each in moved({"b": 1, "c": 2, "a": 1}, {"a": 2, "b": 1, "d": 1})] == ["a", "d", "c"]


def test_cards_of_a_language_that_is_given_up_are_taken_out_with_the_first_language(
    example: Practice, example_plan: Plan, example_handbooks: tuple[Handbook, ...]
) -> None:
    run = new_run(example, example_plan, example_handbooks, day="2026-11-25")
    assert run
    recorded = replace(
        example,
        printed=PrintRecord(runs={run.name: run.run}),
        settings=example.settings.model_copy(update={"languages": ("en",)}),
    )
    books = make_handbooks(recorded, example_plan)
    since = since_printed(recorded, example_plan, books)
    spanish = example_handbooks[1]
    ((book, to_do),) = for_print(since, books)
    assert book.language == "en"
    assert {each.action for each in to_do} == {"take-out"}
    assert [each.title for each in to_do] == [card.title for card in spanish.kept]


def test_the_record_holds_no_path_of_the_machine(
    example: Practice, example_plan: Plan, example_handbooks: tuple[Handbook, ...]
) -> None:
    run = new_run(example, example_plan, example_handbooks, day="2026-11-25")
    assert run and str(Path(example.folder).parent) not in run_text(run.run)


def test_a_card_is_chosen_by_id_kind_or_place_and_one_that_is_gone_by_id_or_place(book: Handbook) -> None:
    now = replace(book, cards=(card("Refill: Chair 1", place="wall"),))
    gone = card("Drawer: Chair 9", id="drawer/plum", kind="pouch-list", place="drawer")
    record = PrintRecord(runs={"a": printed("2026-01-05", gone)})
    assert known_names([now], record) == {"r/teal", "refill-chair", "wall", "drawer/plum", "drawer", "labels"}
    assert chosen_cards(["r/teal, wall"], [now], record) == ("r/teal", "wall")
    with pytest.raises(ValueError, match=r"named 'r/teel'; did you mean 'r/teal'\?$"):
        chosen_cards(["r/teel"], [now], record)
    with pytest.raises(ValueError, match=r"named 'zzzzzz'; see 'kitdocs printed --help'; the places are: .*wall"):
        chosen_cards(["zzzzzz"], [book], record)


def test_a_run_is_named_by_its_day_and_text_and_by_a_turn_where_that_name_is_taken(
    example: Practice, example_plan: Plan, book: Handbook
) -> None:
    now = replace(book, cards=(chair(book, "Chair 1"),))
    first = new_run(example, example_plan, [now], day="2026-11-25")
    assert first and first.name == f"2026-11-25-{edition_of(run_text(first.run))}"
    other = first.run.model_copy(update={"by": "somebody else"})
    assert _free_name(PrintRecord(runs={first.name: other}), first.run) == (
        f"2026-11-25-{edition_of([run_text(first.run), 1])}"
    )


def test_figures_are_compared_with_the_last_run_that_has_some(
    example: Practice, example_plan: Plan, example_handbooks: tuple[Handbook, ...]
) -> None:
    new = new_run(example, example_plan, example_handbooks, day="2026-11-20")
    assert new
    down = PrintRun(date="2026-11-25", follows=(new.name,), taken_out=(TakenOut(card="r/plum", language="en"),))
    record = PrintRecord(runs={new.name: new.run, "2026-11-25-DDDDD": down})
    since = since_printed(replace(example, printed=record), example_plan, example_handbooks)
    assert (since.since, since.date, since.figures, since.inputs) == (new.name, "2026-11-20", (), ())


def test_the_figures_that_people_work_by_are_kept(example_plan: Plan) -> None:
    kept = figures_kept(example_plan)
    assert {id_.split(".")[0] for id_ in kept} == {"stock", "pouches", "par", "turnaround", "day"}
    assert {id_: kept[id_] for id_ in kept if id_.startswith("par.")} == {
        f"par.{chair}.{pouch}": par for (chair, pouch), par in example_plan.par.items()
    }
