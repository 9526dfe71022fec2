"""All or nothing: a reader of the folder finds the handbook before or the handbook after, never half of one."""

from __future__ import annotations

import errno
import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest

from kitdocs.practice.problems import PublishError, TargetError
from kitdocs.publish import folder
from kitdocs.publish.folder import MANIFEST, write_folder

BEFORE = {"index.html": b"before", "r/teal.html": b"teal"}
AFTER = {"index.html": b"after", "s/core.html": b"core"}


def contents(path: Path) -> dict[str, bytes]:
    return {
        p.relative_to(path).as_posix(): p.read_bytes() for p in path.rglob("*") if p.is_file() and p.name != MANIFEST
    }


def test_a_new_folder_is_written_with_its_parents(tmp_path: Path) -> None:
    assert write_folder(tmp_path / "a" / "out", BEFORE)
    assert contents(tmp_path / "a" / "out") == BEFORE


def test_the_next_handbook_takes_the_place_of_the_one_before_and_leaves_nothing_beside_it(tmp_path: Path) -> None:
    write_folder(tmp_path / "out", BEFORE)
    assert write_folder(tmp_path / "out", AFTER)
    assert contents(tmp_path / "out") == AFTER
    assert [p.name for p in tmp_path.iterdir()] == ["out"]


def test_where_two_folders_cannot_be_exchanged_in_one_step_they_are_renamed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    write_folder(tmp_path / "out", BEFORE)
    monkeypatch.setattr(folder, "_exchange", lambda one, other: False)
    assert write_folder(tmp_path / "out", AFTER)
    assert contents(tmp_path / "out") == AFTER
    assert [p.name for p in tmp_path.iterdir()] == ["out"]


def test_a_second_run_changes_nothing_not_even_a_time(tmp_path: Path) -> None:
    write_folder(tmp_path / "out", BEFORE)
    times = {p: p.stat().st_mtime_ns for p in tmp_path.rglob("*")}
    assert not write_folder(tmp_path / "out", BEFORE)
    assert {p: p.stat().st_mtime_ns for p in tmp_path.rglob("*")} == times


def test_a_folder_that_somebody_else_filled_is_not_touched(tmp_path: Path) -> None:
    (tmp_path / "taxes.txt").write_text("mine")
    with pytest.raises(TargetError, match="kitdocs did not write them"):
        write_folder(tmp_path, AFTER)
    assert contents(tmp_path) == {"taxes.txt": b"mine"}


def test_a_file_that_somebody_put_into_the_handbook_is_not_lost(tmp_path: Path) -> None:
    write_folder(tmp_path / "out", BEFORE)
    (tmp_path / "out" / "notes.txt").write_text("mine")
    with pytest.raises(TargetError, match=r"notes\.txt"):
        write_folder(tmp_path / "out", AFTER)
    assert contents(tmp_path / "out") == {**BEFORE, "notes.txt": b"mine"}


def test_what_a_file_manager_leaves_is_no_hindrance(tmp_path: Path) -> None:
    write_folder(tmp_path / "out", BEFORE)
    (tmp_path / "out" / ".DS_Store").write_bytes(b"\0")
    assert not write_folder(tmp_path / "out", BEFORE)
    assert write_folder(tmp_path / "out", AFTER)


@pytest.mark.parametrize("manifest", [b"{", b"[]", b'{"files": 3}', b"\xff"])
def test_a_broken_list_of_files_makes_the_folder_somebody_elses(tmp_path: Path, manifest: bytes) -> None:
    (tmp_path / MANIFEST).write_bytes(manifest)
    with pytest.raises(TargetError):
        write_folder(tmp_path, AFTER)
    assert (tmp_path / MANIFEST).read_bytes() == manifest


def test_an_empty_folder_may_be_filled(tmp_path: Path) -> None:
    (tmp_path / "out").mkdir()
    assert write_folder(tmp_path / "out", AFTER)


