"""Every bad folder gets exactly its message, and nothing is written into it."""

from __future__ import annotations

import tempfile
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import pytest
from bad_inputs import INPUTS, VALID, assembled, cases, outcome

from kitdocs.practice.draft import Draft
from kitdocs.practice.problems import Problem
from kitdocs.practice.rules import RULES, Rule
from kitdocs.shipped import shipped_languages


@dataclass(frozen=True, slots=True, kw_only=True)
class Read:
    """What came of reading a bad folder."""

    message: str
    rules_that_spoke: frozenset[str]
    stays: bool


@cache
def read(case: str) -> Read:
    """Read the folder of a case, listening to each rule; once for all tests that ask."""
    spoke: set[str] = set()

    def listening(rule: Rule) -> Rule:
        def listened(draft: Draft) -> Iterable[Problem]:
            found = list(rule(draft))
            spoke.update({rule.__name__} if found else ())
            return found

        return listened

    with tempfile.TemporaryDirectory() as into, pytest.MonkeyPatch.context() as patch:
        patch.setattr("kitdocs.practice.reading.reader.RULES", tuple(map(listening, RULES)))
        folder = assembled(case, Path(into))
        before = _contents(folder)
        message = outcome(folder)
        stays = _contents(folder) == before and list(Path(into).iterdir()) == [folder]
    return Read(message=message, rules_that_spoke=frozenset(spoke), stays=stays)


@pytest.mark.parametrize("case", cases())
def test_a_bad_folder_gets_its_message_and_stays_as_it_was(case: str) -> None:
    expected = (INPUTS / case / "expected.txt").read_text(encoding="utf-8")
    expected = expected.replace("LANGUAGES", ", ".join(shipped_languages()))
    assert read(case).message + "\n" == expected
    assert read(case).stays


def test_every_rule_speaks_in_some_bad_folder() -> None:
    spoke = frozenset[str]().union(*(read(case).rules_that_spoke for case in cases()))
    assert spoke == {rule.__name__ for rule in RULES}


def test_the_valid_practice_has_no_problem_at_all() -> None:
    assert outcome(VALID) == ""


def test_there_are_at_least_forty_different_mistakes_and_several_come_together() -> None:
    texts = [(INPUTS / case / "expected.txt").read_text(encoding="utf-8") for case in cases()]
    assert len(set(texts)) == len(texts) >= 40
    places = [[line for line in text.splitlines() if _is_head(line)] for text in texts]
    assert sum(len(heads) >= 2 for heads in places) >= 10
    assert all(places)


@pytest.mark.parametrize("case", cases())
def test_a_message_is_for_people(case: str) -> None:
    text = (INPUTS / case / "expected.txt").read_text(encoding="utf-8")
    for jargon in ("Traceback", "None", "NoneType", "dict", "tuple", "pydantic", "UNREAD", "Value error"):
        assert jargon not in text


def _is_head(line: str) -> bool:
    return not line.startswith(" ") and line.count(":") >= 4


def _contents(folder: Path) -> dict[str, tuple[int, bytes]]:
    return {
        str(path.relative_to(folder)): (path.stat().st_mtime_ns, path.read_bytes())
        for path in folder.rglob("*")
        if path.is_file()
    }
