"""The joint choice against every other choice (small cases), and against an integer program (larger ones).

What it does to be fast is held against the plain steps of its text (`plain_choice.py`).
"""

from __future__ import annotations

from collections.abc import Mapping
from itertools import product
from random import Random

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from plain_choice import plainly_chosen
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import lil_matrix

from kitdocs.planning.day.joint import JointNeeds, KindNeeds, days_asked

#: What the method page says of the choice: never dearer than this, where the exact solution is known.
DEARER = 0.02


@st.composite
def small(draw: st.DrawFn) -> JointNeeds[str]:
    days = draw(st.integers(1, 25))
    by_day = st.lists(st.integers(0, 4), min_size=days, max_size=days).map(tuple)
    kinds = {
        name: KindNeeds(by_day=draw(by_day), price=draw(st.integers(1, 400)), least=draw(st.integers(0, 1)))
        for name in "abcd"[: draw(st.integers(1, 4))]
    }
    return JointNeeds(kinds, days)


SHARES = st.sampled_from((0.0, 0.3, 0.5, 0.8, 0.9, 0.95, 0.99))


def days_kept(needs: JointNeeds[str], counts: Mapping[str, int]) -> int:
    """Counted day by day, as a person would."""
    days = zip(*(kind.by_day for kind in needs.kinds.values()), strict=True)
    return sum(all(need <= count for need, count in zip(day, counts.values(), strict=True)) for day in days)


def cheapest(needs: JointNeeds[str], share: float) -> int:
    """Of all counts whatever, the price of the cheapest that keep so many days."""
    ranges = [range(kind.least, max(*kind.by_day, kind.least) + 1) for kind in needs.kinds.values()]
    tried = (dict(zip(needs.kinds, counts, strict=True)) for counts in product(*ranges))
    return min(needs.price(counts) for counts in tried if days_kept(needs, counts) >= share * needs.days - 1e-9)


@given(small(), SHARES)
def test_the_promise_is_kept_and_no_piece_can_go(needs: JointNeeds[str], share: float) -> None:
    counts = needs.choose(share)
    assert needs.kept(counts) == days_kept(needs, counts) >= share * needs.days - 1e-9
    for name, kind in needs.kinds.items():
        assert counts[name] >= kind.least
        if counts[name] > kind.least:
            assert days_kept(needs, {**counts, name: counts[name] - 1}) < share * needs.days


@given(small(), SHARES)
def test_it_is_the_cheapest_of_all_but_for_a_little(needs: JointNeeds[str], share: float) -> None:
    """So few days are hard: a step may be dear. The exchange of pieces mends nearly all of it."""
    assert needs.price(needs.choose(share)) <= cheapest(needs, share) * 1.25


def test_a_whole_step_is_exchanged_for_another() -> None:
    """By hand: two of b keep two days for 4 where one is asked for; one of a keeps one for 3. No single b can go."""
    kinds = {
        "b": KindNeeds(by_day=(0, 0, 0, 2, 2, 0, 1), price=2),
        "a": KindNeeds(by_day=(0, 0, 0, 0, 0, 1, 1), price=3),
    }
    needs = JointNeeds(kinds, 7)
    assert needs.choose(0.5, exchange=False) == {"a": 0, "b": 2}
    assert needs.choose(0.5) == {"a": 1, "b": 0}


@st.composite
def busy(draw: st.DrawFn) -> JointNeeds[str]:
    """More kinds, days that lack several at once, prices that are alike, and some counts that are written."""
    days = draw(st.integers(2, 30))
    most = draw(st.sampled_from((1, 3, 8)))
    by_day = st.lists(st.integers(0, most), min_size=days, max_size=days).map(tuple)
    written = st.one_of(st.none(), st.none(), st.integers(0, most + 1))
    price = st.sampled_from((1, 1, 40, 41, 90, 333))
    kinds = {
        name: KindNeeds(by_day=draw(by_day), price=draw(price), least=draw(st.integers(0, 1)), written=draw(written))
        for name in "abcdefgh"[: draw(st.integers(1, 8))]
    }
    return JointNeeds(kinds, days)


