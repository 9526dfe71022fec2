"""How many of an instrument: in contents, in what a visit needs, and whether the one covers the other."""

from __future__ import annotations

from typing import Any

import pytest
from bad_inputs import VALID
from hypothesis import given
from hypothesis import strategies as st

from kitdocs.practice.model import Practice
from kitdocs.practice.needs import Need, need
from kitdocs.practice.problems import PracticeError
from kitdocs.practice.reading.reader import read_practice

INSTRUMENTS = ("mirror", "weingart", "cutter", "pusher", "holder", "remover")
UNCOVERED = {"not-covered", "drawer-lacks", "not-enough"}


def flow(counts: dict[str, Any]) -> str:
    """Contents as a person writes them: ``[mirror: 2, cutter]``."""
    return "[" + ", ".join(i if count == 1 else f"{i}: {count}" for i, count in counts.items()) + "]"


def counts(most: int, least: int = 1) -> st.SearchStrategy[dict[str, int]]:
    return st.dictionaries(st.sampled_from(INSTRUMENTS), st.integers(1, most), min_size=least, max_size=4)


def pieces(*held: dict[str, int]) -> list[str]:
    return [instrument for one in held for instrument, count in one.items() for _ in range(count)]


@given(
    held=counts(3),
    add_on=counts(2),
    taken=st.booleans(),
    drawer=counts(2),
    at=st.tuples(st.sampled_from(("auto", "3", "0", "")), st.sampled_from(("auto", "2", ""))),
    needs=counts(4),
)
def test_a_visit_is_covered_when_every_piece_can_be_laid_out_for_it(
    held: dict[str, int],
    add_on: dict[str, int],
    taken: bool,
    drawer: dict[str, int],
    at: tuple[str, str],
    needs: dict[str, int],
) -> None:
    """Against a brute-force multiset: at each chair, every piece that is needed is taken out of what there is."""
    chairs = ("teal-chair", "orange-chair")
    changes = {
        "sets.core.contents": flow(held),
        "pouches.reposition.contents": flow(add_on),
        "pouches.loose-band.contents": flow(drawer),
        "procedures.bracket.needs": "{mirror: 10%}",
        "procedures.wire-change.add_ons": "{reposition: always}" if taken else "{}",
        "procedures.wire-change.needs": str(needs).replace("'", ""),
        **{
            f"chairs.{c}.drawer": f"{{loose-band: {many}}}" if many else "{}"
            for c, many in zip(chairs, at, strict=True)
        },
    }
    lacking = set()
    for many in at:
        there = pieces(held, add_on if taken else {}, drawer if many not in ("", "0") else {})
        for piece in pieces(needs):
            if piece in there:
                there.remove(piece)
            else:
                lacking.add(f"procedures.wire-change.needs.{piece}")
    assert {p.path for p in problems(changes) if p.rule in UNCOVERED and "wire-change" in p.path} == lacking


def problems(changes: dict[str, str]) -> tuple[Any, ...]:
    try:
        return read_practice(VALID, changes).problems
    except PracticeError as error:
        return error.problems


def told(rule: str, **changes: str) -> list[tuple[str, str]]:
    named = {path.replace("__", "."): value for path, value in changes.items()}
    return [(p.path, str(p.message)) for p in problems(named) if p.rule == rule]


def read(**changes: str) -> Practice:
    return read_practice(VALID, {path.replace("__", "."): value for path, value in changes.items()})


def test_the_message_says_how_many_are_missing() -> None:
    ((path, message),) = told("not-enough", **{"procedures__wire-change__needs": "{mirror: 4, weingart: always}"})
    assert path == "procedures.wire-change.needs.mirror"
    assert message.endswith("hold 1: 3 are missing")


def test_two_in_the_contents_lie_side_by_side_where_they_are_written() -> None:
    practice = read(sets__core__contents="[weingart, mirror: 2, cutter]")
    assert practice.sets["core"].contents == ("weingart", "mirror", "mirror", "cutter")
    assert read(sets__core__contents="[weingart, mirror, mirror, cutter]").sets == practice.sets
    assert read(sets__core__contents="[weingart, 2 mirror, 1 x cutter]").sets == practice.sets
    assert read(pouches__reposition__contents="[{holder: 2, remover: 1}]").pouches["reposition"].contents == (
        "holder",
        "holder",
        "remover",
    )


def test_a_place_in_the_contents_is_counted_as_on_the_template() -> None:
    ((path, _),) = told("rides-along", sets__core__contents="[weingart, mirror: 2, cutter, pusher]", **UNPUSHED)
    assert path == "sets.core.contents[5]"


UNPUSHED = {"procedures__wire-change__needs": "{mirror: always, weingart: always, cutter: always}"}


def test_an_unknown_instrument_that_is_there_twice_is_one_mistake() -> None:
    found = told("unknown-id", sets__core__contents="[mirror, weingart, cuter: 2]")
    assert found == [("sets.core.contents[3]", "there is no instrument 'cuter' in instruments.yaml")]


@pytest.mark.parametrize("count", ["0", "-1", "31", "two", "1.5", "true", "[2]", "{a: 2}", ""])
def test_a_count_that_is_none_is_refused_once(count: str) -> None:
    found = problems({"sets.core.contents": f"[mirror: {count}, weingart, cutter]"})
    assert [(p.path, p.rule) for p in found] == [("sets.core.contents[1]", "how-many")]


