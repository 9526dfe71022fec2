"""`--dask`: a real scheduler and real workers, one of them killed midway and one slow."""

from __future__ import annotations

import os
import signal
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import suppress
from functools import partial
from pathlib import Path
from typing import Any, TypeAlias, cast

import pytest
from asking import Ask
from editing import edit
from generated_group import in_folder, write_group
from local_cluster import cluster

from kitdocs.cli import main
from kitdocs.cluster import each_on
from kitdocs.errors import KitdocsError
from kitdocs.group.cluster import on_cluster
from kitdocs.group.found import PackedPractice, packed, practice_folders
from kitdocs.group.running import here
from kitdocs.group.work import WorkedOn, work_on
from kitdocs.practice.reading.reader import read_practice
from kitdocs.practice.reading.undesigned import read_undesigned
from kitdocs.proposing.demand import Demand
from kitdocs.proposing.proposals import propose_designs
from kitdocs.proposing.ways_out import Wish, ways_out
from kitdocs.tasks import Each

pytest.importorskip("distributed")
pytestmark = [pytest.mark.whole, pytest.mark.filterwarnings("default")]

ROOT = Path(__file__).parents[2]
Work: TypeAlias = Callable[[Any, Any], Any]


def slow_or_killed(marks: Path, practice: PackedPractice) -> WorkedOn:
    """Work on a practice. Whoever is the first to get the second one is killed; the third one takes its time."""
    if practice.name == "practice-003":
        time.sleep(3)
    mark = marks / "killed"
    if practice.name == "practice-002" and not mark.exists():
        mark.touch()
        os.kill(os.getpid(), signal.SIGKILL)
    return work_on(practice, handbook=False)


@pytest.fixture
def ours(tmp_path: Path) -> Path:
    write_group(tmp_path / "ours", 5)
    return tmp_path / "ours"


def mortal(given_to_all: tuple[Path, Work, object], given: object) -> object:
    """Do a piece of work; whoever is the first to get one is killed."""
    mark, work, shared = given_to_all
    with suppress(FileExistsError):
        mark.touch(exist_ok=False)
        os.kill(os.getpid(), signal.SIGKILL)
    return work(shared, given)


def test_a_search_for_sets_whose_worker_is_killed_finds_what_one_process_finds(started: Path, tmp_path: Path) -> None:
    demand = Demand(practice=read_undesigned(started).practice)
    expected = propose_designs(demand, weighings=["cheapest"])
    with cluster(tmp_path, 2) as (address, workers), each_on(address) as there:

        def each(work: Work, shared: object, given: Sequence[object]) -> Iterator[object]:
            return there(mortal, (tmp_path / "killed", work, shared), given)

        found = propose_designs(demand, weighings=["cheapest"], each=cast("Each", each))
        assert [worker.poll() for worker in workers].count(None) == 1, "one of the two is gone"
    assert found.proposals == expected.proposals
    assert found.judge.known == expected.judge.known
    assert list(found.judge.known) == list(expected.judge.known)


def test_ways_to_a_wish_are_the_same_on_a_cluster(started: Path, tmp_path: Path) -> None:
    practice, wish = read_practice(started), Wish(chance=0.99)
    with cluster(tmp_path, 2) as (address, _), each_on(address) as each:
        found = ways_out(practice, wish, days=20, each=each)
    expected = ways_out(practice, wish, days=20)
    found_ids, expected_ids = ([[one.id for one in way.ways] for way in each.found] for each in (found, expected))
    assert found_ids == expected_ids
    assert [way.outcome for way in found.found] == [way.outcome for way in expected.found]
    assert found.tried == expected.tried > 20


def test_commands_say_on_a_cluster_what_they_say_here(started: Path, tmp_path: Path, ask: Ask) -> None:
    asked = (
        ("propose", started, "--json"),
        ("plan", started, "--days", 100, "--set", "practice.service=90%", "--json"),
    )
    with cluster(tmp_path, 2) as (address, _):
        for words in asked:
            here, there = ask(*words), ask(*words, "--dask", address)
            assert here.status == 0, here
            assert there == here


def test_what_is_wrong_is_told_by_a_cluster_as_here(started: Path, tmp_path: Path, ask: Ask) -> None:
    edit(started / "procedures.yaml", "per_day: 16", "per_day: 900")
    with cluster(tmp_path, 1) as (address, _):
        here = ask("plan", started, "--days", 20)
        assert here.status != 0
        assert ask("plan", started, "--days", 20, "--dask", address) == here


def test_a_cluster_with_a_killed_and_a_slow_worker_gives_what_one_process_gives(ours: Path, tmp_path: Path) -> None:
    practices = [packed(name, folder) for name, folder in practice_folders(ours).items()]
    expected = {each.name: each for each in here(practices, partial(work_on, handbook=False))}
    with cluster(tmp_path, 2) as (address, workers):
        found = {each.name: each for each in on_cluster(address)(practices, partial(slow_or_killed, tmp_path))}
        assert (tmp_path / "killed").exists()
        assert [worker.poll() for worker in workers].count(None) == 1, "one of the two is gone"
    assert found == expected


def test_the_command_writes_the_same_bytes_on_a_cluster_as_in_one_process(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    write_group(tmp_path / "ours", 1)
    with cluster(tmp_path, 1) as (address, _):
        for out, how in (("here", ["--processes", "1"]), ("there", ["--dask", address])):
            with pytest.raises(SystemExit) as ended:
                main(["group", str(tmp_path / "ours"), "--to", str(tmp_path / out), *how])
            assert ended.value.code == 0, capsys.readouterr()
    assert in_folder(tmp_path / "here") == in_folder(tmp_path / "there")
    assert (tmp_path / "there" / "practice-001" / "print" / "binder.pdf").exists()


def test_a_cluster_that_is_not_there_and_one_without_workers_are_told(ours: Path, tmp_path: Path) -> None:
    practices = [packed("practice-001", ours / "practice-001")]
    with pytest.raises(KitdocsError, match="no Dask scheduler answers at nonsense"):
        list(on_cluster("nonsense://")(practices, partial(work_on, handbook=False)))
    with cluster(tmp_path, 0) as (address, _), pytest.raises(KitdocsError, match="the cluster has no workers"):
        list(on_cluster(address)(practices, partial(work_on, handbook=False)))


def test_a_worker_with_another_kitdocs_is_refused(ours: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    practices = [packed("practice-001", ours / "practice-001")]
    with cluster(tmp_path, 1) as (address, _):
        monkeypatch.setattr("kitdocs.cache.PACKAGES", ("typer",))
        from kitdocs.cache import _fingerprint  # noqa: PLC0415

        _fingerprint.cache_clear()
        try:
            with pytest.raises(KitdocsError, match="has another kitdocs, Python or package"):
                list(on_cluster(address)(practices, partial(work_on, handbook=False)))
        finally:
            monkeypatch.undo()
            _fingerprint.cache_clear()
