"""A Dask scheduler on this machine with workers of its own, for tests and for `bench/bench_group.py`."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

ROOT = Path(__file__).parents[1]


def dask(*words: str, **environment: str) -> subprocess.Popen[bytes]:
    known = {**os.environ, "PYTHONPATH": os.pathsep.join([str(ROOT), *sys.path])}
    return subprocess.Popen(
        [sys.executable, "-m", "dask", *words],
        env={**known, **environment},
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )


@contextmanager
def cluster(tmp_path: Path, workers: int) -> Iterator[tuple[str, list[subprocess.Popen[bytes]]]]:
    """A scheduler and so many workers, each a process of one thread that nobody starts again when it is killed."""
    told = tmp_path / "scheduler.json"
    started = [dask("scheduler", "--host", "127.0.0.1", "--port", "0", "--no-dashboard", "--scheduler-file", str(told))]
    try:
        until(told.exists)
        options = (
            "--scheduler-file",
            str(told),
            "--nthreads",
            "1",
            "--no-nanny",
            "--no-dashboard",
            "--host",
            "127.0.0.1",
        )
        started += [
            dask("worker", *options, "--local-directory", str(tmp_path / f"{n}"), KITDOCS_CACHE="off")
            for n in range(workers)
        ]
        address = json.loads(told.read_text("utf-8"))["address"]
        wait_for_workers(address, workers)
        yield address, started[1:]
    finally:
        for process in started:
            process.kill()
            process.wait()


def until(is_so: object) -> None:
    assert callable(is_so)
    for _ in range(600):
        if is_so():
            return
        time.sleep(0.1)
    raise AssertionError("it took more than a minute")


def wait_for_workers(address: str, count: int) -> None:
    from distributed import Client  # noqa: PLC0415

    if count:
        with Client(address) as client:
            client.wait_for_workers(count, timeout=60)
