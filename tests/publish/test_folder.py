"""All or nothing: a reader of the folder finds the handbook before or the handbook after, never half of one."""

from __future__ import annotations

import errno
import json
import os
import signal
import subprocess
import sys
import time
from pathlib import Path

import platformdirs
import pytest
from asking import Ask
from faults import AFTER, BEFORE, KINDS

from kitdocs.practice.problems import PublishError, TargetError
from kitdocs.publish import folder
from kitdocs.publish.folder import write_folder
from kitdocs.publish.manifest import MANIFEST, manifest
from kitdocs.publish.recovery import in_journal, lock_file, recover_all


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
    deadline = time.monotonic() + 60
    while time.monotonic() < deadline and len(list(tmp_path.glob(".kitdocs-out-*/writing/*"))) < 5:
        time.sleep(0.002)
    run.send_signal(signal.SIGKILL)
    assert run.wait() == -signal.SIGKILL
    assert contents(tmp_path / "out") == BEFORE

    assert list(tmp_path.glob(".kitdocs-out-*"))
    write_folder(tmp_path / "out", AFTER)
    assert [p.name for p in tmp_path.iterdir()] == ["out"], "the next run clears what a killed one left"


@pytest.mark.whole
def test_a_folder_that_another_run_is_writing_is_left_to_it_until_it_is_killed(tmp_path: Path) -> None:
    program = (
        "import sys; from pathlib import Path; from kitdocs.publish import folder\n"
        "folder._swap = lambda holder, target: (print('writing', flush=True), sys.stdin.read())\n"
        f"folder.write_folder(Path(sys.argv[1]), {AFTER!r})"
    )
    write_folder(tmp_path / "out", BEFORE)
    other = subprocess.Popen(
        [sys.executable, "-c", program, str(tmp_path / "out")], stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    )
    with other:
        assert other.stdout and other.stdout.readline() == "writing\n"
        recover_all(print)
        assert len(list(tmp_path.glob(".kitdocs-out-*/ready/s/core.html"))) == 1
        other.kill()
    recover_all(print)
    assert [p.name for p in tmp_path.iterdir()] == ["out"]
    assert contents(tmp_path / "out") == BEFORE


def found(place: dict[str, str], at: str) -> dict[str, bytes]:
    """The files below a path of what `faults` lists."""
    return {
        path.removeprefix(at): content.encode("latin-1")
        for path, content in place.items()
        if path.startswith(at) and not path.endswith(MANIFEST)
    }


@pytest.mark.skipif(not hasattr(os, "fork"), reason="each fault is met in a process of its own, by fork")
@pytest.mark.whole
@pytest.mark.parametrize(("strategy", "least"), [("exchange", 35), ("renames", 37), ("new", 33)])
def test_a_fault_at_any_call_that_writes_leaves_one_whole_handbook(tmp_path: Path, strategy: str, least: int) -> None:
    faults = Path(__file__).with_name("faults.py")
    done = subprocess.run(
        [sys.executable, str(faults), str(tmp_path), strategy], capture_output=True, text=True, check=True
    )
    runs = [json.loads(line) for line in done.stdout.splitlines()]
    whole = (BEFORE, AFTER) if strategy != "new" else ({}, AFTER)
    for run in runs:
        left, recovered = run["after_fault"], run["recovered"]
        aside = [found(left, f"{path.rpartition('/before/')[0]}/before/") for path in left if "/before/" in path]
        moved = strategy == "renames" and not found(left, "work/out/") and BEFORE in aside
        assert found(left, "work/out/") in whole or moved, run
        assert found(recovered, "work/out/") in whole, run
        assert all(path == "work/out" or path.startswith("work/out/") for path in recovered), run
        assert run["status"] or found(left, "work/out/") == AFTER, run
    for kind in KINDS:
        met = [run["met"] for run in runs if run["kind"] == kind]
        assert met == [True] * (len(met) - 1) + [False] and len(met) > least


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


