"""Mutation run: the share of small mistakes in kitdocs that the fast tests catch. A script, not a test.

    nice python tests/bench/mutate.py                        # 300 mutants, about an hour on two cores
    nice python tests/bench/mutate.py --count 50 --seed 7 kitdocs/planning
    nice python tests/bench/mutate.py --again survivors.json # those that an earlier run let live, with every fast test

First the fast tests run once under `coverage`, which notes the lines that each test and each shared fixture reaches.
Then each mutant of a sample (drawn by `--seed`) is put in the place of its module, in a process of its own, and the
tests that reach the changed statement run against it until one fails. It counts as caught when a test fails, or when
the tests take several times their usual processor time. `--again` then lets the survivors meet every fast test.

`equivalent_mutants.yaml` lists mutants that no test could notice, each with the reason; they count for nothing.
"""

from __future__ import annotations

import argparse
import ast
import importlib
import importlib.abc
import importlib.machinery
import importlib.util
import json
import os
import pickle
import random
import resource
import sys
import tempfile
import time
import traceback
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass, field, replace
from itertools import accumulate
from pathlib import Path
from types import ModuleType
from typing import Any

import coverage
import pytest
import yaml

ROOT = Path(__file__).parents[2]
HERE = Path(__file__).parent
sys.path.insert(0, str(ROOT))
sys.path.insert(0, str(HERE))

from mutants import mutants, mutated, readable  # noqa: E402

PARTS = ("planning", "practice/rules", "revisions", "publish/print", "publish/site")
FAST = ["-m", "not browser and not whole", "-q", "-p", "no:cacheprovider", "--hypothesis-profile=mutants"]
# Plugins are imported once for all mutants, which pytest would warn of.
FAST += ["-W", "ignore::pytest.PytestAssertRewriteWarning"]
EQUIVALENT = HERE / "equivalent_mutants.yaml"

#: Processor time that a mutant's tests may take, as a multiple of what they take unchanged, and seconds on top.
SLOWER, SPARE_SECONDS = 3, 20

#: Instead of a mutant's number: the module as it is.
UNCHANGED = -1


@dataclass(frozen=True, slots=True, kw_only=True)
class Case:
    """A mutant of the sample."""

    file: str
    number: int
    line: int
    change: str
    before: str
    after: str
    lines: tuple[int, ...]
    at_import: bool


@dataclass(slots=True)
class Reach:
    """What the unchanged tests do: the lines they reach, and their seconds of processor time."""

    tests_by_line: dict[str, dict[int, set[str]]] = field(default_factory=dict)
    seconds: dict[str, float] = field(default_factory=dict)
    modules: list[str] = field(default_factory=list)

    def tests(self, case: Case, seconds: float) -> list[str]:
        """The tests that reach the case's statement, as many as `seconds` of processor time allow.

        Those of its own module come first, and quick ones before slow ones.
        """
        by_line = self.tests_by_line.get(case.file, {})
        lines = by_line if case.at_import else case.lines
        found = {test for line in lines for test in by_line.get(line, ())}
        own = f"test_{Path(case.file).stem}"
        ordered = sorted(found, key=lambda test: (own not in test, self.seconds.get(test, 0), test))
        spent = accumulate(self.seconds.get(test, 0) for test in ordered)
        return [test for test, until_then in zip(ordered, spent, strict=True) if until_then <= seconds]


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("paths", nargs="*", help="files or folders; else the five parts that are held to 90 %%")
    parser.add_argument("--count", type=int, default=300, help="mutants to draw (300)")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--again", type=Path, help="try the survivors of an earlier run, with every fast test")
    parser.add_argument("--to", type=Path, help="write the survivors to this file, for --again")
    parser.add_argument("--reach", type=Path, help="keep in this file what the tests reach, and use what it holds")
    parser.add_argument("--seconds", type=float, default=30, help="of tests for each mutant, unless --again (30)")
    parser.add_argument("--processes", type=int, default=2)
    asked = parser.parse_args()
    os.chdir(ROOT)
    sample = survivors_of(asked.again) if asked.again else drawn(asked.paths, asked.count, asked.seed)
    known = equivalent(sample)
    cases = [case for case in sample if case not in known]
    print(f"{len(cases)} mutants, {len(known)} more are listed as equivalent", flush=True)

    reach = kept(asked.reach)
    load(reach.modules)
    refuse_if_the_tests_fail_anyway(cases[0], reach, asked.seconds)
    survivors = []
    every_test = sorted(reach.seconds) if asked.again else None
    chosen = {case: every_test or reach.tests(case, asked.seconds) for case in cases}
    for case, caught in judged(chosen, reach, asked.processes):
        if not caught:
            survivors.append(case)
            print(f"\nsurvived: {case.file}:{case.line} {case.change}\n  - {case.before}\n  + {case.after}", flush=True)
        if asked.to:
            asked.to.write_text(json.dumps([asdict(each) for each in survivors], indent=1, ensure_ascii=False), "utf-8")
    share = 1 - len(survivors) / max(1, len(cases))
    print(f"\n{len(cases) - len(survivors)} of {len(cases)} caught: {share:.1%}")


