"""Mutation run: the share of small mistakes in kitdocs that the fast tests catch. A script, not a test.

    nice python tests/bench/mutate.py                        # 300 mutants
    nice python tests/bench/mutate.py --count 50 --seed 7 kitdocs/planning
    nice python tests/bench/mutate.py --again survivors.json # those that an earlier run let live

First the fast tests run once under `coverage`, which notes the lines that each test and each shared fixture reaches.
Then the tests are collected once. For each mutant of a sample (drawn by `--seed`) this process is forked, the changed
function gets the mutant's code, and the tests that reach the changed statement run until one fails. A mutant of what
runs at import is put in the place of its module, in a process that has not imported it. A mutant counts as caught when
a test fails, or when the tests take several times their usual processor time or never end. What lives meets every fast
test before it counts as a survivor.

`equivalent_mutants.yaml` lists mutants that no test could notice, each with the reason; they count for nothing.
"""

from __future__ import annotations

import argparse
import ast
import gc
import importlib
import importlib.abc
import importlib.machinery
import importlib.util
import inspect
import json
import os
import pickle
import random
import resource
import shutil
import signal
import sys
import tempfile
import time
import traceback
from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import asdict, dataclass, field, replace
from itertools import accumulate
from pathlib import Path
from types import CodeType, FunctionType, ModuleType
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
FAST = ["-m", "not browser and not whole", "-q", "-p", "no:cacheprovider", "--hypothesis-profile=mutants", "-s"]
# Plugins are imported once for all mutants, which pytest would warn of.
FAST += ["-W", "ignore::pytest.PytestAssertRewriteWarning"]
EQUIVALENT = HERE / "equivalent_mutants.yaml"

#: Processor time that a mutant's tests may take, as a multiple of what they take unchanged, and seconds on top.
SLOWER, SPARE_SECONDS = 3, 10

#: Seconds on the clock for each of processor time: others use the machine, and a mutant may wait for what never comes.
STANDING = 20

#: Instead of a mutant's number: the module as it is. Such a case has to survive.
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
    #: The lines that run while the tests are imported and collected.
    before_any_test: dict[str, set[int]] = field(default_factory=dict)
    seconds: dict[str, float] = field(default_factory=dict)
    modules: list[str] = field(default_factory=list)

    def at_import(self, case: Case) -> bool:
        """Whether the case's statement has run before the first test does."""
        return case.at_import or not self.before_any_test.get(case.file, set()).isdisjoint(case.lines)

    def tests(self, case: Case, seconds: float) -> list[str]:
        """The tests that reach the case's statement, as many as `seconds` of processor time allow.

        Those of its own module come first, then quick modules before slow ones, and in a module quick tests first.
        """
        by_line = self.tests_by_line.get(case.file, {})
        lines = by_line if self.at_import(case) else case.lines
        found = {test for line in lines for test in by_line.get(line, ())}
        if self.at_import(case) and not found:
            found = set(self.seconds)
        return within(self.ordered(found, case), seconds, self.seconds)

    def ordered(self, tests: Iterable[str], case: Case) -> list[str]:
        own = f"test_{Path(case.file).stem}"
        modules: dict[str, list[str]] = defaultdict(list)
        for test in sorted(tests, key=lambda test: (self.seconds.get(test, 0), test)):
            modules[test.split("::")[0]].append(test)
        lasting = {module: sum(self.seconds.get(test, 0) for test in found) for module, found in modules.items()}
        order = sorted(modules, key=lambda module: (own not in module, lasting[module], module))
        return [test for module in order for test in modules[module]]


