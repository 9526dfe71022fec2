"""Every bad folder gets exactly its message, and nothing is written into it."""

from __future__ import annotations

from pathlib import Path

import pytest
from bad_inputs import INPUTS, VALID, assembled, cases, outcome


@pytest.mark.parametrize("case", cases())
def test_a_bad_folder_gets_its_message_and_stays_as_it_was(case: str, tmp_path: Path) -> None:
    folder = assembled(case, tmp_path)
    before = _contents(folder)
    expected = (INPUTS / case / "expected.txt").read_text(encoding="utf-8")
    assert outcome(folder) + "\n" == expected
    assert _contents(folder) == before
    assert list(tmp_path.iterdir()) == [folder]


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