def drawn(paths: Sequence[str], count: int, seed: int) -> list[Case]:
    """A sample of all mutants of the files."""
    folders = [Path(path) for path in paths] or [Path("kitdocs", part) for part in PARTS]
    files = sorted({file for folder in folders for file in (folder.rglob("*.py") if folder.is_dir() else [folder])})
    every = [(file, mutant.number) for file in files for mutant in mutants(file.read_text("utf-8"))]
    chosen = sorted(random.Random(seed).sample(every, min(count, len(every))))
    return [case_of(file, number) for file, number in chosen]


def case_of(file: Path, number: int) -> Case:
    source = file.read_text("utf-8")
    mutant = mutants(source)[number]
    before, after = readable(source, number)
    return Case(
        file=file.as_posix(),
        number=number,
        line=mutant.line,
        change=mutant.change,
        before=before,
        after=after,
        lines=tuple(mutant.lines),
        at_import=not in_a_function(source, mutant.line),
    )


def in_a_function(source: str, line: int) -> bool:
    """Whether the line is run by a call, and not when the module is imported."""
    functions = [n for n in ast.walk(ast.parse(source)) if isinstance(n, ast.FunctionDef)]
    return any(f.body[0].lineno <= line <= (f.end_lineno or 0) for f in functions)


def survivors_of(file: Path) -> list[Case]:
    """The survivors of an earlier run that the source still has, by their change and their statement."""
    found = []
    for old in json.loads(file.read_text("utf-8")):
        path = Path(old["file"])
        source = path.read_text("utf-8") if path.is_file() else ""
        same = [m.number for m in mutants(source) if m.change == old["change"]]
        found += [c for c in (case_of(path, n) for n in same) if (c.before, c.after) == (old["before"], old["after"])]
    return found


def equivalent(cases: Iterable[Case]) -> list[Case]:
    """The cases that are listed as equivalent: same file, same statement before and after."""
    listed = yaml.safe_load(EQUIVALENT.read_text("utf-8")) or []
    known = {(entry["file"], entry["before"], entry["after"]) for entry in listed}
    return [case for case in cases if (case.file, case.before, case.after) in known]


def kept(file: Path | None) -> Reach:
    """What the tests reach, from the file if it is there."""
    if file and file.exists():
        found: Reach = pickle.loads(file.read_bytes())
        return found
    found = in_a_process(reached)
    if file:
        file.write_bytes(pickle.dumps(found))
    return found


def refuse_if_the_tests_fail_anyway(case: Case, reach: Reach, seconds: float) -> None:
    """The control: a module that is swapped for itself has to survive."""
    unchanged = replace(case, number=UNCHANGED)
    start(unchanged, reach.tests(case, seconds), reach)
    if os.wait()[1]:
        raise SystemExit(f"the tests of {case.file} fail in a process of their own without any mutant")


def in_a_process(work: Callable[[], Reach]) -> Reach:
    """The work's result, done in a process of its own so that this one stays as it is."""
    with tempfile.TemporaryDirectory() as folder:
        result = Path(folder, "result")
        child = os.fork()
        if child == 0:
            result.write_bytes(pickle.dumps(work()))
            os._exit(0)
        os.waitpid(child, 0)
        if not result.exists():
            raise SystemExit("the tests could not be run without any mutant")
        found: Reach = pickle.loads(result.read_bytes())
        return found


def reached() -> Reach:
    """Run the fast tests unchanged, under coverage."""
    folders = [str(ROOT / "kitdocs" / part / "*") for part in PARTS]
    measuring = coverage.Coverage(data_file=None, config_file=False, include=folders, messages=False)
    measuring.start()
    watcher = Watcher(measuring)
    pytest.main([*FAST, "tests"], plugins=[watcher])
    measuring.stop()
    print(f"left out, because they fail without any mutant: {', '.join(sorted(watcher.failing)) or 'none'}")
    data = measuring.get_data()
    seconds = {test: seconds for test, seconds in watcher.seconds.items() if test not in watcher.failing}
    reach = Reach(seconds=seconds, modules=sorted(name for name in sys.modules if not _is_ours(name)))
    for file in data.measured_files():
        lines = data.contexts_by_lineno(file)
        reach.tests_by_line[Path(file).relative_to(ROOT).as_posix()] = {
            line: watcher.tests_of(contexts) for line, contexts in lines.items()
        }
    return reach


def _is_ours(name: str) -> bool:
    """Whether a module is kitdocs' or the tests': those are imported anew for each mutant."""
    module = sys.modules.get(name)
    file = getattr(module, "__file__", None) or ""
    return name == "__main__" or name.partition(".")[0] in ("kitdocs", "conftest") or str(ROOT) in file


