"""What work on a group costs in one process and in two, in processor time, which a busy machine does not change.

    python tests/bench/bench_group.py COUNT [--handbooks]

The last line says how much sooner two idle cores would be done: all of the one process's time, against the parent's and
half of what the two processes took together.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from generated_group import write_group

_PROGRAM = """
import resource, sys
from kitdocs.group.publishing import publish_group
if __name__ == "__main__":
    folder, to, count, handbooks = sys.argv[1:]
    publish_group(folder, to, processes=int(count), handbooks=handbooks == "yes")
    for who in (resource.RUSAGE_SELF, resource.RUSAGE_CHILDREN):
        used = resource.getrusage(who)
        print(used.ru_utime + used.ru_stime, used.ru_maxrss / 1024)
"""


def measured(folder: Path, to: Path, processes: int, handbooks: bool) -> list[float]:
    """Return processor seconds and MiB at most of the parent, and of its children."""
    program = to.with_name("program.py")
    program.write_text(_PROGRAM, "utf-8")
    words = [sys.executable, str(program), str(folder), str(to), str(processes), "yes" if handbooks else "no"]
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


if __name__ == "__main__":
    main(int(sys.argv[1]), "--handbooks" in sys.argv)
