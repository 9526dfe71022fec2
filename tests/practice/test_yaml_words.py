"""What a word without quotes means, and what stays text."""

from __future__ import annotations

from typing import Any

import pytest

from kitdocs.practice.reading.text_file import text_file
from kitdocs.practice.reading.yaml_file import read_yaml


def _read(text: str) -> Any:
    file = read_yaml(text_file("t.yaml", ("t",), text))
    assert not file.problems, file.problems
    return file.data


@pytest.mark.parametrize(
    "word",
    ["08:30", "yes", "no", "on", "Off", "1_000", "007", "2025-01-01", "0x1f", "0o17", "1e3", ".inf", ".nan", "5E2"],
)
def test_words_that_yaml_1_1_would_bend_stay_text(word: str) -> None:
    assert _read(f"key: {word}") == {"key": word}


@pytest.mark.parametrize(
    ("word", "value"),
    [("12", 12), ("-3", -3), ("0.5", 0.5), (".5", 0.5), ("true", True), ("False", False), ("null", None), ("", None)],
)
def test_numbers_true_false_and_nothing_are_what_yaml_1_2_says(word: str, value: Any) -> None:
    read = _read(f"key: {word}")["key"]
    assert read == value
    assert type(read) is type(value)


def test_quotes_make_text() -> None:
    assert _read("a: '12'\nb: \"true\"") == {"a": "12", "b": "true"}


def test_keys_are_always_text() -> None:
    assert _read("12: a\ntrue: b\n08:30: c") == {"12": "a", "true": "b", "08:30": "c"}


def test_a_number_too_long_to_be_one_stays_text() -> None:
    digits = "9" * 5000
    assert _read(f"key: {digits}") == {"key": digits}


def test_a_letter_that_no_text_can_hold_is_refused_even_when_escaped() -> None:
    for escape in (r"\0", r"\ud800", r"\x1b"):
        file = read_yaml(text_file("t.yaml", ("t",), f'key: "a{escape}b"'))
        assert [problem.rule for problem in file.problems] == ["not-text"]


def test_a_key_written_twice_names_both_places_and_the_first_counts() -> None:
    file = read_yaml(text_file("t.yaml", ("t",), "a: 1\nb: 2\na: 3\n"))
    assert file.data == {"a": 1, "b": 2}
    (problem,) = file.problems
    assert (problem.place.line, problem.place.column) == (3, 1)
    assert "already written in line 1" in str(problem.message)


def test_a_repeat_of_itself_is_refused() -> None:
    for text in ("a: &a [*a]", "a: *b"):
        assert [p.rule for p in read_yaml(text_file("t.yaml", ("t",), text)).problems] == ["alias"]
