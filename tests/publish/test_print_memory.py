"""A practice with many languages prints in the memory of one."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

EXAMPLE = Path(__file__).parent.parent.parent / "example_practice"

PROGRAM = """
import resource, sys
import kitdocs
from kitdocs.publish.handbook_folder import prints
practice = kitdocs.read_practice(sys.argv[1])
for handbook in kitdocs.make_handbooks(practice, kitdocs.make_plan(practice, days=20)):
    prints(handbook)
    print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss)
"""


@pytest.mark.whole
@pytest.mark.skipif(sys.platform != "linux", reason="asks the system for the most memory as Linux tells it")
def test_the_second_language_needs_hardly_more_memory_than_the_first() -> None:
    said = subprocess.run(
        [sys.executable, "-c", PROGRAM, str(EXAMPLE)], capture_output=True, text=True, check=True
    ).stdout
    first, second = map(int, said.split())
    # Twice as much where Typst keeps the documents of the first language beside those of the second.
    assert second < 1.4 * first