def test_a_path_that_climbs_out_of_a_missing_folder_is_where_it_leads(tmp_path: Path) -> None:
    (tmp_path / "mine").mkdir()
    (tmp_path / "mine" / "taxes.txt").write_text("mine")
    with pytest.raises(TargetError, match="kitdocs did not write them"):
        write_folder(tmp_path / "build" / ".." / "mine", AFTER)
    assert contents(tmp_path) == {"mine/taxes.txt": b"mine"}
    assert write_folder(tmp_path / "build" / ".." / "out", AFTER)
    assert contents(tmp_path / "out") == AFTER


def test_a_workbook_that_somebody_typed_into_is_not_lost(tmp_path: Path) -> None:
    write_folder(tmp_path / "out", {**BEFORE, "plan.xlsx": b"0"})
    (tmp_path / "out" / "plan.xlsx").write_bytes(b"12 counted")
    with pytest.raises(TargetError, match=r"plan\.xlsx was changed since kitdocs wrote it"):
        write_folder(tmp_path / "out", AFTER)
    assert contents(tmp_path / "out") == {**BEFORE, "plan.xlsx": b"12 counted"}


@pytest.mark.parametrize("exchange", [True, False])
@pytest.mark.parametrize("name", ["index.html", "notes.txt", "notes/today.txt", "r/notes.txt"])
def test_a_file_saved_at_the_last_moment_is_kept_beside_the_handbook(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, name: str, exchange: bool
) -> None:
    write_folder(tmp_path / "out", BEFORE)
    swap = folder._exchange

    def saved_first(one: Path, other: Path) -> bool:
        (other / name).parent.mkdir(exist_ok=True)
        (other / name).write_bytes(b"mine")
        return exchange and swap(one, other)

    monkeypatch.setattr(folder, "_exchange", saved_first)
    said: list[str] = []
    assert write_folder(tmp_path / "out", AFTER, said.append)
    assert contents(tmp_path / "out") == AFTER
    assert contents(tmp_path / "out-not-by-kitdocs-1") == {name: b"mine"}
    assert len(said) == 1
    assert "out-not-by-kitdocs-1 holds files that stood in out" in said[0]
    assert sorted(p.name for p in tmp_path.iterdir()) == ["out", "out-not-by-kitdocs-1"]


def left_by_a_killed_run(place: Path, files: dict[str, bytes]) -> Path:
    """The handbook before, as it is when a run was killed just after it had exchanged the two folders."""
    ready = place / ".kitdocs-out-abcd_123" / "ready"
    write_folder(ready, files)
    return ready


def test_a_file_edited_in_what_a_killed_run_left_is_kept(tmp_path: Path) -> None:
    ready = left_by_a_killed_run(tmp_path, BEFORE)
    (ready / "index.html").write_bytes(b"mine")
    write_folder(tmp_path / "out", AFTER)
    assert contents(tmp_path / "out-not-by-kitdocs-1") == {"index.html": b"mine"}


def test_a_list_that_names_files_outside_its_folder_proves_nothing(tmp_path: Path) -> None:
    (tmp_path / "mine.txt").write_bytes(b"mine")
    half = tmp_path / ".kitdocs-out-abcd_123" / "writing"
    half.mkdir(parents=True)
    (half / MANIFEST).write_bytes(manifest({"../../mine.txt": b"mine"}))
    write_folder(tmp_path / "out", AFTER)
    assert (tmp_path / "mine.txt").read_bytes() == b"mine"


def test_no_link_is_followed_to_what_is_removed(tmp_path: Path) -> None:
    (tmp_path / "elsewhere").mkdir()
    (tmp_path / "elsewhere" / "teal.html").write_bytes(b"teal")
    ready = left_by_a_killed_run(tmp_path, BEFORE)
    (ready / "r" / "teal.html").unlink()
    (ready / "r").rmdir()
    (ready / "r").symlink_to(tmp_path / "elsewhere")
    write_folder(tmp_path / "out", AFTER)
    assert contents(tmp_path / "elsewhere") == {"teal.html": b"teal"}


