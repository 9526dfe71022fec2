"""Ways to a wish: each comes to what the plan says of a folder that is changed so; the cheapest come first."""

from __future__ import annotations

import json
from collections import Counter
from dataclasses import replace
from decimal import Decimal
from itertools import combinations
from pathlib import Path
from types import MappingProxyType

import pytest
from asking import Ask
from editing import edit

import kitdocs.proposing.ways_out as searched
from kitdocs.command.ways_answer import name_of, notes, reached
from kitdocs.document.catalog import catalog_for
from kitdocs.planning.buying.orders import order_list, uses_per_day
from kitdocs.planning.buying.placement import orders_for, taken_per_day
from kitdocs.planning.day.run import BusyDays, busy_days, drawn_days
from kitdocs.planning.plan import make_plan
from kitdocs.practice.message import message
from kitdocs.practice.model import Practice
from kitdocs.practice.problems import PracticeError
from kitdocs.practice.reading.reader import read_practice
from kitdocs.practice.room import Candidate
from kitdocs.practice.values import clock_text
from kitdocs.proposing.earliest import earliest_end
from kitdocs.proposing.outcomes import one_more, outcome_of
from kitdocs.proposing.purse import spend
from kitdocs.proposing.ways import Change, SingleChange, first_year, together, ways_of
from kitdocs.proposing.ways_out import WayOut, WaysOut, Wish, ways_out
from kitdocs.starter import start

DAYS = 30
CANDIDATES = """
candidates:
  washer:
    name: A second washer
    stage: wash
    price: 4000
  packer:
    name: A second packer
    stage: pack
    each_day: 10
"""


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("ways") / "ours"
    start(folder)
    with (folder / "room.yaml").open("a", encoding="utf-8") as room:
        room.write(CANDIDATES)
    return folder


@pytest.fixture(scope="module")
def practice(folder: Path) -> Practice:
    return read_practice(folder)


@pytest.fixture(scope="module")
def ran(practice: Practice) -> BusyDays:
    return busy_days(practice, days=DAYS)


@pytest.fixture(scope="module")
def earlier(practice: Practice, ran: BusyDays) -> WaysOut:
    """Ways to a day that ends five minutes earlier."""
    return ways_out(practice, Wish(ends=round(ran.ends.median / 60) - 5), days=DAYS)


def of(answer: WaysOut, *ids: str) -> WayOut:
    return next(found for found in answer.found if tuple(way.id for way in found.ways) == ids)


@pytest.mark.whole
@pytest.mark.parametrize(
    ("way", "changes", "price"),
    [
        ("candidates.washer", {"room.stages.wash.machines": "2"}, 4000),
        ("candidates.packer", {"room.stages.pack.people": "2"}, 10 * 5 * 52),
        ("at-once.wash", {"room.stages.wash.wait": "0 min"}, 0),
        ("machine.sterilize", {"room.stages.sterilize.machines": "2"}, 0),
    ],
)
def test_a_way_comes_to_what_the_plan_of_a_folder_that_is_changed_so_says(
    folder: Path, practice: Practice, way: str, changes: dict[str, str], price: int
) -> None:
    """The other road to the number: `kitdocs plan --set`."""
    ways = {one.id: one for one in ways_of(practice)}
    plan = make_plan(read_practice(folder, changes), days=DAYS)
    changed = together(ways, (way,))(practice)
    outcome = outcome_of(changed, busy_days(changed, days=DAYS), None, ways[way].price or Decimal(0))
    assert outcome.money == plan.orders.total + price
    assert outcome.ends == plan.days.ends.median / 60
    assert outcome.chance == plan.days.promises.all.kept


LARGE = """
large:
  name: Large cassette
  inside: {length: 190 mm, width: 280 mm, height: 28 mm}
  outside: {length: 8 in, width: 12 in, height: 1.25 in}
  rails: 2
  price: 150
"""


