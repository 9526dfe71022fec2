"""Worker processes: a call gives what it gives here, an error arrives as it is, and no process is left behind."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from kitdocs.practice.problems import PublishError
from kitdocs.publish.print.run import Run
from kitdocs.publish.print.workers import Workers

PROGRAM = """
import os, signal, sys, time
from kitdocs.publish.print.workers import Workers
signal.signal(signal.SIGINT, signal.default_int_handler)  # a shell starts what runs in the background without it
with Workers(2) as workers:
    print(workers.run()(os.getpid), flush=True)
    workers.run()(time.sleep, 60)
"""


def refuse(reason: str) -> None:
    raise PublishError(reason)


def divide(number: int, divisor: int) -> float:
    return number / divisor


def is_running(process: int) -> bool:
    try:
        os.kill(process, 0)
    except ProcessLookupError:
        return False
    return True


@pytest.fixture(scope="module")
def one_worker() -> Iterator[Workers]:
    with Workers(1) as workers:
        yield workers


def test_call_is_made_in_another_process(one_worker: Workers) -> None:
    assert one_worker.run()(divide, 7, divisor=2) == 3.5
    assert one_worker.run()(os.getpid) != os.getpid()


def test_error_arrives_as_it_was_raised(one_worker: Workers) -> None:
    with pytest.raises(PublishError, match=r"^too wide$"):
        one_worker.run()(refuse, "too wide")
    assert one_worker.run()(divide, 1, 2) == 0.5, "the worker goes on"


def test_mistake_in_a_call_names_the_line(one_worker: Workers) -> None:
    with pytest.raises(RuntimeError, match="in divide"):
        one_worker.run()(divide, 1, 0)


@pytest.mark.whole
def test_at_most_as_many_processes_as_asked_for() -> None:
    with Workers(2) as workers:
        found: list[int] = []
        threads = [threading.Thread(target=lambda: found.append(workers.run()(worker_after, 0.05))) for _ in range(8)]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
    assert len(found) == 8
    assert len(set(found)) <= 2


def worker_after(seconds: float) -> int:
    time.sleep(seconds)
    return os.getpid()


def test_lowest_order_is_next(one_worker: Workers) -> None:
    done: list[int] = []
    first = threading.Thread(target=lambda: one_worker.run()(time.sleep, 0.5))
    first.start()
    time.sleep(0.1)
    threads = []
    for order in (3, 1, 2):
        threads.append(threading.Thread(target=lambda order=order: done.append(one_worker.run(order)(abs, order))))
        threads[-1].start()
        time.sleep(0.05)
    for thread in (first, *threads):
        thread.join()
    assert done == [1, 2, 3]


def test_printing_does_not_disturb_the_answers(capfd: pytest.CaptureFixture[str]) -> None:
    with Workers(1) as workers:
        assert workers.run()(print, "from a library") is None
        assert workers.run()(abs, -1) == 1
    assert capfd.readouterr().out == ""


@pytest.mark.skipif(sys.platform == "win32", reason="ends a process as POSIX does")
def test_killed_worker_gives_a_plain_message() -> None:
    with Workers(1) as workers:
        run = workers.run()
        with pytest.raises(PublishError, match=r"ended before it had finished \(signal 9\).*short of memory"):
            run(os.kill, run(os.getpid), signal.SIGKILL)
        assert run(abs, -2) == 2, "another worker takes its place"


@pytest.mark.skipif(sys.platform == "win32", reason="asks for processes as POSIX does")
def test_no_worker_is_left() -> None:
    ended: list[str] = []
    with Workers(2) as workers:
        process = workers.run()(os.getpid)
        waiting = threading.Thread(target=lambda: ended.append(refused(workers.run(), 60)))
        waiting.start()
        time.sleep(0.2)
    waiting.join(10)
    assert len(ended) == 1
    assert not is_running(process)


def refused(run: Run, seconds: float) -> str:
    with pytest.raises(PublishError) as refusal:
        run(time.sleep, seconds)
    return str(refusal.value)


@pytest.mark.whole
@pytest.mark.skipif(sys.platform == "win32", reason="sends signals as POSIX does")
@pytest.mark.parametrize("ending", [signal.SIGINT, signal.SIGKILL])
def test_worker_ends_with_its_parent(ending: signal.Signals) -> None:
    call = [sys.executable, "-c", PROGRAM]
    with subprocess.Popen(call, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as parent:
        assert parent.stdout and parent.stderr
        worker = int(parent.stdout.readline())
        time.sleep(0.2)
        parent.send_signal(ending)
        parent.wait(10)
        said = parent.stderr.read() if ending == signal.SIGINT else ""
    assert said.count("Traceback") <= 1, "only the parent hears of Ctrl-C"
    if ending == signal.SIGINT:
        assert not is_running(worker)


def test_worker_loads_only_what_a_call_needs() -> None:
    with Workers(1) as workers:
        loaded = workers.run()(eval, "set(__import__('sys').modules)")
    assert "kitdocs.publish.print.worker" in loaded
    assert not {"pydantic", "jinja2", "typer", "rich", "typst"} & loaded


@pytest.mark.whole
def test_worker_ends_after_it_used_much_memory() -> None:
    with Workers(1) as workers:
        run = workers.run()
        before = run(os.getpid)
        assert run(os.getpid) == before
        assert run(len, bytes(300_000_000)) == 300_000_000
        assert run(os.getpid) != before


def test_worker_finds_kitdocs_from_any_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (tmp_path / "pickle.py").write_text("raise SystemExit('a module of a folder that kitdocs was started in')")
    monkeypatch.chdir(tmp_path)
    with Workers(1) as workers:
        assert workers.run()(abs, -3) == 3