def test_line_ends_of_another_system_are_no_edit(tmp_path: Path) -> None:
    write_folder(tmp_path / "out", {"index.html": b"one\ntwo\n"})
    (tmp_path / "out" / "index.html").write_bytes(b"one\r\ntwo\r\n")  # as git checks it out on Windows
    assert write_folder(tmp_path / "out", AFTER)
    assert contents(tmp_path / "out") == AFTER


@pytest.mark.skipif(sys.platform == "win32", reason="there is no umask")
@pytest.mark.parametrize(("umask", "folders", "files"), [(0o077, 0o700, 0o600), (0o002, 0o775, 0o664)])
def test_the_umask_decides_who_may_read(tmp_path: Path, umask: int, folders: int, files: int) -> None:
    before = os.umask(umask)
    try:
        write_folder(tmp_path / "new" / "out", BEFORE)
    finally:
        os.umask(before)
    modes = {p.is_dir(): set[int]() for p in tmp_path.rglob("*")}
    for path in tmp_path.rglob("*"):
        modes[path.is_dir()].add(path.stat().st_mode & 0o777)
    assert modes == {True: {folders}, False: {files}}


def test_a_folder_in_use_on_windows_stays_as_it_was(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Simulated: Windows renames no folder in which a file is open."""
    write_folder(tmp_path / "out", BEFORE)
    rename = Path.rename

    def refused(path: Path, to: Path) -> Path:
        if path == tmp_path / "out":
            raise PermissionError(errno.EACCES, "The process cannot access the file", str(path), 32)
        return rename(path, to)

    monkeypatch.setattr(folder, "_exchange", lambda one, other: False)
    monkeypatch.setattr(Path, "rename", refused)
    with pytest.raises(PublishError, match="cannot access the file; what was there is untouched"):
        write_folder(tmp_path / "out", AFTER)
    assert contents(tmp_path / "out") == BEFORE
    assert [p.name for p in tmp_path.iterdir()] == ["out"]


@pytest.mark.skipif(sys.platform == "win32", reason="simulates a disk as POSIX systems have it")
def test_where_files_cannot_be_locked_a_leftover_is_removed_after_an_hour(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def unsupported(descriptor: int, operation: int) -> None:
        raise OSError(errno.ENOLCK, os.strerror(errno.ENOLCK))

    monkeypatch.setattr("fcntl.flock", unsupported)
    holder = left_by_a_killed_run(tmp_path, BEFORE).parent
    write_folder(tmp_path / "out", AFTER)
    assert holder.exists()
    os.utime(holder, (time.time() - 4000, time.time() - 4000))
    write_folder(tmp_path / "out", BEFORE)
    assert [p.name for p in tmp_path.iterdir()] == ["out"]


def test_without_a_state_folder_there_is_no_journal_and_the_handbook_is_written(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "file").touch()
    monkeypatch.setattr(platformdirs, "user_state_path", lambda *_, **__: tmp_path / "file" / "state")
    recover_all(print)
    assert write_folder(tmp_path / "out", AFTER)


def test_a_lock_file_that_was_removed_while_another_run_waited_is_made_anew(tmp_path: Path) -> None:
    write_folder(tmp_path / "out", BEFORE)
    lock_file(tmp_path / "out").touch()  # left by a killed run
    write_folder(tmp_path / "out", AFTER)
    assert not lock_file(tmp_path / "out").exists()


@pytest.mark.whole
def test_any_command_takes_back_what_a_killed_run_had_moved_aside(ask: Ask, tmp_path: Path) -> None:
    """As a run leaves it that is killed between its two renames: the journal names the folder."""
    write_folder(tmp_path / "out", BEFORE)
    with in_journal(tmp_path / "out"):
        (tmp_path / ".kitdocs-out-abcd_123").mkdir()
        (tmp_path / "out").rename(tmp_path / ".kitdocs-out-abcd_123" / "before")
    answer = ask("schema", "sets.yaml")
    assert answer.status == 0
    assert f"kitdocs: {tmp_path / 'out'} is again as it was" in " ".join(answer.err.split())
    assert contents(tmp_path / "out") == BEFORE
    assert [p.name for p in tmp_path.iterdir()] == ["out"]