@pytest.mark.whole
def test_a_larger_cassette_takes_in_what_every_visit_of_a_procedure_brings(tmp_path: Path) -> None:
    """The other road to the number: `kitdocs plan --set`. Tried only if every machine takes it and a sheet wraps it."""
    start(tmp_path / "ours")
    with (tmp_path / "ours" / "cassettes.yaml").open("a", encoding="utf-8") as cassettes:
        cassettes.write(LARGE)
    assert not [way for way in ways_of(read_practice(tmp_path / "ours")) if way.id.startswith("larger.")]
    edit(
        tmp_path / "ours" / "room.yaml", "capacity: {slim: 16, medium: 8,", "capacity: {slim: 16, medium: 8, large: 4,"
    )
    assert not [way for way in ways_of(read_practice(tmp_path / "ours")) if way.id.startswith("larger.")]
    edit(tmp_path / "ours" / "room.yaml", "capacity: {slim: 8, medium: 6,", "capacity: {slim: 8, medium: 6, large: 3,")
    assert not [way for way in ways_of(read_practice(tmp_path / "ours")) if way.id.startswith("larger.")]
    edit(tmp_path / "ours" / "room.yaml", "side: 18 in", "side: 24 in")
    practice = read_practice(tmp_path / "ours")
    (way,) = [way for way in ways_of(practice) if way.id.startswith("larger.")]
    assert way.id == "larger.adjustment.reposition"
    contents = [*practice.sets["adjustment"].contents, *practice.pouches["reposition"].contents]
    changes = {
        "sets.adjustment.cassette": "large",
        "sets.adjustment.contents": f"[{', '.join(contents)}]",
        "procedures.bracket-reposition.add_ons": "{}",
    }
    plan = make_plan(read_practice(tmp_path / "ours", changes), days=DAYS)
    changed = way.change(practice)
    outcome = outcome_of(changed, busy_days(changed, days=DAYS), None)
    assert (outcome.money, outcome.ends) == (plan.orders.total, plan.days.ends.median / 60)


@pytest.mark.whole
def test_what_reaches_the_wish_comes_first_the_cheapest_first_and_what_has_no_price_after_it(earlier: WaysOut) -> None:
    assert not earlier.is_there
    assert earlier.wish.ends is not None
    places = [(not found.reaches, not found.priced) for found in earlier.found]
    assert places == sorted(places)
    for found in earlier.found:
        assert found.reaches == (found.outcome.ends <= earlier.wish.ends)
        assert found.outcome.ends < earlier.now.ends
    reaching = [found.more for found in earlier.found if found.reaches and found.priced]
    assert reaching == sorted(reaching)
    nearer = [found.each for found in earlier.found if not found.reaches and found.priced]
    assert nearer == sorted(nearer, key=lambda each: each or 0.0)
    pairs = [found for found in earlier.found if len(found.ways) == 2]
    assert pairs and all(one.at != other.at for one, other in (found.ways for found in pairs))


@pytest.mark.whole
def test_the_same_folder_gives_the_same_ways(practice: Practice) -> None:
    first, second = (ways_out(practice, Wish(ends=19 * 60), days=8) for _ in range(2))
    told = [
        [([way.id for way in found.ways], found.more, found.outcome) for found in answer.found]
        for answer in (first, second)
    ]
    assert told[0] == told[1]
    assert told[0]


@pytest.mark.whole
def test_where_nothing_reaches_it_what_comes_nearest_is_known(practice: Practice) -> None:
    answer = ways_out(practice, Wish(ends=10 * 60), days=8)
    assert answer.found and not any(found.reaches for found in answer.found)
    assert answer.nearest is not None
    assert answer.nearest.outcome.ends == min(found.outcome.ends for found in answer.found)


def test_one_more_of_a_kind_keeps_just_the_days_on_which_that_was_all_there_lacked(
    practice: Practice, ran: BusyDays
) -> None:
    """Counted day by day, without the bits that the counts are chosen with."""
    sets, drawers = ran.chosen_sets, ran.chosen_drawers
    found = {way.id.removeprefix("one-more."): outcome for way, outcome in one_more(practice, ran)}
    for kind in sets.needs.kinds:
        counts = {**sets.counts, kind: sets.counts[kind] + 1}
        kept = sum(
            all(need.by_day[day] <= counts[one] for one, need in sets.needs.kinds.items())
            and all(need.by_day[day] <= drawers.counts[slot] for slot, need in drawers.needs.kinds.items())
            for day in range(ran.days)
        )
        assert (found[kind].chance.kept if kind in found else ran.promises.all.kept.kept) == kept


def test_a_chance_is_reached_with_counts_that_keep_it_and_costs_what_they_cost(
    practice: Practice, ran: BusyDays
) -> None:
    for chance in (0.7, 0.9, 0.99):
        outcome = outcome_of(practice, ran, chance)
        assert outcome.chance.share >= chance
    costs = [outcome_of(practice, ran, chance).money for chance in (0.5, 0.9, 0.99)]
    assert costs == sorted(costs)
    assert set(outcome_of(practice, ran, 0.9).own) == {*ran.stock, *ran.pouch_stock}


