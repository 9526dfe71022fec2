"""Practices generated to measure growth: they can be run, and are as large and as busy as they are said to be."""

from __future__ import annotations

from math import fsum
from pathlib import Path

import pytest
from grown_practice import grow

from kitdocs.planning.day.run import drawn_days
from kitdocs.practice.model import Practice
from kitdocs.practice.reading.reader import read_practice


@pytest.mark.parametrize(("times", "kept"), [(4, 0.9), (8, 0.8)])
def test_every_day_of_a_grown_practice_fits_its_chairs(
    tmp_path: Path, example: Practice, times: int, kept: float
) -> None:
    grow(tmp_path / "grown", times)
    grown = read_practice(tmp_path / "grown")
    for records in ("cassettes", "pouches", "procedures", "sets"):
        assert len(getattr(grown, records)) == times * len(getattr(example, records))
    days = drawn_days(grown, days=1000)
    assert len(days) == 1001
    booked = fsum(procedure.per_day for procedure in example.procedures.values())
    assert sum(map(len, days)) / len(days) == pytest.approx(kept * booked, rel=0.01)