def test_a_file_or_a_link_is_no_folder(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("mine")
    (tmp_path / "link").symlink_to(tmp_path)
    for name in ("file", "link"):
        with pytest.raises(TargetError, match="is not a folder"):
            write_folder(tmp_path / name, AFTER)
    assert (tmp_path / "file").read_text() == "mine"


def test_a_full_disk_leaves_the_handbook_before(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    write_folder(tmp_path / "out", BEFORE)

    def full(descriptor: int) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(PublishError, match="No space left on device; what was there is untouched"):
        write_folder(tmp_path / "out", AFTER)
    assert contents(tmp_path / "out") == BEFORE
    assert [p.name for p in tmp_path.iterdir()] == ["out"]


@pytest.mark.skipif(sys.platform == "win32", reason="kills as POSIX systems do")
@pytest.mark.whole
def test_a_run_killed_while_it_writes_leaves_the_handbook_before(tmp_path: Path) -> None:
    write_folder(tmp_path / "out", BEFORE)
    program = (
        "import sys; from pathlib import Path; from kitdocs.publish.folder import write_folder;"
        "write_folder(Path(sys.argv[1]), {f'page-{n}.html': b'x' * 100_000 for n in range(5000)})"
    )
    run = subprocess.Popen([sys.executable, "-c", program, str(tmp_path / "out")])
    deadline = time.monotonic() + 10
    while time.monotonic() < deadline and len(list(tmp_path.glob(".kitdocs-out-*/*"))) < 5:
        time.sleep(0.002)
    run.send_signal(signal.SIGKILL)
    assert run.wait() == -signal.SIGKILL
    assert contents(tmp_path / "out") == BEFORE

    assert list(tmp_path.glob(".kitdocs-out-*"))
    write_folder(tmp_path / "out", AFTER)
    assert [p.name for p in tmp_path.iterdir()] == ["out"], "the next run clears what a killed one left"


@pytest.mark.skipif(sys.platform == "win32", reason="a folder cannot be held there")
@pytest.mark.whole
def test_a_run_that_is_still_writing_keeps_its_folder(tmp_path: Path) -> None:
    program = (
        "import sys; from pathlib import Path; from kitdocs.publish import folder\n"
        "with folder._folder_beside(Path(sys.argv[1])) as beside:\n"
        "    (beside / 'page.html').write_bytes(b'x'); print('writing', flush=True); sys.stdin.read()"
    )
    other = subprocess.Popen(
        [sys.executable, "-c", program, str(tmp_path / "out")], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    )
    assert other.stdout and other.stdout.readline() == "writing\n"
    write_folder(tmp_path / "out", AFTER)
    assert len(list(tmp_path.glob(".kitdocs-out-*/page.html"))) == 1
    other.communicate()
    assert [p.name for p in tmp_path.iterdir()] == ["out"]


def test_a_handbook_that_a_killed_run_had_moved_aside_comes_back(tmp_path: Path) -> None:
    write_folder(tmp_path / "out", BEFORE)
    (tmp_path / ".kitdocs-out-abcd_123").mkdir()
    (tmp_path / "out").rename(tmp_path / ".kitdocs-out-abcd_123" / "before")
    assert not write_folder(tmp_path / "out", BEFORE), "it is there again, so nothing is left to write"
    assert contents(tmp_path) == {f"out/{name}": content for name, content in BEFORE.items()}


def test_an_interruption_between_the_two_renames_brings_the_handbook_back(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    write_folder(tmp_path / "out", BEFORE)
    rename = Path.rename

    def interrupted(path: Path, to: Path) -> Path:
        if to == tmp_path / "out" and path.name != "before":
            raise KeyboardInterrupt
        return rename(path, to)

    monkeypatch.setattr(folder, "_exchange", lambda one, other: False)
    monkeypatch.setattr(Path, "rename", interrupted)
    with pytest.raises(KeyboardInterrupt):
        write_folder(tmp_path / "out", AFTER)
    assert contents(tmp_path / "out") == BEFORE
    assert [p.name for p in tmp_path.iterdir()] == ["out"]


def test_a_disk_of_its_own_is_not_swapped_and_leaves_nothing_beside_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "stick").mkdir()

    def busy(path: Path, to: Path) -> Path:
        raise OSError(errno.EBUSY, os.strerror(errno.EBUSY))

    monkeypatch.setattr(folder, "_exchange", lambda one, other: False)
    monkeypatch.setattr(Path, "rename", busy)
    monkeypatch.setattr(os.path, "ismount", lambda path: path == tmp_path / "stick")
    with pytest.raises(PublishError, match="a disk of its own; name a folder inside it"):
        write_folder(tmp_path / "stick", AFTER)
    assert [p.name for p in tmp_path.iterdir()] == ["stick"]


def test_a_folder_that_cannot_be_looked_into_is_refused_in_words(tmp_path: Path) -> None:
    with pytest.raises(TargetError, match="cannot be looked into"):
        write_folder(tmp_path / ("x" * 300), AFTER)


def test_a_large_folder_of_somebody_elses_is_not_walked_to_its_end(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "taxes.txt").write_text("mine")
    (tmp_path / "home").mkdir()
    scanned: list[str] = []
    scan = os.scandir
    monkeypatch.setattr(os, "scandir", lambda path: scanned.append(str(path)) or scan(path))
    with pytest.raises(TargetError, match="kitdocs did not write them"):
        write_folder(tmp_path, AFTER)
    assert scanned == [str(tmp_path)]


def test_nobody_is_left_standing_in_a_folder_that_is_gone(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    write_folder(tmp_path / "out", BEFORE)
    monkeypatch.chdir(tmp_path / "out" / "r")
    with pytest.raises(TargetError, match="go up one folder"):
        write_folder(tmp_path / "out", AFTER)
    assert contents(tmp_path / "out") == BEFORE
    monkeypatch.chdir(tmp_path)
    assert write_folder(Path("out"), AFTER)