@pytest.mark.parametrize(
    ("written", "meant"),
    [
        ("always", Need(1.0)),
        ("12%", Need(0.12)),
        (1, Need(1.0)),
        (2, Need(1.0, 2)),
        ("2 at 12%", Need(0.12, 2)),
        ("9 at 100%", Need(1.0, 9)),
        ("2 at 12,5 %", Need(0.125, 2)),
        (0.05, Need(0.05)),
    ],
)
def test_needs_are_written_with_a_share_a_count_or_both(written: object, meant: Need) -> None:
    assert need(written) == meant


@pytest.mark.parametrize("wrong", [0, 10, -2, True, 1.5, "2", "0 at 12%", "2 at 0%", "2 at 3", "twice", "never", None])
def test_what_is_no_need_is_refused(wrong: object) -> None:
    with pytest.raises(ValueError, match=r"."):
        need(wrong)


@given(st.floats(0.001, 1), st.integers(1, 9))
def test_a_need_is_read_as_it_is_said(share: float, count: int) -> None:
    said = str(Need(round(share, 4), count))
    meant = need(int(said) if said.isdigit() else said)
    assert meant.count == count
    assert meant.share == pytest.approx(round(share, 4))


@given(held=counts(3), share=st.sampled_from(("always", "40%")), data=st.data())
def test_all_of_the_set_is_what_lies_in_it(held: dict[str, int], share: str, data: st.DataObject) -> None:
    """The same needs as with every line written out; what is written beside it holds instead."""
    wanted = st.sampled_from(("always", "never", "35%", "1 at 20%"))
    beside = data.draw(st.dictionaries(st.sampled_from(sorted(held)), wanted))
    short = ", ".join(f"{i}: {often}" for i, often in {"all of the set": share, **beside}.items())
    long = {i: count if share == "always" else f"{count} at 40%" for i, count in held.items()} | beside
    written_out = ", ".join(f"{i}: {often}" for i, often in long.items() if often != "never")
    both = []
    for needs in (f"{{{short}}}", f"[{short}]", f"{{{written_out}}}"):
        changes = {"sets.core.contents": flow(held), "procedures.bracket.needs": "{}"}
        practice = read_practice(VALID, {**changes, "procedures.wire-change.needs": needs})
        both.append((practice.procedures["wire-change"].needs, {p.rule for p in practice.problems}))
    assert both[0] == both[1] == both[2]


def test_all_of_the_set_follows_the_set() -> None:
    """What-if: a visit with another set needs what lies in that."""
    needs = {"procedures__wire-change__needs": "{all of the set: always, pusher: 5%}"}
    assert set(read(**needs).procedures["wire-change"].needs) == {"mirror", "weingart", "cutter", "pusher"}
    less = read(**needs, sets__core__contents="[mirror, cutter]").procedures["wire-change"].needs
    assert less == {"mirror": Need(1.0), "cutter": Need(1.0), "pusher": Need(0.05)}


def test_a_set_that_cannot_be_read_makes_no_second_mistake() -> None:
    needs = {"procedures__wire-change__needs": "{all of the set: always, weingart: never}"}
    for contents in ("[mirrr, weingart]", "none", "[]"):
        found = problems({path.replace("__", "."): v for path, v in needs.items()} | {"sets.core.contents": contents})
        assert {p.path.partition("[")[0] for p in found} == {"sets.core.contents"}


@pytest.mark.parametrize("key", ["all of set", "all the set", "whole set", "All of the set", "all-of-the-set"])
def test_nearly_the_words_for_the_whole_set_are_told_the_words(key: str) -> None:
    found = problems({"procedures.wire-change.needs": f"{{{key}: always}}"})
    assert [(p.rule, p.path) for p in found] == [("all-of-the-set", f"procedures.wire-change.needs.{key}")]
    assert "'all of the set'" in str(found[0].remedy)


def test_an_add_on_that_brings_the_second_carries_nothing_twice() -> None:
    also = {
        "procedures__bracket__needs": "{mirror: 2, holder: always}",
        "pouches__reposition__contents": "[holder, mirror]",
    }
    assert told("carried-twice", **also) == told("not-enough", **also) == []
    also["procedures__bracket__needs"] = "{mirror: always, holder: always}"
    assert [path for path, _ in told("carried-twice", **also)] == ["pouches.reposition.contents[2]"]


def test_an_add_on_brings_enough_often_enough() -> None:
    """Two are needed always, the set has none, and the add-on with both comes to half of the visits."""
    also = {
        "pouches__reposition__contents": "[holder: 2, remover]",
        "procedures__bracket__needs": "{holder: 2, remover: 50%}",
        "procedures__bracket__add_ons": "{reposition: 50%}",
    }
    assert [path for path, _ in told("taken-too-seldom", **also)] == ["procedures.bracket.needs.holder"]
    assert told("taken-too-seldom", **{**also, "procedures__bracket__needs": "{holder: 2 at 50%, remover: 50%}"}) == []


def test_no_chair_has_both_when_each_has_enough_of_one_only() -> None:
    also = {
        "procedures__bracket__needs": "{pusher: 2, holder: always}",
        "procedures__bracket__add_ons": "{}",
        "procedures__bracket__chairs": "[teal-chair, orange-chair]",
        "pouches__reposition__kind": "drawer",
        "pouches__reposition__contents": "[holder]",
        "pouches__loose-band__contents": "[pusher: 2]",
        "chairs__orange-chair__drawer": "{reposition: auto}",
    }
    assert [path for path, _ in told("no-chair", **also)] == ["procedures.bracket"]
    assert told("no-chair", **{**also, "chairs__orange-chair__drawer": "{reposition: auto, loose-band: 1}"}) == []
