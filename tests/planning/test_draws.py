"""The busy day's random numbers: uniform, independent, and each the same whatever else is drawn."""

from __future__ import annotations

import numpy as np
import plain_diary
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy import stats

from kitdocs.planning.day.draws import DAYS, WORDS, shares, words


@given(st.integers(-3, 10**9), st.integers(0, 400), st.sampled_from(("a/turn", "b/need/c")), st.integers(0, 6))
def test_a_number_is_the_word_of_its_purpose_row_and_day(seed: int, day: int, purpose: str, row: int) -> None:
    drawn = words(seed, day // DAYS, purpose, row + 1)
    assert drawn[row * DAYS + day % DAYS] == plain_diary.number(seed, day, purpose, row)
    more = words(seed, day // DAYS, purpose, row + 9)
    assert more[: len(drawn)] == drawn, "more visits move no number"
    assert shares(seed, day // DAYS, purpose, row + 1) == tuple(word / WORDS for word in drawn)


@pytest.mark.parametrize("purpose", ["procedure/wire-change/turn", "chair/chair-1"])
def test_numbers_are_uniform(purpose: str) -> None:
    """Kolmogorov and Smirnov's test by scipy, of 32,000 numbers of one seed."""
    drawn = [share for block in range(20) for share in shares(1, block, purpose, 50)]
    assert stats.kstest(drawn, "uniform").pvalue > 0.01


@pytest.mark.parametrize(
    ("one", "other"),
    [((1, "p/turn", 0), (1, "p/place", 0)), ((1, "p/turn", 0), (1, "p/turn", 1)), ((1, "p/turn", 0), (2, "p/turn", 0))],
)
def test_numbers_for_other_purposes_rows_and_seeds_are_independent(
    one: tuple[int, str, int], other: tuple[int, str, int]
) -> None:
    """Spearman's rank correlation of 9,600 days, by scipy."""
    rows = [
        [share for block in range(300) for share in shares(seed, block, purpose, row + 1)[row * DAYS :]]
        for seed, purpose, row in (one, other)
    ]
    assert len(rows[0]) == 9600
    assert stats.spearmanr(np.array(rows[0]), np.array(rows[1])).pvalue > 0.01