def within(tests: Sequence[str], seconds: float, taking: Mapping[str, float]) -> list[str]:
    """The first of the tests, as many as `seconds` allow."""
    spent = accumulate(taking.get(test, 0) for test in tests)
    return [test for test, until_then in zip(tests, spent, strict=True) if until_then <= seconds]


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").splitlines()[0])
    parser.add_argument("paths", nargs="*", help="files or folders; else the five parts that are held to 90 %%")
    parser.add_argument("--count", type=int, default=300, help="mutants to draw (300)")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--again", type=Path, help="try the survivors of an earlier run")
    parser.add_argument("--to", type=Path, help="write the survivors to this file, for --again")
    parser.add_argument("--reach", type=Path, help="keep in this file what the tests reach, and use what it holds")
    parser.add_argument("--seconds", type=float, default=30, help="of tests for each mutant at first (30)")
    parser.add_argument("--processes", type=int, default=2)
    asked = parser.parse_args()
    os.chdir(ROOT)
    sample = survivors_of(asked.again) if asked.again else drawn(asked.paths, asked.count, asked.seed)
    known = equivalent(sample)
    cases = [case for case in sample if case not in known]
    print(f"{len(cases)} mutants, {len(known)} more are listed as equivalent", flush=True)

    reach = kept(asked.reach)
    load(reach.modules)
    refuse_if_tests_fail_anyway(cases, reach, asked.seconds)
    alive = cases
    if not asked.again:
        quickly = judged({case: reach.tests(case, asked.seconds) for case in cases}, reach, asked.processes)
        alive = [case for case, caught in quickly if not caught]
        print(f"{len(alive)} live through {asked.seconds:g} seconds of tests; now with every fast test", flush=True)
    survivors = []
    for case, caught in judged({case: reach.ordered(reach.seconds, case) for case in alive}, reach, asked.processes):
        if not caught:
            survivors.append(case)
            print(f"\nsurvived: {case.file}:{case.line} {case.change}\n  - {case.before}\n  + {case.after}", flush=True)
        if asked.to:
            asked.to.write_text(json.dumps([asdict(each) for each in survivors], indent=1, ensure_ascii=False), "utf-8")
    for part in [*PARTS, ""]:
        drawn_here = [case for case in cases if case.file.startswith(f"kitdocs/{part}")]
        lived = sum(case in survivors for case in drawn_here)
        if drawn_here:
            share = 1 - lived / len(drawn_here)
            print(f"{part or 'all'}: {len(drawn_here) - lived} of {len(drawn_here)} caught: {share:.1%}")


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


