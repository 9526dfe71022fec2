"""Every threat that DEVELOPERS.md says is guarded names tests and folders that are there."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

TESTS = Path(__file__).parent
_TEXT = (TESTS.parent / "DEVELOPERS.md").read_text("utf-8")
SECTION = _TEXT[_TEXT.index("## What is guarded") :]
ROWS = [row.strip("|").split("|") for row in SECTION.splitlines() if row.startswith("| ")][1:]


@pytest.mark.parametrize("threat", [row[0].strip() for row in ROWS])
def test_what_proves_a_guard_is_there(threat: str) -> None:
    (proof,) = (row[2] for row in ROWS if row[0].strip() == threat)
    code = "".join(path.read_text("utf-8") for path in TESTS.rglob("test_*.py"))
    named = re.findall("`(.+?)`", proof)
    assert named
    for name in named:
        if "…" in name:
            assert re.search(rf"def test_.*{name.strip('…').replace('…', '.*')}", code), name
        elif "/" in name or name.endswith(".py"):
            assert list(TESTS.rglob(name)) or (TESTS.parent / name).exists(), name