@given(busy(), SHARES, st.booleans())
def test_it_is_what_the_text_says_step_by_step(needs: JointNeeds[str], share: float, exchange: bool) -> None:
    assert needs.choose(share, exchange=exchange) == plainly_chosen(needs, share, exchange=exchange)


@pytest.mark.parametrize("share", [0.5, 0.8, 0.9])
@pytest.mark.parametrize("seed", range(6))
def test_it_is_so_where_days_lack_many_kinds_and_many_steps_are_alike(seed: int, share: float) -> None:
    random = Random(seed)
    needs = JointNeeds(
        {
            f"kind-{n}": KindNeeds(
                by_day=tuple(int(random.expovariate(1 / mean)) for _ in range(60)),
                price=random.choice((10, 10, 25, 60)),
            )
            for n, mean in enumerate((0.3, 0.4, 0.6, 0.6, 0.8, 1, 1, 1.5, 2, 4))
        },
        60,
    )
    assert needs.choose(share) == plainly_chosen(needs, share)


def test_of_a_thousand_small_cases_nearly_all_come_out_at_the_cheapest() -> None:
    random = Random(5)
    dearer = 0
    for _ in range(1000):
        days = random.randrange(5, 25)
        needs = JointNeeds(
            {
                name: KindNeeds(by_day=tuple(random.randrange(4) for _ in range(days)), price=random.randrange(1, 400))
                for name in "abc"
            },
            days,
        )
        dearer += needs.price(needs.choose(0.8)) > cheapest(needs, 0.8)
    assert dearer <= 20


def drawn(seed: int, *, kinds: int = 25, days: int = 400) -> JointNeeds[int]:
    """Days as they are: some are busy for every kind, and each kind has luck of its own."""
    random = np.random.default_rng(seed)
    busy = random.gamma(40, 1 / 40, days)
    means = random.gamma(2.0, 2.0, kinds) + 0.2
    return JointNeeds(
        {
            n: KindNeeds(by_day=tuple(map(int, random.poisson(mean * busy))), price=int(random.integers(3_000, 60_000)))
            for n, mean in enumerate(means)
        },
        days,
    )


def solved(needs: JointNeeds[int], share: float) -> float:
    """The exact price, by scipy's integer programs (HiGHS).

    A variable for each piece above the floor, one for each day that is short at the floor: a day is kept when every
    piece that it wants is there.
    """
    must = days_asked(share, needs.days)
    floor = {id_: max(sorted(kind.by_day)[must - 1], kind.least) for id_, kind in needs.kinds.items()}
    pieces = [
        (id_, count)
        for id_, kind in needs.kinds.items()
        for count in range(floor[id_] + 1, max(*kind.by_day, floor[id_]) + 1)
    ]
    number = {piece: n for n, piece in enumerate(pieces)}
    wants = [
        [(id_, kind.by_day[day]) for id_, kind in needs.kinds.items() if kind.by_day[day] > floor[id_]]
        for day in range(needs.days)
    ]
    short = [want for want in wants if want]
    rows = lil_matrix((1 + sum(map(len, short)) + len(pieces), len(pieces) + len(short)))
    rows[0, len(pieces) :] = 1
    row = 1
    for n, want in enumerate(short):
        for piece in want:
            rows[row, len(pieces) + n], rows[row, number[piece]] = 1, -1
            row += 1
    for id_, count in pieces:
        if (id_, count - 1) in number:
            rows[row, number[id_, count]], rows[row, number[id_, count - 1]] = 1, -1
            row += 1
    least = np.concatenate([[must - (needs.days - len(short))], np.full(rows.shape[0] - 1, -np.inf)])
    most = np.concatenate([[np.inf], np.zeros(rows.shape[0] - 1)])
    prices = [needs.kinds[id_].price for id_, _ in pieces] + [0] * len(short)
    found = milp(
        prices,
        constraints=LinearConstraint(rows.tocsr(), least, most),
        integrality=np.ones(len(prices)),
        bounds=Bounds(0, 1),
    )
    assert found.success
    return float(needs.price(floor) + found.fun)