@pytest.mark.whole
def test_a_purse_has_ways_and_steps(practice: Practice, ran: BusyDays) -> None:
    now = outcome_of(practice, ran, None).money
    answer = ways_out(practice, Wish(budget=now / 2), days=DAYS)
    assert answer.spent is not None and answer.spent.steps[-1].spent <= now / 2
    assert all(found.outcome.money < now and found.gain == float(-found.more) for found in answer.found if found.gain)
    there = ways_out(practice, Wish(budget=now + 1), days=8)
    assert (there.is_there, there.found, there.tried) == (True, (), 0)


@pytest.mark.parametrize("share", [Decimal("0.3"), Decimal("0.7"), Decimal(2)])
def test_each_step_of_a_purse_is_counted_day_by_day_and_costs_what_is_told(
    practice: Practice, ran: BusyDays, share: Decimal
) -> None:
    """The order list is made anew for what there is after each step, and the days are counted one by one."""
    purse = orders_for(practice, ran).total * share
    spent = spend(practice, ran, purse, (), lambda made: None)
    assert (spent.made, spent.falls, spent.tried) == ((), (), 0)
    sets, drawers = ran.chosen_sets.needs, ran.chosen_drawers.needs
    plan = {**ran.stock, **ran.pouch_stock}
    for step in (each.packs for each in spent.steps):
        own = step.own
        orders = order_list(
            practice,
            sets_to_own={id_: n for id_, n in own.items() if id_ in practice.sets},
            pouches_to_own={id_: n for id_, n in own.items() if id_ in practice.pouches},
            uses_per_day=uses_per_day(practice, taken_per_day(ran)) if own == plan else {},
        )
        assert orders.total == step.spent <= purse
        in_store = own if own != plan else ran.chosen_sets.counts
        kept = sum(
            all(need.by_day[day] <= in_store[kind] for kind, need in sets.kinds.items())
            and all(need.by_day[day] <= step.drawers[slot] for slot, need in drawers.kinds.items())
            for day in range(ran.days)
        )
        assert step.kept.kept == kept
    first, *others = spent.steps
    assert first.spent == 0
    added = sum((Counter(packs) for _, packs in spent.bought()), Counter(first.packs.own))
    assert added == Counter(others[-1].packs.own)


def _helps_only_with(practice: Practice, other: str) -> list[SingleChange]:
    """Changes of which two shorten the day only when both are made: what one does is not used without the other."""

    def named(one: Practice) -> Practice:
        return replace(one, settings=one.settings.model_copy(update={"service": 0.9}))

    def faster(one: Practice) -> Practice:
        if one.settings.service != 0.9:
            return one
        return together({way.id: way for way in ways_of(practice)}, ("machine.sterilize",))(one)

    at = {"one": "stage.one", "other": "person.other"}
    return [
        SingleChange(id="full", at="start.wash", name=message("propose.way.more"), change=lambda one: one),
        SingleChange(id="one", at=at["one"], name=message("propose.way.more"), change=named),
        SingleChange(id="idle", at="restock", name=message("propose.way.more"), change=lambda one: one),
        SingleChange(id=other, at=at["other"], name=message("propose.way.more"), change=faster),
    ]


def test_two_changes_that_help_only_together_are_found_and_what_was_not_tried_is_counted(
    practice: Practice, ran: BusyDays, monkeypatch: pytest.MonkeyPatch
) -> None:
    changes = _helps_only_with(practice, "other")
    monkeypatch.setattr(searched, "ways_of", lambda practice: iter(changes))
    wish = Wish(ends=round(ran.ends.median / 60) - 5)
    answer = ways_out(practice, wish, days=8)
    assert [tuple(way.id for way in found.ways) for found in answer.found] == [("one", "other")]
    assert (answer.tried, answer.twos_left) == (4 + 6, 0), "the two reach it: no three were tried"
    monkeypatch.setattr(searched, "OTHER_TWOS", 1)
    fewer = ways_out(practice, wish, days=8)
    assert [tuple(way.id for way in found.ways) for found in fewer.found] == [("one", "other")], "the likeliest first"
    assert (fewer.tried, fewer.twos_left) == (4 + 1, 5)


