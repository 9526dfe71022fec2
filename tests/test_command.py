"""The command: what it answers, and its exit status. 0: fine; 1: problems in the folder; 2: wrong use."""

from __future__ import annotations

import json
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parent.parent
EXAMPLE = ROOT / "example_practice"


def kitdocs(*arguments: object, cwd: Path | None = None) -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-m", "kitdocs", *map(str, arguments)]
    run = subprocess.run(command, capture_output=True, text=True, check=False, cwd=cwd, encoding="utf-8")
    assert "Traceback" not in run.stdout + run.stderr
    return run


@pytest.fixture
def broken(tmp_path: Path) -> Path:
    copy = tmp_path / "practice"
    shutil.copytree(EXAMPLE, copy)
    procedures = copy / "procedures.yaml"
    procedures.write_text(procedures.read_text("utf-8").replace("set: core\n", "set: croe\n", 1), "utf-8")
    return copy


def test_a_practice_without_errors_checks_with_status_0(tmp_path: Path) -> None:
    run = kitdocs("check", EXAMPLE)
    assert run.returncode == 0, run.stdout
    assert "7 chairs, 13 procedures, 6 sets, 11 pouches; 1 accepted warning" in run.stdout


def test_a_mistake_is_told_with_its_place_and_status_1(broken: Path) -> None:
    run = kitdocs("check", broken)
    assert run.returncode == 1
    assert "procedures.yaml:12:8" in run.stdout and "did you mean 'core'?" in run.stdout


def test_a_program_gets_the_same_mistake_as_json(broken: Path) -> None:
    for command in (("check", broken), ("handbook", broken, "--to", broken.parent / "out")):
        run = kitdocs(*command, "--json")
        assert run.returncode == 1
        problem = json.loads(run.stdout)["problems"][0]
        assert (problem["file"], problem["line"], problem["column"]) == ("procedures.yaml", 12, 8)
        assert problem["severity"] == "error" and problem["remedy"]


def test_nothing_is_written_from_a_folder_with_mistakes(broken: Path, tmp_path: Path) -> None:
    run = kitdocs("handbook", broken, "--to", tmp_path / "out")
    assert run.returncode == 1
    assert not (tmp_path / "out").exists()
    assert [p.name for p in tmp_path.iterdir()] == ["practice"]


def test_the_practice_folder_itself_is_no_place_for_the_handbook() -> None:
    before = {p: p.read_bytes() for p in EXAMPLE.rglob("*") if p.is_file()}
    run = kitdocs("handbook", EXAMPLE, "--to", EXAMPLE)
    assert run.returncode == 2
    assert "kitdocs did not write them" in run.stderr
    assert {p: p.read_bytes() for p in EXAMPLE.rglob("*") if p.is_file()} == before


@pytest.mark.parametrize(
    "arguments", [(), ("hand-book",), ("handbook",), ("handbook", EXAMPLE), ("check",), ("schema", "set.yaml")]
)
def test_wrong_use_is_status_2_and_says_what_is_right(arguments: tuple[object, ...]) -> None:
    run = kitdocs(*arguments)
    assert run.returncode == 2
    assert "Usage" in run.stdout + run.stderr


def test_a_new_practice_folder_checks_and_a_second_start_does_not_touch_it(tmp_path: Path) -> None:
    assert kitdocs("start", tmp_path / "ours").returncode == 0
    before = {p: p.read_bytes() for p in (tmp_path / "ours").rglob("*") if p.is_file()}
    assert kitdocs("check", tmp_path / "ours").returncode == 0
    again = kitdocs("start", tmp_path / "ours")
    assert again.returncode != 0 and again.stderr
    assert {p: p.read_bytes() for p in (tmp_path / "ours").rglob("*") if p.is_file()} == before


def test_a_schema_is_printed_for_one_file_or_for_all() -> None:
    one = json.loads(kitdocs("schema", "sets.yaml").stdout)
    assert json.loads(kitdocs("schema").stdout)["sets.yaml"] == one
    assert one["$schema"] == "https://json-schema.org/draft/2020-12/schema"


def test_a_folder_that_is_not_there_is_told_in_one_sentence(tmp_path: Path) -> None:
    run = kitdocs("check", tmp_path / "nowhere")
    assert run.returncode == 1
    assert len(run.stdout.strip().splitlines()) <= 4 and "kitdocs start" in run.stdout