def refuse_if_tests_fail_anyway(cases: Sequence[Case], reach: Reach, seconds: float) -> None:
    """The control: modules that are swapped for themselves, at import and in calls, have to survive."""
    at_import = [case for case in cases if reach.at_import(case)]
    in_calls = [case for case in cases if not reach.at_import(case)]
    unchanged = [replace(case, number=UNCHANGED) for case in (*at_import[:1], *in_calls[:1])]
    for case, caught in judged({case: reach.tests(case, seconds) for case in unchanged}, reach, 1):
        if caught:
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
        reach.before_any_test[Path(file).relative_to(ROOT).as_posix()] = {
            line for line, contexts in lines.items() if "" in contexts
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
    at_import = {case: tests for case, tests in chosen.items() if reach.at_import(case)}
    in_calls = {case: tests for case, tests in chosen.items() if case not in at_import}

    def by_import(case: Case) -> int:
        return run_on_import(case, chosen[case])

    yield from forked(at_import, reach, processes, by_import)
    if not in_calls:
        return
    reading, writing = os.pipe()
    child = os.fork()
    if child == 0:
        os.close(reading)
        quiet()
        collected = Collected(in_calls, reach, processes, writing)
        pytest.main(
            [*FAST, *sorted({test.split("::")[0] for tests in in_calls.values() for test in tests})], [collected]
        )
        os._exit(0)
    os.close(writing)
    with os.fdopen(reading) as told:
        for line in told:
            case_number, caught = json.loads(line)
            yield list(in_calls)[case_number], caught
    if os.waitpid(child, 0)[1]:
        raise SystemExit("the tests could not be collected")


def forked(
    chosen: Mapping[Case, Sequence[str]], reach: Reach, processes: int, run: Callable[[Case], int]
) -> Iterator[tuple[Case, bool]]:
    """Each case, as they come, and whether it was caught: run in a process of its own, several side by side."""
    waiting = list(chosen)[::-1]
    running: dict[int, Case] = {}
    while waiting or running:
        while waiting and len(running) < processes:
            case = waiting.pop()
            usual = sum(reach.seconds.get(test, 0) for test in chosen[case])
            running[fork(lambda case=case: run(case), int(SLOWER * usual + SPARE_SECONDS))] = case
        child, status = os.wait()
        yield running.pop(child), status != 0


def fork(run: Callable[[], int], seconds: int) -> int:
    """A process that runs this, for so many seconds of processor time at most, with a state folder of its own.

    One that stands still is ended too, later.
    """
    child = os.fork()
    if child:
        return child
    status = 2
    try:
        resource.setrlimit(resource.RLIMIT_CPU, (seconds, seconds))
        signal.alarm(STANDING * seconds)
        quiet()
        os.environ["XDG_STATE_HOME"] = tempfile.mkdtemp(prefix="kitdocs-mutant-")
        status = run()
    except BaseException:  # whatever a mutant does, it was noticed
        traceback.print_exc()
    finally:
        shutil.rmtree(os.environ["XDG_STATE_HOME"], ignore_errors=True)
        os._exit(status)


def quiet() -> None:
    nowhere = os.open(os.devnull, os.O_WRONLY)
    os.dup2(nowhere, 1)
    os.dup2(nowhere, 2)


def run_on_import(case: Case, tests: Sequence[str]) -> int:
    """Run the tests with the mutant in the place of its module. The status is 0 if it survives."""
    sys.meta_path.insert(0, Swap(case))
    files = sorted({test.split("::")[0] for test in tests})
    status = int(pytest.main([*FAST, "-x", *files], plugins=[Chosen(tests)])) if tests else 0
    return 0 if status == pytest.ExitCode.NO_TESTS_COLLECTED else status


class Chosen:
    """Runs only some tests, in their order."""

    def __init__(self, tests: Sequence[str]) -> None:
        self._place = {test: number for number, test in enumerate(tests)}

    def pytest_collection_modifyitems(self, items: list[pytest.Item]) -> None:
        items[:] = sorted(
            (item for item in items if item.nodeid in self._place), key=lambda item: self._place[item.nodeid]
        )


class Collected:
    """Runs, instead of all tests that were collected, those of each case, each time in a fork of this process."""

    def __init__(self, chosen: Mapping[Case, Sequence[str]], reach: Reach, processes: int, results: int) -> None:
        self._chosen, self._reach, self._processes, self._results = chosen, reach, processes, results
        self._failed = False

    @pytest.hookimpl(tryfirst=True)
    def pytest_runtestloop(self, session: pytest.Session) -> bool:
        items = {item.nodeid: item for item in session.items}
        gc.unfreeze()
        functions = functions_of_kitdocs()
        gc.collect()
        gc.freeze()

        def run(case: Case) -> int:
            give_mutant(case, functions)
            chosen = [items[test] for test in self._chosen[case] if test in items]
            return int(any(self._fails(item, after) for item, after in zip(chosen, [*chosen[1:], None], strict=True)))

        numbers = {case: number for number, case in enumerate(self._chosen)}
        for case, caught in forked(self._chosen, self._reach, self._processes, run):
            os.write(self._results, f"{json.dumps([numbers[case], caught])}\n".encode())
        return True

    def _fails(self, item: pytest.Item, after: pytest.Item | None) -> bool:
        item.ihook.pytest_runtest_protocol(item=item, nextitem=after)
        return self._failed

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        self._failed = self._failed or report.failed


#: A function by its file, name and first line.
Functions = Mapping[tuple[str, str, int], Sequence[FunctionType]]


def functions_of_kitdocs() -> Functions:
    """Every function of kitdocs that is there, with all that were made from the same lines."""
    found: dict[tuple[str, str, int], list[FunctionType]] = defaultdict(list)
    for thing in gc.get_objects():
        if isinstance(thing, FunctionType) and thing.__code__.co_filename.startswith(str(ROOT / "kitdocs")):
            found[_place_of(thing.__code__)].append(thing)
    return found


def give_mutant(case: Case, functions: Functions) -> None:
    """Give the function in which the case's statement stands the code of the mutant."""
    path = str(ROOT / case.file)
    source = Path(path).read_text("utf-8")
    tree = ast.parse(source) if case.number == UNCHANGED else mutated(source, case.number)
    given = 0
    for code in _outermost(compile(tree, path, "exec", dont_inherit=True)):
        for function in functions.get(_place_of(code), ()):
            # The other functions of the module get code that is the same as theirs.
            function.__code__ = code
            given += 1
    if not given:
        raise ValueError(f"{case.file} has no function that is in memory")


def _outermost(code: CodeType) -> Iterator[CodeType]:
    """The code of each function of a module and of each method of its classes."""
    for part in code.co_consts:
        if isinstance(part, CodeType):
            if part.co_flags & inspect.CO_OPTIMIZED:
                yield part
            else:
                yield from _outermost(part)


def _place_of(code: CodeType) -> tuple[str, str, int]:
    return code.co_filename, code.co_name, code.co_firstlineno


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
