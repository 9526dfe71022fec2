"""Memory for the whole handbook of the example: no process needs much, whatever the languages and documents."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

EXAMPLE = Path(__file__).parent.parent.parent / "example_practice"

#: MB that each process may use; the issue "Nothing lost, nothing slow", point 7.
MOST_MEMORY = 700

PROGRAM = """
import re, resource, sys
from kitdocs.cli import main
try:
    main(["handbook", sys.argv[1], "--to", sys.argv[2]])
finally:
    own = re.search(r"VmHWM:\\s*(\\d+)", open("/proc/self/status").read())[1]
    print()
    print(int(own) // 1024, resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss // 1024)
"""


@pytest.mark.whole
@pytest.mark.skipif(sys.platform != "linux", reason="asks the system for the most memory as Linux tells it")
def test_no_process_needs_more_memory_than_an_office_computer_has_to_spare(tmp_path: Path) -> None:
    call = [sys.executable, "-c", PROGRAM, str(EXAMPLE), str(tmp_path / "out")]
    said = subprocess.run(call, capture_output=True, text=True, check=True).stdout
    own, worker = map(int, said.split()[-2:])
    assert 20 < own < MOST_MEMORY
    assert 100 < worker < MOST_MEMORY, "the binder is rendered in a worker"