@pytest.mark.parametrize("share", [0.8, 0.9, 0.95, 0.99])
@pytest.mark.parametrize("seed", range(4))
def test_an_integer_program_finds_hardly_anything_cheaper(seed: int, share: float) -> None:
    needs = drawn(seed)
    exact = solved(needs, share)
    price = needs.price(needs.choose(share))
    assert exact - 0.5 <= price <= exact * (1 + DEARER)


@given(small())
def test_more_that_is_asked_for_is_never_cheaper(needs: JointNeeds[str]) -> None:
    exact = [cheapest(needs, share) for share in (0.3, 0.8, 0.95)]
    assert exact == sorted(exact)
    kept = [needs.kept(needs.choose(share)) for share in (0.3, 0.8, 0.95)]
    assert all(days >= share * needs.days - 1e-9 for days, share in zip(kept, (0.3, 0.8, 0.95), strict=True))


@given(small(), SHARES)
def test_the_order_of_kinds_changes_no_price(needs: JointNeeds[str], share: float) -> None:
    turned = JointNeeds({name: needs.kinds[name] for name in reversed([*needs.kinds])}, needs.days)
    one, other = needs.price(needs.choose(share)), turned.price(turned.choose(share))
    assert max(one, other) <= 1.25 * min(one, other)


@given(busy(), SHARES)
def test_a_written_count_moves_no_other_but_where_the_promise_needs_more(needs: JointNeeds[str], share: float) -> None:
    counts, unwritten = needs.choose(share), needs.with_written({}).choose(share)
    written = {name: kind.written for name, kind in needs.kinds.items() if kind.written is not None}
    assert all(counts[name] == number for name, number in written.items())
    assert all(counts[name] >= unwritten[name] for name in needs.kinds if name not in written)
    if all(number >= unwritten[name] for name, number in written.items()):
        assert counts == {**unwritten, **written}


def test_a_written_count_stays_and_the_others_make_up_for_it() -> None:
    # By hand: on three of four days one kind needs 2. To keep three of four days, one of the three may stay at 1.
    def needs(**written: int) -> JointNeeds[str]:
        days = {"a": (2, 1, 1, 1), "b": (1, 2, 1, 1), "c": (1, 1, 2, 1)}
        prices = {"a": 10, "b": 20, "c": 30}
        return JointNeeds({n: KindNeeds(by_day=d, price=prices[n], written=written.get(n)) for n, d in days.items()}, 4)

    assert needs().choose(0.75) == {"a": 2, "b": 2, "c": 1}
    assert needs(a=1).choose(0.75) == {"a": 1, "b": 2, "c": 2}
    assert needs(c=3).choose(0.75) == {"a": 2, "b": 2, "c": 3}  # with a b less, too


def test_where_written_counts_break_the_promise_the_others_are_chosen_as_if_they_did_not() -> None:
    needs = JointNeeds(
        {
            "few": KindNeeds(by_day=(2, 2, 2, 2), price=5, written=1),
            "other": KindNeeds(by_day=(1, 2, 3, 4), price=5),
        },
        4,
    )
    assert needs.choose(0.75) == {"few": 1, "other": 3}
    assert needs.kept({"few": 1, "other": 3}) == 0


def test_a_day_that_lacks_two_kinds_is_mended_with_both_at_once() -> None:
    """No single piece makes another day kept; both together make half of the days kept."""
    needs = JointNeeds({"a": KindNeeds(by_day=(1, 1, 2, 2), price=7), "b": KindNeeds(by_day=(1, 1, 2, 2), price=7)}, 4)
    assert needs.choose(0.75) == {"a": 2, "b": 2}
    assert needs.choose(0.5) == {"a": 1, "b": 1}


def test_a_kind_says_a_number_for_every_day() -> None:
    with pytest.raises(ValueError, match="not every kind has 2 days"):
        JointNeeds({"a": KindNeeds(by_day=(1,), price=1)}, 2)


def test_days_asked_for_do_not_hang_on_rounding() -> None:
    assert [days_asked(share, 1000) for share in (0.95, 0.9501, 0.0, 0.999)] == [950, 951, 0, 999]
    assert days_asked(0.95, 20) == 19 and days_asked(0.95, 1) == 1
