"""Whatever a person does to the files, they get a practice or an error that says what is wrong."""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory

from bad_inputs import VALID
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from kitdocs.practice.model import Practice
from kitdocs.practice.problems import PracticeError
from kitdocs.practice.reading.reader import read_practice

NAMES = sorted(str(path.relative_to(VALID)) for path in VALID.rglob("*") if path.is_file())
SIGNS = "|: |:|- |\t|  |\n|{|}|[|]|'|\"|&a |*a|!t |#|>|%|null|true|-1|0|99999999999999999999|always|core|mirror"
PIECES = st.one_of(
    st.sampled_from([*SIGNS.split("|"), "|", "---\n", "? ", "<<: ", ",", ";", "\x00", "\ufeff", "\u2028"]),
    st.text(max_size=6),
)


@contextmanager
def spoilt(name: str, data: bytes) -> Iterator[Path]:
    """The valid practice with other bytes in one of its files."""
    with TemporaryDirectory() as scratch:
        folder = Path(scratch) / "practice"
        (folder / "pages").mkdir(parents=True)
        for other in NAMES:
            if other != name:
                shutil.copyfile(VALID / other, folder / other)
        (folder / name).write_bytes(data)
        yield folder


@settings(suppress_health_check=list(HealthCheck), derandomize=True)
@given(
    name=st.sampled_from(NAMES),
    start=st.floats(0, 1),
    length=st.integers(0, 40),
    piece=PIECES,
    raw=st.binary(max_size=2),
)
def test_a_spoilt_file_gives_a_practice_or_a_practice_error(
    name: str, start: float, length: int, piece: str, raw: bytes
) -> None:
    data = (VALID / name).read_bytes()
    at = int(start * len(data))
    new = piece.encode("utf-8", "surrogatepass") + (raw if length % 7 == 0 else b"")
    with spoilt(name, data[:at] + new + data[at + length :]) as folder:
        try:
            practice = read_practice(folder)
        except PracticeError as error:
            assert error.problems
            for problem in error.problems:
                assert problem.message
                assert problem.place.line >= 1
                # A line that may hold cells about a patient is not shown at all.
                assert problem.place.column <= len(problem.place.text) + 1 or not problem.place.text
                str(problem).encode("utf-8", "surrogatepass")
        else:
            assert isinstance(practice, Practice)
            assert all(problem.severity == "warning" for problem in practice.problems)
