"""Why each instrument of a proposal lies where it lies: every other place that is told, tried again by hand."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace
from math import prod
from pathlib import Path

import pytest
from small_practices import demand_of, written

from kitdocs.planning.buying.design_figures import Figures, figures_of
from kitdocs.planning.day.run import busy_days, drawn_days
from kitdocs.planning.measures.fit import smallest_cassette
from kitdocs.practice.model import InstrumentSet, Pouch, Practice
from kitdocs.practice.proposal import Elsewhere
from kitdocs.practice.reading.reader import read_practice
from kitdocs.proposing.new_folder import write_proposal
from kitdocs.proposing.proposals import DAYS, Proposals, propose_designs
from kitdocs.proposing.reasons import Reasons, reasons

pytestmark = pytest.mark.whole

#: The bird-beak plier has three users: the busy set is full, that of the check has room.
VISITS: Mapping[str, tuple[float, Mapping[str, str]]] = {
    "adjust": (
        12,
        {
            **dict.fromkeys(("mirror", "explorer", "director", "weingart", "mathieu", "cutter"), "always"),
            "bird-beak": "10%",
            "three-prong": "6%",
        },
    ),
    "check": (5, {"mirror": "always", "explorer": "always", "bird-beak": "12%"}),
    "bends": (2, {"mirror": "always", "bird-beak": "always", "three-prong": "always"}),
}


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return written(tmp_path_factory.mktemp("why") / "ours", VISITS)


@pytest.fixture(scope="module")
def answer(folder: Path) -> Proposals:
    return propose_designs(demand_of(folder), days=DAYS, weighings=("balanced", "cheapest"))


@pytest.fixture(scope="module")
def found(answer: Proposals) -> Reasons:
    return reasons(answer, answer.proposals[0])


def told(found: Reasons) -> Iterator[tuple[str, str, Elsewhere]]:
    """(set or pouch, instrument, another place for it)."""
    for pack, why in found.why.items():
        for instrument, others in why.instruments.items():
            yield from ((pack, instrument, other) for other in others)


def judged(practice: Practice) -> Figures:
    bookings = drawn_days(practice, days=DAYS, seed=1)
    return figures_of(practice, busy_days(practice, seed=1, bookings=bookings, bands=False))


def moved(practice: Practice, pouch: str, instrument: str, into: str) -> Practice:
    """The practice with an instrument of a pouch in a set, and no longer brought to those who have it there.

    Worked out here from the folder's own records, without a design: who takes the pouch for nothing else leaves it.
    """
    kit = practice.sets[into]
    held = (*kit.contents, instrument)
    kit = kit.model_copy(update={"contents": held, "cassette": smallest_cassette(practice, held)})
    sets = {**practice.sets, into: kit}
    pouches, procedures = dict(practice.pouches), dict(practice.procedures)

    def lacking(p: str) -> set[str]:
        inside = practice.pouches[pouch].contents
        return {i for i in inside if i in procedures[p].needs and i not in sets[procedures[p].set].contents}

    for p, record in procedures.items():
        if pouch in record.add_ons:
            shares = (record.needs[i].share for i in lacking(p))
            taken = round(1 - prod(1 - share for share in shares), 3)
            add_ons = {id_: share for id_, share in record.add_ons.items() if id_ != pouch}
            procedures[p] = record.model_copy(update={"add_ons": {**add_ons, **({pouch: taken} if taken else {})}})
    users = {p for p in procedures if pouch in procedures[p].add_ons}
    if practice.pouches[pouch].kind == "drawer":
        users = {p for p in procedures if lacking(p)}
    wanted = {i for p in users for i in lacking(p)}
    left = tuple(i for i in practice.pouches[pouch].contents if i in wanted)
    if left:
        pouches[pouch] = pouches[pouch].model_copy(update={"contents": left})
    else:
        del pouches[pouch]
    there = {c for p in users for c in practice.chairs_for(p)}
    stays = {c: bool(left) and c in there for c in practice.chairs}
    chairs = {
        c: chair.model_copy(update={"drawer": {q: n for q, n in chair.drawer.items() if q != pouch or stays[c]}})
        for c, chair in practice.chairs.items()
    }
    return replace(practice, sets=sets, pouches=pouches, procedures=procedures, chairs=chairs)


def test_each_other_place_is_what_the_plan_says_of_a_practice_changed_by_hand(
    answer: Proposals, found: Reasons
) -> None:
    practice = answer.proposals[0].practice
    now, tried = judged(practice), 0
    for pack, instrument, other in told(found):
        if pack in practice.pouches and other.place == "set" and other.never is None:
            figures = judged(moved(practice, pack, instrument, other.of[0]))
            assert other.to_buy == pytest.approx(float(figures.money - now.money))
            assert other.walks == pytest.approx(figures.walks - now.walks, abs=0.011)
            assert other.from_drawers == pytest.approx(figures.openings - now.openings, abs=0.011)
            assert other.kinds == figures.kinds - now.kinds
            assert other.handled == pytest.approx(figures.handled - now.handled, abs=0.06)
            tried += 1
    assert tried


def test_what_is_not_possible_is_not_possible_for_the_very_set_that_is_named(answer: Proposals, found: Reasons) -> None:
    practice = answer.proposals[0].practice
    fits = {True: 0, False: 0}
    for pack, instrument, other in told(found):
        if pack in practice.pouches and other.place == "set":
            held = (*practice.sets[other.of[0]].contents, instrument)
            fit = smallest_cassette(practice, held) is not None
            assert fit == (other.never != "cassette")
            fits[fit] += 1
    assert all(fits.values()), "one set is full and another has room"


def test_what_every_visit_wants_is_said_to_lie_in_a_pouch_for_want_of_room(tmp_path: Path, found: Reasons) -> None:
    """Tried again by hand: seven are wanted at every visit, and no cassette holds all of it."""
    wanted = ("mirror", "explorer", "director", "weingart", "mathieu", "cutter", "three-prong")
    folder = written(tmp_path / "full", {"adjust": (9, dict.fromkeys(wanted, "always"))})
    full = propose_designs(demand_of(folder), days=DAYS, weighings=("balanced",))
    practice = full.proposals[0].practice
    (pouch,) = practice.procedures["adjust"].add_ons
    held = practice.sets[practice.procedures["adjust"].set].contents
    assert smallest_cassette(practice, (*held, *practice.pouches[pouch].contents)) is None
    assert "propose.why.no-room" in [reason.key for reason in reasons(full, full.proposals[0]).of[pouch]]
    assert "propose.why.no-room" not in [reason.key for of_pack in found.of.values() for reason in of_pack]


def test_who_would_take_too_many_pouches_is_who_is_named(answer: Proposals, found: Reasons) -> None:
    practice = answer.proposals[0].practice
    for why in found.why.values():
        for other in (*why.pack, *(each for others in why.instruments.values() for each in others)):
            assert (other.never == "pouches") == bool(other.over)
            for p in other.over:
                assert len(practice.procedures[p].add_ons) + 1 > other.most == answer.demand.pouches


def test_every_instrument_of_every_set_and_pouch_has_a_reason(answer: Proposals, found: Reasons) -> None:
    practice = answer.proposals[0].practice
    packs: Mapping[str, InstrumentSet | Pouch] = {**practice.sets, **practice.pouches}
    for id_, record in packs.items():
        lines = "\n".join(map(str, found.of[id_]))
        assert all(practice.instruments[i].name.plain in lines for i in record.contents), lines


def test_the_folder_keeps_them_and_says_the_same_again(
    answer: Proposals, found: Reasons, folder: Path, tmp_path: Path
) -> None:
    write_proposal(folder, tmp_path / "new", answer, answer.proposals[0], found, str)
    read = read_practice(tmp_path / "new").proposal
    assert read is not None
    assert read.made_of[read.chosen].why == found.why
    assert all(not made.why for weighing, made in read.made_of.items() if weighing != read.chosen)