def _only_all_three(practice: Practice) -> list[SingleChange]:
    """Three changes of which the last does something only when the other two are made, and two that do nothing."""

    def marked(mark: str) -> Change:
        return lambda one: replace(one, words=MappingProxyType({**one.words, mark: MappingProxyType({})}))

    def faster(one: Practice) -> Practice:
        if not {"xa", "xb"} <= set(one.words):
            return one
        return together({way.id: way for way in ways_of(practice)}, ("machine.sterilize",))(one)

    def same(one: Practice) -> Practice:
        return one

    made = {"idle": same, "a": marked("xa"), "b": marked("xb"), "lazy": same, "z": faster}
    return [
        SingleChange(id=id_, at=f"stage.{id_}", name=message("propose.way.more"), change=change)
        for id_, change in made.items()
    ]


def test_three_changes_that_help_only_together_are_found_where_no_fewer_reach_the_wish(
    practice: Practice, ran: BusyDays, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(searched, "ways_of", lambda practice: iter(_only_all_three(practice)))
    wish = Wish(ends=round(ran.ends.median / 60) - 5)
    answer = ways_out(practice, wish, days=8)
    assert [tuple(way.id for way in found.ways) for found in answer.found] == [("a", "b", "z")]
    assert (answer.tried, answer.threes, answer.threes_left) == (5 + 10 + 10, 10, 0)
    words = catalog_for("en", {})
    one_two_three = name_of(words, answer.found[0])
    assert one_two_three == "More sets and pouches alone; More sets and pouches alone; and More sets and pouches alone"
    assert any(line.startswith("Neither one change nor two reach it, so 10 threes") for line in notes(words, answer))
    monkeypatch.setattr(searched, "THREES", 4)
    fewer = ways_out(practice, wish, days=8)
    assert (fewer.threes, fewer.threes_left) == (4, 6)


def test_where_two_reach_the_wish_no_three_are_tried(
    practice: Practice, ran: BusyDays, monkeypatch: pytest.MonkeyPatch
) -> None:
    changes = _helps_only_with(practice, "other")
    monkeypatch.setattr(searched, "ways_of", lambda practice: iter(changes))
    answer = ways_out(practice, Wish(ends=round(ran.ends.median / 60) - 5), days=8)
    assert any(found.reaches for found in answer.found)
    assert (answer.threes, answer.threes_left) == (0, 4)
    assert "Threes were not tried" in " ".join(notes(catalog_for("en", {}), answer))


@pytest.mark.whole
def test_the_threes_that_are_tried_hold_the_best_of_all_threes(practice: Practice) -> None:
    """Held against every three of the starter's changes, each run by itself; within a minute of the best."""
    days = 12
    answer = ways_out(practice, Wish(ends=10 * 60), days=days)
    ways = {way.id: way for way in ways_of(practice)}
    best = answer.now.ends
    every = [ids for ids in combinations(ways, 3) if len({ways[id_].at for id_ in ids}) == 3]
    for ids in every:
        changed = together(ways, ids)(practice)
        try:
            best = min(best, busy_days(changed, days=days).ends.median / 60)
        except PracticeError:
            continue
    assert 0 < answer.threes < len(every) == answer.threes + answer.threes_left
    assert min(found.outcome.ends for found in answer.found) <= best + 1


def test_of_two_changes_one_of_which_does_it_all_only_that_one_is_told(
    practice: Practice, monkeypatch: pytest.MonkeyPatch
) -> None:
    ways = {way.id: way for way in ways_of(practice)}
    idle = SingleChange(id="idle", at="book", name=message("propose.way.more"), change=lambda one: one)
    monkeypatch.setattr(searched, "ways_of", lambda practice: iter([idle, ways["machine.sterilize"]]))
    answer = ways_out(practice, Wish(ends=10 * 60), days=8)
    assert [tuple(way.id for way in found.ways) for found in answer.found] == [("machine.sterilize",)]
    assert answer.tried == 3


@pytest.mark.whole
def test_stopping_gives_the_best_so_far(practice: Practice, monkeypatch: pytest.MonkeyPatch) -> None:
    calls = []

    def stopped(*of: object, **named: object) -> BusyDays:
        calls.append(of)
        if len(calls) == 5:
            raise KeyboardInterrupt
        return busy_days(*of, **named)  # type: ignore[arg-type]

    monkeypatch.setattr(searched, "busy_days", stopped)
    answer = ways_out(practice, Wish(ends=19 * 60), days=8)
    assert (answer.stopped, answer.tried) == (True, 3)
    assert [way.id for found in answer.found for way in found.ways]


def test_what_is_paid_by_the_day_is_counted_for_a_year(practice: Practice) -> None:
    candidate = Candidate.model_validate({"name": "A", "stage": "pack", "price": 100, "each_day": 10})
    assert first_year(practice, candidate) == 100 + 10 * practice.settings.day.per_week * 52
    assert first_year(practice, Candidate.model_validate({"name": "A", "stage": "pack"})) is None


def test_people_stay_longer_and_the_room_with_them(practice: Practice) -> None:
    person = {"name": "T", "hours": {"start": "07:30", "end": "16:30"}}
    room = type(practice.room).model_validate(
        {
            **practice.room.model_dump(include={"setup", "carry"}),
            "setup": "5 min",
            "carry": "3 min",
            "restock": ["08:00"],
            "stages": {
                "pack": {
                    "name": "P",
                    "area": "packaging",
                    "kind": "hand",
                    "per_cassette": "1 min",
                    "per_pouch": "1 min",
                }
            },
            "sheets": {},
            "pouch_sizes": {},
            "closes": "17:00",
            "people": {"technician": person},
            "candidates": {"stay": {"name": "Stay", "person": "technician", "longer": "2 h", "each_day": 40}},
        }
    )
    ways = {way.id: way for way in ways_of(replace(practice, room=room, sets=MappingProxyType({})))}
    assert not {"person.technician", "hands.pack"} & set(ways)
    stays = ways["candidates.stay"].change(replace(practice, room=room)).room
    assert (stays.people["technician"].hours.end, stays.closes) == (18 * 60 + 30, 18 * 60 + 30)


@pytest.mark.parametrize(
    ("old", "new", "said"),
    [
        ("stage: wash\n    price", "stage: wahs\n    price", "there is no stage 'wahs'"),
        ("stage: pack\n    each_day", "person: ana\n    each_day", "there is nobody 'ana'"),
        ("stage: pack\n    each_day", "person: ana\n    stage: pack\n    each_day", "of a stage or of a person"),
    ],
)
def test_a_candidate_of_what_is_not_there_is_told(tmp_path: Path, old: str, new: str, said: str) -> None:
    start(tmp_path / "ours")
    with (tmp_path / "ours" / "room.yaml").open("a", encoding="utf-8") as room:
        room.write(CANDIDATES)
    edit(tmp_path / "ours" / "room.yaml", old, new)
    with pytest.raises(PracticeError, match=said):
        read_practice(tmp_path / "ours")


@pytest.mark.whole
def test_the_command_says_the_ways_in_words_and_as_json(folder: Path, ask: Ask, tmp_path: Path) -> None:
    es = ask("propose", folder, "--ends", "20:00", "--language", "es")
    words = " ".join(es.out.split())
    assert es.status == 0
    assert "Caminos para que: el día termine a más tardar a las 20:00" in words
    assert "en los mismos días con la misma suerte" in words and "Por minuto" in words
    assert ("Nada de lo que se probó lo logra" in words) == (" sí " not in words)
    said = json.loads(ask("propose", folder, "--chance", "99%", "--json").out)
    assert (said["wish"], said["is_there"]) == ({"ends": None, "budget": None, "chance": 0.99}, False)
    assert any(way["ids"] == [] and way["reaches"] for way in said["ways"])
    assert all(way["nothing_short"] >= 0.99 for way in said["ways"] if way["reaches"])
    assert (said["ends_never_before"], said["last_set"]) == (None, None)
    early = json.loads(ask("propose", folder, "--ends", "23:50", "--json").out)
    last = early["last_set"]
    assert last["visit_ends"] + last["needs_minutes"] == pytest.approx(early["ends_never_before"], abs=0.11)
    assert last["id"] in read_practice(folder).sets
    rich = ask("propose", folder, "--budget", "90000").out
    assert "That is so already." in rich
    assert "what to buy first, and the chance after each step" in rich
    tight = json.loads(ask("propose", folder, "--budget", "900", "--json").out)["in_steps"]
    assert [float(step["spent"]) <= 900 for step in tight["steps"]] == [True] * len(tight["steps"])
    chances = [step["nothing_short"] for step in tight["steps"]]
    assert chances == sorted(chances) and tight["less_after_step"] == []
    assert all(step["buy"] or step["candidates"] for step in tight["steps"][1:])


def test_a_wish_that_cannot_be_read_is_told(started: Path, ask: Ask, tmp_path: Path) -> None:
    assert "is not a time of day" in ask("propose", started, "--ends", "late").err
    assert "no number of sets is enough on 100 %" in ask("propose", started, "--chance", "100%").err
    both = ask("propose", started, "--ends", "17:30", "--to", tmp_path / "new")
    assert (both.status, (tmp_path / "new").exists()) == (2, False)


def without(practice: Practice, *instruments: str) -> Practice:
    """The practice with no price for these."""
    free = {i: practice.instruments[i].model_copy(update={"price": None}) for i in instruments}
    return replace(practice, instruments={**practice.instruments, **free})


def test_what_has_no_price_is_counted_in_pieces_and_is_never_the_cheapest(practice: Practice, ran: BusyDays) -> None:
    """Money and pieces of each way together are what the same way comes to with all prices."""
    wish, bare = Wish(chance=0.99), without(practice, "weingart", "bird-beak")
    priced, told = (ways_out(one, wish, days=DAYS) for one in (practice, bare))
    assert told.now.pieces == sum(told.now.unpriced.values()) > 0
    assert set(told.now.unpriced) <= {"weingart", "bird-beak"}
    prices = {i: practice.instruments[i].price or 0 for i in ("weingart", "bird-beak")}
    for one in told.found:
        free = sum(prices[i] * n for i, n in one.outcome.unpriced.items())
        other = [found for found in priced.found if found.outcome.own == one.outcome.own and found.ways == one.ways]
        assert all(found.outcome.money == one.outcome.money + free for found in other)
        assert one.pieces == one.outcome.pieces - told.now.pieces
    for some in ([one for one in told.found if one.reaches], [one for one in told.found[1:] if not one.reaches]):
        assert [one.priced for one in some] == sorted((one.priced for one in some), reverse=True)
    assert any(one.pieces > 0 and not one.priced for one in told.found)
    words = catalog_for("en", {})
    lines = " ".join(notes(words, told))
    assert "price the folder does not state (Weingart plier, Bird-beak plier)" in lines


def test_of_a_purse_that_nothing_reaches_the_nearest_is_the_first_and_saves_most(folder: Path) -> None:
    slow = {"room.stages.wash.cycle": "80 min", "room.stages.wash.wait": "90 min", "room.candidates.washer.price": "10"}
    answer = ways_out(read_practice(folder, slow), Wish(budget=Decimal(1)), days=DAYS)
    assert answer.found and not any(one.reaches for one in answer.found)
    assert answer.nearest is answer.found[0]
    assert answer.nearest.more == min(one.more for one in answer.found if one.priced)
    known = [one.more for one in answer.found if one.priced]
    assert known == sorted(known) and len(known) < len(answer.found), "what has no price comes behind"


def test_before_when_a_day_ends_in_no_way_is_no_later_than_it_ends_with_a_room_that_never_lets_wait(
    practice: Practice, ran: BusyDays
) -> None:
    """A second road: the same days in a room with a hundred machines and hands, that start at once."""
    found = earliest_end(practice, drawn_days(practice, days=DAYS)[1:])
    assert found is not None
    assert found.at == pytest.approx(found.last + found.needs)
    stages = {
        id_: stage.model_copy(
            update={"machines": 100, "wait": 0.0}
            if stage.kind == "machine"
            else {"people": 100}
            if stage.kind == "hand"
            else {}
        )
        for id_, stage in practice.room.stages.items()
    }
    free = replace(practice, room=practice.room.model_copy(update={"stages": stages}))
    ends = busy_days(free, days=DAYS).ends.median / 60
    assert found.at <= ends <= ran.ends.median / 60
    assert ends - found.at < 5, "what comes later is a pouch"


def test_a_day_that_cannot_end_so_early_is_told_with_the_reason(
    practice: Practice, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(searched, "THREES", 0)
    monkeypatch.setattr(searched, "OTHER_TWOS", 0)
    monkeypatch.setattr(searched, "IN_TWOS", 0)
    answer = ways_out(practice, Wish(ends=15 * 60), days=DAYS)
    assert answer.earliest
    said = " ".join(reached(catalog_for("en", {}), answer))
    hours, minutes = divmod(round(answer.earliest.needs), 60)
    assert f"never ends before {clock_text(round(answer.earliest.at))}" in said
    assert f"needs {hours} h {minutes} min from then" in said
