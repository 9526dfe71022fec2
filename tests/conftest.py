"""What many tests start from: the example practice, read and worked out once."""

from __future__ import annotations

import atexit
import gc
import os
import shutil
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest
from asking import Answer, Ask
from hypothesis import Phase, settings
from same_code import same_code

from kitdocs.cli import main
from kitdocs.document.card import Handbook
from kitdocs.handbook.build_handbook import make_handbooks
from kitdocs.planning.plan import Plan, make_plan
from kitdocs.practice.model import Practice
from kitdocs.practice.reading.reader import read_practice
from kitdocs.starter import start

# A busy machine is no fault of the code: an example may take as long as it takes. While somebody works, 20 examples
# are drawn; `.ci/run` asks for --hypothesis-profile=thorough, with as many as Hypothesis has by itself.
settings.register_profile("thorough", parent=settings(), deadline=None)
settings.register_profile("quick", parent=settings(), deadline=None, max_examples=20)
# For tests/bench/mutate.py: the same examples every time, and no search for a smaller one.
settings.register_profile(
    "mutants", settings.get_profile("quick"), phases=(Phase.explicit, Phase.generate), database=None, derandomize=True
)
settings.load_profile("quick")

# Bytecode is kept whatever the environment says: each process that a test starts would compile kitdocs anew.
sys.dont_write_bytecode = False
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)

# No test, nor a command that one starts, writes into the state or cache folder of the person who runs them.
os.environ["KITDOCS_CACHE"] = "off"
os.environ["XDG_STATE_HOME"] = tempfile.mkdtemp(prefix="kitdocs-tests-")
atexit.register(shutil.rmtree, os.environ["XDG_STATE_HOME"], ignore_errors=True)


def pytest_ignore_collect(collection_path: Path, config: pytest.Config) -> bool | None:
    """Pages in a browser are not even read when they are not asked for: their library alone takes half a second."""
    return True if collection_path.name == "browser" and "not browser" in config.option.markexpr else None


def pytest_collection_finish() -> None:
    """Nothing that was read so far will be thrown away, so the collector need not look at it again and again.

    What tests make afterwards is small: the collector looks less often.
    """
    gc.freeze()
    gc.set_threshold(200_000, 50, 50)


EXAMPLE = Path(__file__).parent.parent / "example_practice"


@pytest.fixture(scope="session")
def example() -> Practice:
    return read_practice(EXAMPLE)


@pytest.fixture(scope="session")
def example_plan(example: Practice) -> Plan:
    return make_plan(example, days=200)


@pytest.fixture(scope="session")
def example_handbooks(example: Practice, example_plan: Plan) -> tuple[Handbook, ...]:
    return make_handbooks(example, example_plan)


@pytest.fixture(scope="session")
def english(example_handbooks: tuple[Handbook, ...]) -> Handbook:
    return example_handbooks[0]


@pytest.fixture(scope="session")
def spanish(example_handbooks: tuple[Handbook, ...]) -> Handbook:
    return example_handbooks[1]


@pytest.fixture(scope="session")
def small(tmp_path_factory: pytest.TempPathFactory) -> Practice:
    """The small practice that `kitdocs start` writes."""
    folder = tmp_path_factory.mktemp("small") / "practice"
    start(folder)
    return read_practice(folder)


@pytest.fixture
def codes_alike() -> Iterator[None]:
    """The test's own handbooks get one picture for all QR codes; those it shares with other tests do not."""
    with same_code():
        yield


@pytest.fixture
def started(tmp_path: Path) -> Path:
    """A small practice folder as `kitdocs start` writes it, to be changed."""
    start(tmp_path / "practice")
    return tmp_path / "practice"


@pytest.fixture
def ask(capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch) -> Ask:
    """Runs a command in this process; its output goes to no terminal, as in a pipe."""
    monkeypatch.setenv("COLUMNS", "80")

    def run(*arguments: object) -> Answer:
        with pytest.raises(SystemExit) as ended:
            main([str(argument) for argument in arguments])
        said = capsys.readouterr()
        return Answer(int(ended.value.code or 0), said.out, said.err)

    return run
