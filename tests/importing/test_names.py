"""Spellings of the trade: each is taken for the right instrument, or a person is asked; never wrong in silence."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
import yaml
from hypothesis import given
from hypothesis import strategies as st

import kitdocs.importing.trade
from kitdocs.importing.found import Known
from kitdocs.importing.names import NameMatch, match_name
from kitdocs.importing.naming import KINDS, ThingNames
from kitdocs.importing.trade import kind_name, trade, words_in

#: Ours, common practice, no source. `?`: nobody can tell, so it is asked; `-`: no instrument. `first` was written
#: before the matching; `later` and `last` after it, and the matching was improved by each only once it had been judged.
SPELLINGS = [
    line.split("\t") for line in (Path(__file__).parent / "trade_spellings.tsv").read_text("utf-8").splitlines()[1:]
]


def got(match: NameMatch) -> str:
    return "-" if match.is_none else match.kind or "?"


def is_right(written: str, kind: str) -> bool:
    match = match_name(written)
    return not match.certain if kind == "?" else got(match) == kind


@pytest.mark.parametrize(
    ("part", "least"), [("first", 120), ("later", 60), ("last", 35), ("german", 25), ("french", 25)]
)
def test_of_the_spellings_of_the_trade_95_of_100_are_right(part: str, least: int) -> None:
    listed = [(written, kind) for written, kind, of in SPELLINGS if of == part]
    assert len(listed) >= least
    assert sum(is_right(*each) for each in listed) >= 0.95 * len(listed)


def test_no_spelling_is_taken_wrongly_without_a_question() -> None:
    wrong = {w: got(m) for w, kind, _ in SPELLINGS if (m := match_name(w)).certain and got(m) != kind}
    assert wrong == {}


def test_few_are_asked() -> None:
    asked = [written for written, kind, _ in SPELLINGS if kind != "?" and not match_name(written).certain]
    assert len(asked) <= 0.06 * len(SPELLINGS)


def test_hooks_that_stay_on_the_wire_suggest_no_instrument() -> None:
    """They lie in every inventory, bought by the dozen; one nobody knows is asked about without a suggestion."""
    assert match_name("wieldable hooks").kind is None and not match_name("wieldable hooks").certain
    assert match_name("crimpable hooks").is_none and match_name("crimpable hook plier").kind == "hook-crimping-plier"
    assert match_name("steri broke one HWC in May, ask Dana").kind is None, "a sentence names no instrument"
    assert match_name("boone gauge").kind == "bracket-height-gauge"


def own_names() -> Iterator[tuple[str, tuple[str, ...], str]]:
    """Each name that a new record can get, with what it stands for: in both languages, with each qualifier."""
    qualifiers = [(), *((word,) for word in sorted(set(trade().qualifiers.values()))), ("5",), ("0.5",), ("h6/7",)]
    for language in ("en", "es"):
        names = ThingNames(Known(language=language))
        for kind in sorted(kind for kind in KINDS if not kind.startswith("other-")):
            mostly = {trade().qualifiers.get(word, "") for word in trade().plain_of.get(kind, ())}
            for qualifier in qualifiers:
                if not set(qualifier) & mostly:
                    identity = (kind, *qualifier)
                    yield language, identity, names.name_of(match_name(kind_name(kind, language)), "", identity)


def test_the_names_that_kitdocs_gives_are_recognised_as_what_they_stand_for() -> None:
    """So that next month's list finds the records that this month's made."""
    found = list(own_names())
    assert len(found) > 1000
    strange = []
    for language, identity, name in found:
        match = match_name(name)
        if not match.certain or ThingNames(Known(language=language)).new(name, match) != identity:
            strange.append((language, identity, name))
    assert strange == []


def test_no_phrase_stands_for_two_kinds() -> None:
    path = Path(kitdocs.importing.trade.__file__).parent / "trade.yaml"
    raw = yaml.safe_load(path.read_text("utf-8"))["kinds"]
    homes: dict[frozenset[str], set[str]] = {}
    for kind, phrases in raw.items():
        for phrase in phrases:
            homes.setdefault(frozenset(words_in(str(phrase))), set()).add(kind)
    assert len(homes) > 300
    assert {tuple(words): kinds for words, kinds in homes.items() if len(kinds) > 1} == {}
    assert set(raw) <= KINDS


@pytest.mark.parametrize("text", ["wiengart", "Mathiew", "mosqito forceps", "scisors", "exploerr"])
def test_one_slip_of_the_pen_is_forgiven_and_said(text: str) -> None:
    match = match_name(text)
    assert match.certain and match.why.key == "import.why.slip" and match.sure < 1


@pytest.mark.parametrize("text", ["", "-", "???", "zanahoria", "12"])
def test_what_is_no_name_is_asked(text: str) -> None:
    assert not match_name(text).certain


def test_a_column_of_types_helps_where_the_name_alone_does_not() -> None:
    assert not match_name("distal").certain
    assert match_name("distal", "Cutters").kind == "distal-end-cutter"
    assert match_name("Weingart", "Cutters").kind == "weingart-plier"


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("Mosquito curved", "pinza mosquito curva"),
        ("DEC TC", "Distal end cutter, carbide"),
        ("mirror #5", "espejo nº 5"),
    ],
)
def test_words_that_tell_instruments_apart_are_the_same_in_both_languages(one: str, other: str) -> None:
    assert (match_name(one).kind, match_name(one).qualifiers) == (match_name(other).kind, match_name(other).qualifiers)
    assert match_name(one).qualifiers


@given(st.text(max_size=60))
def test_any_text_gets_an_answer(text: str) -> None:
    match = match_name(text)
    assert 0 <= match.sure <= 1
    assert match.certain is False or match.is_none or match.kind in KINDS