class Watcher:
    """Tells coverage which test runs, or which shared fixture is made, and keeps the time of each test."""

    def __init__(self, measuring: coverage.Coverage) -> None:
        self._measuring = measuring
        self._users: dict[str, set[str]] = defaultdict(set)
        self._context = [""]
        self.seconds: dict[str, float] = {}
        self.failing: set[str] = set()

    def tests_of(self, contexts: Iterable[str]) -> set[str]:
        return {test for context in contexts for test in self._users.get(context, ())} - self.failing

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        if report.failed:
            self.failing.add(report.nodeid)

    @pytest.hookimpl(wrapper=True)
    def pytest_runtest_protocol(self, item: pytest.Item) -> Iterator[None]:
        self._users[item.nodeid].add(item.nodeid)
        info = getattr(item, "_fixtureinfo", None)
        for name, definitions in (info.name2fixturedefs if info else {}).items():
            for definition in definitions:
                self._users[f"fixture {definition.baseid} {name}"].add(item.nodeid)
        begun = time.process_time()
        with self._within(item.nodeid):
            result = yield
        self.seconds[item.nodeid] = time.process_time() - begun
        return result

    @pytest.hookimpl(wrapper=True)
    def pytest_fixture_setup(self, fixturedef: Any, request: Any) -> Iterator[None]:
        if fixturedef.scope == "function":
            return (yield)
        with self._within(f"fixture {fixturedef.baseid} {fixturedef.argname}"):
            return (yield)

    def _within(self, context: str) -> Context:
        return Context(self._measuring, self._context, context)


@dataclass(slots=True)
class Context:
    """Switches coverage's context, and back to the one around it."""

    measuring: coverage.Coverage
    stack: list[str]
    name: str

    def __enter__(self) -> None:
        self.stack.append(self.name)
        self.measuring.switch_context(self.name)

    def __exit__(self, *raised: object) -> None:
        self.stack.pop()
        self.measuring.switch_context(self.stack[-1])


def load(modules: Iterable[str]) -> None:
    """Import what the tests need of others once, so that no mutant pays for it."""
    for name in modules:
        try:
            importlib.import_module(name)
        except Exception:  # noqa: PERF203  (a part of a package that only its package can import)
            continue


def judged(chosen: Mapping[Case, Sequence[str]], reach: Reach, processes: int) -> Iterator[tuple[Case, bool]]:
    """Each case, as they come, and whether one of the tests chosen for it caught it."""
    waiting = list(chosen)[::-1]
    running: dict[int, Case] = {}
    while waiting or running:
        while waiting and len(running) < processes:
            case = waiting.pop()
            running[start(case, chosen[case], reach)] = case
        child, status = os.wait()
        sys.stderr.write(f"\r{len(chosen) - len(waiting) - len(running) + 1} of {len(chosen)} ")
        yield running.pop(child), status != 0


def start(case: Case, tests: Sequence[str], reach: Reach) -> int:
    """A process that puts the mutant in the place of its module and runs the tests. Its status is 0 if it survives."""
    child = os.fork()
    if child:
        return child
    status = 2
    try:
        usual = sum(reach.seconds.get(test, 0) for test in tests)
        limit = int(SLOWER * usual + SPARE_SECONDS)
        resource.setrlimit(resource.RLIMIT_CPU, (limit, limit))
        quiet = os.open(os.devnull, os.O_WRONLY)
        os.dup2(quiet, 1)
        os.dup2(quiet, 2)
        sys.meta_path.insert(0, Swap(case))
        files = sorted({test.split("::")[0] for test in tests})
        status = pytest.main([*FAST, "-x", *files], plugins=[Chosen(tests)]) if tests else 0
        if status == pytest.ExitCode.NO_TESTS_COLLECTED:
            status = 0
    except BaseException:  # whatever a mutant does, it was noticed
        traceback.print_exc()
    finally:
        os._exit(int(status))


class Chosen:
    """Runs only some tests, in their order."""

    def __init__(self, tests: Sequence[str]) -> None:
        self._place = {test: number for number, test in enumerate(tests)}

    def pytest_collection_modifyitems(self, items: list[pytest.Item]) -> None:
        items[:] = sorted(
            (item for item in items if item.nodeid in self._place), key=lambda item: self._place[item.nodeid]
        )


class Swap(importlib.abc.MetaPathFinder):
    """Imports the mutant instead of its module."""

    def __init__(self, case: Case) -> None:
        self._name = case.file.removesuffix(".py").removesuffix("/__init__").replace("/", ".")
        self._case = case

    def find_spec(
        self, name: str, path: Sequence[str] | None = None, target: ModuleType | None = None
    ) -> importlib.machinery.ModuleSpec | None:
        if name != self._name:
            return None
        loader = MutantLoader(name, str(ROOT / self._case.file))
        loader.number = self._case.number
        return importlib.util.spec_from_file_location(name, loader.path, loader=loader)


class MutantLoader(importlib.machinery.SourceFileLoader):
    number = 0

    def get_code(self, fullname: str) -> Any:
        source = Path(self.path).read_text("utf-8")
        tree = ast.parse(source) if self.number == UNCHANGED else mutated(source, self.number)
        return compile(tree, self.path, "exec", dont_inherit=True)


if __name__ == "__main__":
    main()
