"""`kitdocs group`: found, worked on anywhere with the same bytes, one bad practice apart, only what changed again."""

from __future__ import annotations

import csv
import json
import os
import shutil
import signal
from collections.abc import Callable, Iterator, Sequence
from functools import partial
from pathlib import Path

import pytest
from generated_group import in_folder, write_group
from openpyxl import load_workbook

from kitdocs.cli import main
from kitdocs.errors import KitdocsError, TargetError
from kitdocs.group.found import PackedPractice, packed, practice_folders, unpacked
from kitdocs.group.publishing import Published, publish_group, publish_with
from kitdocs.group.running import here, in_processes
from kitdocs.group.work import WorkedOn, work_on
from kitdocs.planning.plan import make_plan
from kitdocs.practice.reading.reader import read_practice

Work = Callable[[PackedPractice], WorkedOn]


@pytest.fixture
def ours(tmp_path: Path) -> Path:
    write_group(tmp_path / "ours", 3)
    return tmp_path / "ours"


@pytest.fixture
def cached(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("KITDOCS_CACHE", str(tmp_path / "cache"))


def compared(ours: Path, to: Path, *, fresh: bool = False) -> Published:
    return publish_group(ours, to, handbooks=False, fresh=fresh)


def test_every_folder_with_a_practice_is_found_at_any_depth_and_the_shared_one_is_none(ours: Path) -> None:
    (ours / "coast").mkdir()
    (ours / "practice-003").rename(ours / "coast" / "far")
    (ours / ".hidden").mkdir()
    shutil.copy(ours / "practice-001" / "practice.yaml", ours / ".hidden")
    assert list(practice_folders(ours)) == ["coast/far", "practice-001", "practice-002"]


def test_a_folder_without_practices_and_a_practice_called_group_are_refused(ours: Path, tmp_path: Path) -> None:
    (tmp_path / "none").mkdir()
    with pytest.raises(KitdocsError, match="no folder below"):
        practice_folders(tmp_path / "none")
    (ours / "practice-001").rename(ours / "group")
    with pytest.raises(KitdocsError, match="no practice can be in a folder 'group'"):
        practice_folders(ours)


def test_a_practice_is_read_from_its_data_as_from_its_folder(ours: Path) -> None:
    practice = packed("practice-001", ours / "practice-001")
    there = read_practice(ours / "practice-001")
    shutil.rmtree(ours)
    with unpacked(practice) as folder:
        again = read_practice(folder)
    assert (again.instruments, again.sets, again.settings) == (there.instruments, there.sets, there.settings)


def test_the_figures_that_are_compared_are_those_of_each_practices_own_plan(ours: Path, tmp_path: Path) -> None:
    published = compared(ours, tmp_path / "out")
    rows = list(csv.DictReader((tmp_path / "out/group/tables/compare.csv").read_text("utf-8-sig").splitlines()))
    assert [row["Folder"] for row in rows] == ["practice-001", "practice-002", "practice-003"]
    for row in rows:
        practice = read_practice(ours / row["Folder"])
        plan = make_plan(practice)
        figures = {figure.id: figure.value for figure in plan.figures}
        stock = sum(value for id_, value in figures.items() if id_.startswith("stock.") and isinstance(value, int))
        assert int(row["Sets to own"]) == stock
        assert float(row["Sets for each chair"]) == round(stock / len(practice.chairs), 2)
        assert float(row["Still to buy"]) == float(plan.orders.total)
        assert row["All back in the store by"] == str(figures["day.ends"])
    sheets = load_workbook(tmp_path / "out/group/group.xlsx").sheetnames
    assert sheets == ["Comparison", "Differences", "Transfers", "Order", "Problems"]
    assert published.group.exchange.transfers


def test_one_bad_practice_stops_none_of_the_others_and_its_problems_name_both_places(
    ours: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    own = "mirror:\n  length: long\n"
    (ours / "practice-002" / "instruments.yaml").write_text(own, "utf-8")
    with pytest.raises(SystemExit) as ended:
        main(["group", str(ours), "--to", str(tmp_path / "out"), "--without-handbooks", "--processes", "1", "--json"])
    answer = json.loads(capsys.readouterr().out)
    assert ended.value.code == 1
    assert {name: each["good"] for name, each in answer["practices"].items()} == {
        "practice-001": True,
        "practice-002": False,
        "practice-003": True,
    }
    (problem,) = answer["practices"]["practice-002"]["problems"]
    assert (problem["file"], problem["line"], problem["path"]) == ("instruments.yaml", 2, "instruments.mirror.length")
    page = (tmp_path / "out/group/wrong.html").read_text("utf-8")
    assert "instruments.yaml:2, ../common/instruments.yaml:" in page
    index = (tmp_path / "out/group/index.html").read_text("utf-8")
    assert "1 error keeps it out of the comparison" in index


def test_only_what_changed_is_made_again(ours: Path, tmp_path: Path, cached: None) -> None:
    assert len(compared(ours, tmp_path / "out").made_again) == 3
    first = in_folder(tmp_path / "out")
    assert compared(ours, tmp_path / "out").made_again == ()
    assert in_folder(tmp_path / "out") == first
    practice = ours / "practice-002" / "practice.yaml"
    practice.write_text(practice.read_text("utf-8").replace("per_week: 5", "per_week: 4"), "utf-8")
    assert compared(ours, tmp_path / "out").made_again == ("practice-002",)
    shared = ours / "common" / "instruments.yaml"
    shared.write_text(shared.read_text("utf-8") + "# everybody's\n", "utf-8")
    assert len(compared(ours, tmp_path / "out").made_again) == 3
    assert len(compared(ours, tmp_path / "out", fresh=True).made_again) == 3


def test_what_was_worked_on_is_known_even_if_the_cache_has_lost_it_meanwhile(
    ours: Path, tmp_path: Path, cached: None
) -> None:
    def forgetful(practices: Sequence[PackedPractice], work: Work) -> Iterator[WorkedOn]:
        yield from map(work, practices)
        shutil.rmtree(tmp_path / "cache")

    publish_with(forgetful, ours, tmp_path / "out", handbooks=False)
    assert compared(ours, tmp_path / "out").made_again == ()


def test_what_kitdocs_did_not_write_is_not_replaced(ours: Path, tmp_path: Path) -> None:
    (tmp_path / "out" / "group").mkdir(parents=True)
    (tmp_path / "out" / "group" / "mine.txt").write_text("mine", "utf-8")
    with pytest.raises(TargetError):
        compared(ours, tmp_path / "out")


def test_the_order_in_which_practices_are_done_changes_no_byte(ours: Path, tmp_path: Path) -> None:
    def backwards(
        practices: Sequence[PackedPractice], work: Callable[[PackedPractice], WorkedOn]
    ) -> Iterator[WorkedOn]:
        yield from map(work, reversed(practices))

    compared(ours, tmp_path / "one")
    publish_with(backwards, ours, tmp_path / "two", handbooks=False)
    assert in_folder(tmp_path / "one") == in_folder(tmp_path / "two")


def killed_once(marks: Path, practice: PackedPractice) -> WorkedOn:
    """Work on a practice; the first process that gets to the second one is killed by the system."""
    mark = marks / practice.name
    if practice.name == "practice-002" and not mark.exists():
        mark.touch()
        os.kill(os.getpid(), signal.SIGKILL)
    return work_on(practice, handbook=False)


def killed_always(practice: PackedPractice) -> WorkedOn:
    if practice.name == "practice-002":
        os.kill(os.getpid(), signal.SIGKILL)
    return work_on(practice, handbook=False)


@pytest.mark.whole
def test_what_a_killed_process_had_is_done_again_and_changes_nothing(ours: Path, tmp_path: Path) -> None:
    practices = [packed(name, folder) for name, folder in practice_folders(ours).items()]
    expected = {each.name: each for each in here(practices, partial(work_on, handbook=False))}
    marks = tmp_path / "marks"
    marks.mkdir()
    found = {each.name: each for each in in_processes(2)(practices, partial(killed_once, marks))}
    assert (marks / "practice-002").exists()
    assert found == expected


@pytest.mark.whole
def test_a_practice_that_always_ends_its_process_is_told_and_ends_no_other(ours: Path) -> None:
    practices = [packed(name, folder) for name, folder in practice_folders(ours).items()]
    found = {each.name: each for each in in_processes(2)(practices, killed_always)}
    assert {name: each.is_good for name, each in found.items()} == {
        "practice-001": True,
        "practice-002": False,
        "practice-003": True,
    }
    assert "ended twice before it had finished" in found["practice-002"].failed


@pytest.mark.whole
def test_two_processes_publish_the_same_bytes_as_one_and_a_changed_handbook_is_made_again(
    ours: Path, tmp_path: Path, cached: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    for name in ("practice-002", "practice-003"):
        shutil.rmtree(ours / name)
    shutil.copytree(ours / "practice-001", ours / "practice-002")
    one, two = tmp_path / "one", tmp_path / "two"
    publish_group(ours, one)
    monkeypatch.setenv("KITDOCS_CACHE", "off")
    publish_group(ours, two, processes=2)
    assert in_folder(one) == in_folder(two)
    assert {path.name for path in one.iterdir()} == {"group", "practice-001", "practice-002"}
    assert (one / "practice-001" / "print" / "binder.pdf").exists()
    index = (one / "group" / "index.html").read_text("utf-8")
    assert 'href="../practice-001/index.html"' in index
    monkeypatch.setenv("KITDOCS_CACHE", str(tmp_path / "cache"))
    (one / "practice-001" / "wall.html").unlink()
    again = publish_group(ours, one)
    assert again.made_again == ("practice-001",)
    assert in_folder(one) == in_folder(two)
    (one / "practice-002" / "wall.html").write_text("a note of somebody", "utf-8")
    practices = publish_group(ours, one).group.practices
    assert practices["practice-001"].is_good
    assert "wall.html was changed since kitdocs wrote it" in practices["practice-002"].failed
    assert (one / "practice-002" / "wall.html").read_text("utf-8") == "a note of somebody"
