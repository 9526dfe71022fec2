"""Everyday changes of the example exchange few sheets. The bound is our own: what one person swaps in a quiet quarter
of an hour (from memory, no source)."""

from __future__ import annotations

from pathlib import Path

import pytest
from bench_exchange import CHANGES, EXAMPLE, MOST, exchanged, recorded

pytestmark = pytest.mark.whole


@pytest.fixture(scope="module")
def printed(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return recorded(EXAMPLE, tmp_path_factory.mktemp("exchange"))


@pytest.mark.parametrize("change", CHANGES.values(), ids=CHANGES)
def test_an_everyday_change_exchanges_few_sheets(tmp_path: Path, printed: Path, change: tuple[str, str, str]) -> None:
    sheets, lists = exchanged(printed, tmp_path, change)
    assert 1 <= sheets <= MOST
    assert 1 <= lists <= 2
