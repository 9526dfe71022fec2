"""What work on a group costs in one process and in two, in processor time, which a busy machine does not change.

    python tests/bench/bench_group.py COUNT [--handbooks]
    python tests/bench/bench_group.py COUNT [--handbooks] --dask      # in wall time, and on a local Dask scheduler too

The last line says how much sooner two idle cores would be done: all of the one process's time, against the parent's and
half of what the two processes took together. With `--dask`, one process, two, and a scheduler with two worker processes
of its own publish the same group on a machine that is idle: how long each took, and whether the bytes are the same.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from generated_group import in_folder, write_group
from local_cluster import cluster

_PROGRAM = """
import resource, sys
from kitdocs.group.publishing import publish_group
if __name__ == "__main__":
    folder, to, count, handbooks, cluster = sys.argv[1:]
    publish_group(folder, to, processes=int(count), handbooks=handbooks == "yes", cluster=cluster)
    for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN):
        used = resource.getrusage(who)
        print(used.ru_utime + used.ru_stime, used.ru_maxrss / 1024)
"""


def measured(folder: Path, to: Path, processes: int, handbooks: bool, cluster: str = "") -> list[float]:
    """Return processor seconds and MiB at most of the parent, and of its children."""
    program = to.with_name("program.py")
    program.write_text(_PROGRAM, "utf-8")
    words = [sys.executable, str(program), str(folder), str(to), str(processes), "yes" if handbooks else "no", cluster]
    environment = {**os.environ, "KITDOCS_CACHE": "off", "PYTHONPATH": os.pathsep.join(map(str, sys.path))}
    run = subprocess.run(words, env=environment, capture_output=True, text=True, check=True)
    return [float(word) for word in run.stdout.split()]


def main(count: int, handbooks: bool) -> None:
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place) / "practices"
        write_group(folder, count)
        one = measured(folder, Path(place) / "one", 1, handbooks)
        two = measured(folder, Path(place) / "two", 2, handbooks)
    alone, parent, children = one[0] + one[2], two[0], two[2]
    print(f"{count} practices, handbooks: {handbooks}")
    print(f"one process: {alone:.1f} s of processor, {alone / count:.2f} s each; {max(one[1], one[3]):.0f} MiB")
    print(f"two processes: {parent:.1f} s here, {children:.1f} s in them; {two[1]:.0f} MiB here, {two[3]:.0f} MiB each")
    print(f"two idle cores would be done {alone / (parent + children / 2):.2f} times as soon")


def by_the_clock(count: int, handbooks: bool) -> None:
    with tempfile.TemporaryDirectory() as made:
        place = Path(made)
        write_group(place / "practices", count)
        took: dict[str, float] = {}
        with cluster(place, 2) as (address, _):
            for name, processes, dask in (("one", 1, ""), ("two", 2, ""), ("dask", 1, address)):
                began = time.monotonic()
                measured(place / "practices", place / name, processes, handbooks, dask)
                took[name] = time.monotonic() - began
        same = all(in_folder(place / name) == in_folder(place / "one") for name in ("two", "dask"))
    print(f"{count} practices, handbooks: {handbooks}; the same bytes: {same}")
    for name, seconds in took.items():
        print(f"{name:5} {seconds:6.1f} s, {took['one'] / seconds:.2f} times as soon as one process")


if __name__ == "__main__":
    run = by_the_clock if "--dask" in sys.argv else main
    run(int(sys.argv[1]), "--handbooks" in sys.argv)
