"""What may be asked of a column that mixes types of visits with people. Names and lists are ours, invented."""

from __future__ import annotations

import itertools
import random
from collections.abc import Callable, Iterable, Sequence

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitdocs.importing.askable import Askable, Phrase, Said, askable, phrase
from kitdocs.importing.people import looks_like_people

FIRST, LAST = (
    names.split()
    for names in (
        "Ana Bo Cy Di Ed Flo Gus Hal Ira Jo Kit Lou Max Nan Oz Pam Quin Roz Sy Ty Una Val Wim Xan Yul Zoe",
        "Quill Tern Juniper Marlow Ostrom Vance Pell Harrow Lindqvist Abara Okoro Sato Iversen Duarte Salgado",
    )
)
TYPES = ["ADJ-L", "ADJ-S", "BOND U/L", "DEBAND", "RET CHK", "NP EXAM", "EMERG", "SCAN"]


def nothing_known(label: Phrase) -> bool:
    return False


def column(texts: Iterable[str], *, per_day: int = 40) -> list[Said]:
    return [Said(row=n + 2, text=text, day=n // per_day) for n, text in enumerate(texts)]


def people(seed: int, count: int) -> list[str]:
    """So many patients; in each family of three, siblings."""
    draw = random.Random(seed)
    families = [f"{a} {b}" for a, b in itertools.combinations(LAST, 2)]
    draw.shuffle(families)
    return [f"{FIRST[(n * 7 + n // 26) % len(FIRST)]} {families[n // 3 % len(families)]}" for n in range(count)]


def visits(seed: int, rows: int, patients: int) -> list[tuple[str, str]]:
    draw = random.Random(seed)
    who = people(seed, patients)
    return [(draw.choices(TYPES, [9, 9, 3, 1, 4, 2, 1, 1])[0], draw.choice(who)) for _ in range(rows)]


def words_shown(found: Askable) -> set[str]:
    return {word for label in found.asked.values() for word in phrase(label)}


NAMES = {word for name in (*FIRST, *LAST) for word in phrase(name)}
MIXES = {
    "type first": "{type} - {name}",
    "type last": "{name} - {type}",
    "brackets": "{type} ({name})",
    "colon": "{type}: {last}, {first}",
    "no sign": "{type} {name}",
    "name first, no sign": "{name} {type}",
    "only names": "{name}",
    "only first names": "{first}",
    "only surnames": "{last}",
    "surname first": "{last}, {first}",
}


def mixed(how: str, drawn: Sequence[tuple[str, str]]) -> list[str]:
    return [
        MIXES[how].format(type=kind, name=who, first=who.split()[0], last=" ".join(who.split()[1:]))
        for kind, who in drawn
    ]


@pytest.mark.parametrize("how", MIXES)
@given(
    seed=st.integers(0, 10**6), rows=st.sampled_from([8, 40, 200, 800]), patients=st.sampled_from([12, 30, 150, 600])
)
def test_no_name_is_ever_shown(how: str, seed: int, rows: int, patients: int) -> None:
    """Patients come again, have siblings and namesakes; few first names recur hundreds of times."""
    for headed in (False, True):
        found = askable(column(mixed(how, visits(seed, rows, patients))), nothing_known, headed=headed)
        assert words_shown(found).isdisjoint(NAMES)
        assert not {word for label in found.labels.values() for word in label} & NAMES


@pytest.mark.parametrize("how", ["type first", "type last", "brackets", "colon"])
def test_the_types_of_a_mixed_column_are_asked(how: str) -> None:
    drawn = visits(5, 400, 300)
    found = askable(column(mixed(how, drawn)), nothing_known)
    assert set(found.asked.values()) == set(TYPES)
    assert [found.labels[n + 2] for n in range(400)] == [phrase(kind) for kind, _ in drawn]
    assert found.hidden == ()


def test_what_was_seen_once_is_not_shown_but_its_row_is_told() -> None:
    texts = [*TYPES * 6, "Smith came by", "ADJ-L - Smith"]
    found = askable(column(texts, per_day=10), nothing_known)
    assert set(found.asked.values()) == set(TYPES)
    assert found.hidden == (50, 51)
    known = askable(column(texts, per_day=10), lambda label: label == ("adj", "l"))
    assert known.labels[51] == ("adj", "l")
    assert known.hidden == (50,)


def test_a_word_of_no_trade_is_shown_from_the_sixth_time_on_and_a_name_never() -> None:
    """Under a heading that says types, too."""
    types = [*TYPES * 6, "Rainbow", "Ana Quill", "Quill, Ana"]
    for times, shown in ((2, set()), (5, set()), (6, {"Rainbow"})):
        texts = [text for text in types for _ in range(1 if text in TYPES else times)]
        random.Random(1).shuffle(texts)
        asked = askable(column(texts, per_day=5), nothing_known, headed=True).asked
        assert set(asked.values()) - set(TYPES) == shown


def test_a_name_behind_a_type_is_not_shown_though_the_event_repeats_every_day() -> None:
    """As of a calendar with few events: by what comes again alone, the text would be a type."""
    for names in (("Quill Ana", "Tern Bo"), ("Quill, Ana", "Tern, Bo"), ("Ana Quill", "Bo Tern")):
        texts = [f"ADJ - {name}" for _ in range(5) for name in names]
        for headed in (False, True):
            found = askable(column(texts, per_day=2), nothing_known, headed=headed)
            assert words_shown(found).isdisjoint(NAMES), found.asked


@pytest.mark.parametrize("written", [str, str.upper, str.lower])
@pytest.mark.parametrize("how", ["{type} - {last}", "{last} - {type}", "{type} {last}", "{last}", "{type} ({last})"])
def test_a_surname_alone_beside_a_type_is_not_shown_though_it_comes_again(
    how: str, written: Callable[[str], str]
) -> None:
    """A patient comes five times in a quarter, each time for the same; the other rows say what is done, and no more."""
    again = [how.format(type="Adj", last=last) for last in ("Quill", "Tern", "Pell") for _ in range(5)]
    texts = [written(text) for text in [*TYPES * 20, *again]]
    random.Random(2).shuffle(texts)
    for headed in (False, True):
        found = askable(column(texts, per_day=4), nothing_known, headed=headed)
        assert words_shown(found).isdisjoint({"quill", "tern", "pell"}), found.asked
        assert not {word for label in found.labels.values() for word in label} & {"quill", "tern", "pell"}


def test_what_tells_two_types_apart_is_shown_though_it_comes_seldom() -> None:
    texts = [*TYPES * 20, *["Adj - Long", "Rebond upper L", "BND CHK"] * 3]
    random.Random(3).shuffle(texts)
    assert {"Adj - Long", "Rebond upper L", "BND CHK"} <= {
        *askable(column(texts, per_day=4), nothing_known).asked.values()
    }


def test_what_comes_on_one_day_only_is_not_shown() -> None:
    texts = [*TYPES * 5, *["Smith visits"] * 3, *TYPES * 5]
    assert "Smith visits" not in askable(column(texts, per_day=43), nothing_known).asked.values()


def test_what_is_known_is_recognised_at_either_end_of_a_text_without_asking() -> None:
    known = {("wire", "change"), ("wire",), ("check",)}
    texts = ["Ana Quill wire change", "check Bo", "Wire - Cy Tern", "Di Pell", "check, wire"]
    found = askable(column(texts), known.__contains__)
    assert found.labels == {2: ("wire", "change"), 3: ("check",), 4: ("wire",)}
    assert (found.asked, found.hidden) == ({}, (5, 6))


def test_chairs_and_staff_may_be_shown_by_name() -> None:
    chairs = column(["Dr. Ana Quill", "OP 3", "Bo Tern"] * 20)
    assert len(askable(chairs, nothing_known, staff=True).asked) == 3
    assert askable(chairs, nothing_known).asked == {}


def test_a_heading_may_vouch_for_types_that_no_list_of_words_knows() -> None:
    types = column(["AQ", "ZW-2", "Rainbow"] * 20)
    assert set(askable(types, nothing_known, headed=True).asked.values()) == {"AQ", "ZW-2", "Rainbow"}
    assert askable(types, nothing_known).asked == {}


@given(seed=st.integers(0, 10**6), patients=st.sampled_from([60, 200]))
def test_a_column_of_names_that_recur_for_months_is_refused_whatever_its_heading_is(seed: int, patients: int) -> None:
    names = [who for _, who in visits(seed, 900, patients)]
    for heading in ("Appointment", "Type", "Provider", "Column 3", ""):
        reason = looks_like_people(heading, names)
        assert reason and reason.kind == "name", heading
