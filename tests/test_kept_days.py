"""Days that are kept: found again when only written counts or what no day reads differ, made anew for all else."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any, Literal

import pytest

from kitdocs.cache import Cache
from kitdocs.command import kept_days as kept_days_module
from kitdocs.command.kept_days import _UNREAD, KeptDays
from kitdocs.planning.buying.placement import placement_study
from kitdocs.planning.day.breaking import Breakdown, breakdowns
from kitdocs.planning.day.run import BusyDays, busy_days, drawn_days
from kitdocs.planning.day.written import with_written_counts, without_written_counts
from kitdocs.practice.locations import SourceLocations
from kitdocs.practice.model import Practice
from kitdocs.practice.printed import PrintRecord

DAYS = 12


def with_count(practice: Practice, count: int | Literal["auto"], nth: int = 0) -> Practice:
    """Return the practice with another count of the nth pouch in every drawer."""
    chairs = {
        id_: chair.model_copy(update={"drawer": {**chair.drawer, list(chair.drawer)[nth]: count}})
        for id_, chair in practice.chairs.items()
    }
    return replace(practice, chairs=chairs)


@pytest.mark.parametrize("nth", [0, -1])
@pytest.mark.parametrize("count", ["auto", 0, 1, 30])
def test_written_count_changes_no_day(count: int | Literal["auto"], nth: int, example: Practice) -> None:
    practice = with_count(example, count, nth)
    ran = busy_days(without_written_counts(practice), days=DAYS)
    assert not any(par.written for par in ran.pars.values())
    assert with_written_counts(practice, ran) == busy_days(practice, days=DAYS)


def test_days_read_nothing_that_their_key_leaves_out(example: Practice) -> None:
    nothing: dict[str, Any] = {
        "drawings": {},
        "folder": Path(),
        "pages": (),
        "photos": {},
        "places": SourceLocations(),
        "printed": PrintRecord(),
        "problems": (),
        "words": {},
    }
    assert set(nothing) == set(_UNREAD)
    practice = without_written_counts(example)
    assert busy_days(replace(practice, **nothing), days=DAYS) == busy_days(practice, days=DAYS)


@pytest.fixture
def days_run(monkeypatch: pytest.MonkeyPatch) -> list[int]:
    """How many days each run had that was made."""
    made: list[int] = []

    def counting(practice: Practice, **how: object) -> object:
        made.append(len(how["bookings"]) if how["bookings"] else how["days"])  # type: ignore[arg-type]
        return busy_days(practice, **how)  # type: ignore[arg-type]

    monkeypatch.setattr(kept_days_module, "busy_days", counting)
    return made


def test_days_are_found_again_for_another_written_count(example: Practice, tmp_path: Path, days_run: list[int]) -> None:
    KeptDays(Cache(tmp_path))(example, days=DAYS)
    for count in (3, 30, 0):
        practice = with_count(example, count)
        assert KeptDays(Cache(tmp_path))(practice, days=DAYS) == busy_days(practice, days=DAYS)
    assert days_run == [DAYS]
    KeptDays(Cache(tmp_path, fresh=True))(example, days=DAYS)
    assert days_run == [DAYS, DAYS]


def changed(practice: Practice) -> list[Practice]:
    """Return practices whose days may differ: other numbers, another order, other seconds."""
    busiest = max(practice.procedures.values(), key=lambda procedure: procedure.per_day)
    id_ = next(id_ for id_, procedure in practice.procedures.items() if procedure is busiest)
    room, settings = practice.room, practice.settings
    return [
        replace(
            practice,
            procedures={**practice.procedures, id_: busiest.model_copy(update={"per_day": busiest.per_day + 1})},
        ),
        replace(practice, chairs={id_: practice.chairs[id_] for id_ in reversed(tuple(practice.chairs))}),
        replace(practice, room=room.model_copy(update={"carry": room.carry + 1})),
        replace(practice, settings=settings.model_copy(update={"service": settings.service / 2})),
        replace(practice, stock={}),
    ]


def test_any_other_change_makes_the_days_anew(example: Practice, tmp_path: Path, days_run: list[int]) -> None:
    kept = KeptDays(Cache(tmp_path))
    kept(example, days=DAYS)
    for count, practice in enumerate(changed(example), 2):
        assert kept(practice, days=DAYS) == busy_days(practice, days=DAYS)
        assert len(days_run) == count
    kept(example, days=DAYS, seed=2)
    kept(example, days=DAYS + 1)
    kept(example, bookings=drawn_days(example, days=DAYS))
    kept(example, bookings=drawn_days(example, days=DAYS, seed=2))
    assert days_run[-4:] == [DAYS, DAYS + 1, DAYS + 1, DAYS + 1]


def test_study_is_the_same_with_days_that_were_kept(example: Practice, tmp_path: Path, days_run: list[int]) -> None:
    instruments = list(example.instruments)[:3]
    practice = with_count(example, 9)

    def study(of: Practice, **how: KeptDays) -> object:
        return placement_study(of, busy_days(of, days=DAYS), instruments=instruments, **how)

    study(example, run=KeptDays(Cache(tmp_path)))
    made = len(days_run)
    assert made > 1
    assert study(practice, run=KeptDays(Cache(tmp_path))) == study(practice)
    assert len(days_run) == made


def test_breakdowns_are_found_again_for_another_written_count(
    example: Practice, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    made: list[int] = []

    def counting(practice: Practice, ran: BusyDays) -> tuple[Breakdown, ...]:
        made.append(ran.days)
        return breakdowns(practice, ran)

    monkeypatch.setattr(kept_days_module, "breakdowns", counting)
    kept = KeptDays(Cache(tmp_path))
    kept.breakdowns(example, busy_days(example, days=DAYS))
    practice = with_count(example, 9)
    ran = busy_days(practice, days=DAYS)
    assert kept.breakdowns(practice, ran) == breakdowns(practice, ran)
    assert made == [DAYS]
    id_ = next(iter(ran.sets))
    fewer = replace(ran, sets={**ran.sets, id_: replace(ran.sets[id_], needed=1)})
    for other in (fewer, replace(ran, seed=2), busy_days(practice, days=DAYS + 1)):
        assert kept.breakdowns(practice, other) == breakdowns(practice, other) != breakdowns(practice, ran)
    for other_practice in changed(example)[:2]:
        kept.breakdowns(other_practice, ran)
    assert made == [DAYS, DAYS, DAYS, DAYS + 1, DAYS, DAYS]


def test_days_with_problems_are_not_kept(example: Practice, tmp_path: Path, days_run: list[int]) -> None:
    settings = example.settings
    short = settings.day.model_copy(update={"opens": 0, "closes": 24 * 60})
    practice = replace(example, settings=settings.model_copy(update={"day": short}))
    kept = KeptDays(Cache(tmp_path))
    with_problems = [kept(practice, days=DAYS) for _ in range(2)]
    assert all(ran.problems for ran in with_problems)
    assert days_run == [DAYS, DAYS]
