"""The command: what it answers, and its exit status. 0: fine; 1: problems in the folder; 2: wrong use."""

from __future__ import annotations

import json
import os
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
from asking import Ask

pytestmark = pytest.mark.whole

ROOT = Path(__file__).parent.parent
EXAMPLE = ROOT / "example_practice"

#: What of the practice that `kitdocs start` writes stands for pouches, and what they hold.
POUCHES = ("drawer", "bends", "hard-wire")
IN_POUCHES = ("add_ons", "bird-beak", "hard-wire-cutter", "bracket-holder", "bracket-remover")


@pytest.fixture
def broken(tmp_path: Path) -> Path:
    copy = tmp_path / "practice"
    shutil.copytree(EXAMPLE, copy)
    procedures = copy / "procedures.yaml"
    procedures.write_text(procedures.read_text("utf-8").replace("set: core\n", "set: croe\n", 1), "utf-8")
    return copy


def test_a_practice_without_errors_checks_with_status_0(ask: Ask) -> None:
    run = ask("check", EXAMPLE)
    assert run.status == 0, run.out
    assert "7 chairs, 17 procedures, 6 sets, 15 pouches; 1 accepted warning" in run.out


@pytest.mark.parametrize(
    ("typed", "offered"), [("kitdocs ch", "check changes"), ("kitdocs check --", "--upgrade --json --quiet --help")]
)
def test_a_shell_completes_commands_and_options(typed: str, offered: str) -> None:
    run = subprocess.run(
        [sys.executable, "-c", "import sys; sys.argv[0] = 'kitdocs'; from kitdocs.cli import main; main()"],
        env={
            **os.environ,
            "_KITDOCS_COMPLETE": "complete_bash",
            "COMP_WORDS": typed,
            "COMP_CWORD": str(typed.count(" ")),
        },
        capture_output=True,
        text=True,
        check=True,
    )
    assert run.stdout.split() == offered.split()


def test_a_practice_without_pouches_is_said_to_have_none(ask: Ask, tmp_path: Path) -> None:
    ask("start", tmp_path / "ours")
    (tmp_path / "ours" / "pouches.yaml").write_text("{}\n", "utf-8")
    chairs = tmp_path / "ours" / "chairs.yaml"
    kept = [line for line in chairs.read_text("utf-8").splitlines() if line.lstrip().split(":")[0] not in POUCHES]
    chairs.write_text("\n".join(kept), "utf-8")
    procedures = tmp_path / "ours" / "procedures.yaml"
    kept = [line for line in procedures.read_text("utf-8").splitlines() if line.split(":")[0].strip() not in IN_POUCHES]
    procedures.write_text("\n".join(kept), "utf-8")
    assert "2 sets, no pouches; " in ask("check", tmp_path / "ours").out


def test_a_mistake_is_told_with_its_place_and_status_1(ask: Ask, broken: Path) -> None:
    run = ask("check", broken)
    assert run.status == 1
    assert "procedures.yaml:14:8" in run.out and "did you mean 'core'?" in run.out


def test_a_program_gets_the_same_mistake_as_json(ask: Ask, broken: Path) -> None:
    for command in (("check", broken), ("handbook", broken, "--to", broken.parent / "out")):
        run = ask(*command, "--json")
        assert run.status == 1
        problem = json.loads(run.out)["problems"][0]
        assert (problem["file"], problem["line"], problem["column"]) == ("procedures.yaml", 14, 8)
        assert problem["severity"] == "error" and problem["remedy"]


def test_nothing_is_written_from_a_folder_with_mistakes(ask: Ask, broken: Path, tmp_path: Path) -> None:
    run = ask("handbook", broken, "--to", tmp_path / "out")
    assert run.status == 1
    assert not (tmp_path / "out").exists()
    assert [p.name for p in tmp_path.iterdir()] == ["practice"]


def test_the_practice_folder_itself_is_no_place_for_the_handbook(ask: Ask) -> None:
    before = {p: p.read_bytes() for p in EXAMPLE.rglob("*") if p.is_file()}
    run = ask("handbook", EXAMPLE, "--to", EXAMPLE)
    assert run.status == 2
    assert "kitdocs did not write them" in run.err
    assert {p: p.read_bytes() for p in EXAMPLE.rglob("*") if p.is_file()} == before


@pytest.mark.parametrize(
    "arguments", [(), ("hand-book",), ("handbook",), ("handbook", EXAMPLE), ("words",), ("schema", "set.yaml")]
)
def test_wrong_use_is_status_2_and_says_what_is_right(ask: Ask, arguments: tuple[object, ...]) -> None:
    run = ask(*arguments)
    assert run.status == 2
    assert "Usage" in run.out + run.err


def test_a_new_practice_folder_checks_and_a_second_start_does_not_touch_it(ask: Ask, tmp_path: Path) -> None:
    assert ask("start", tmp_path / "ours").status == 0
    before = {p: p.read_bytes() for p in (tmp_path / "ours").rglob("*") if p.is_file()}
    assert ask("check", tmp_path / "ours").status == 0
    again = ask("start", tmp_path / "ours")
    assert again.status != 0 and again.err
    assert {p: p.read_bytes() for p in (tmp_path / "ours").rglob("*") if p.is_file()} == before


def test_a_schema_is_printed_for_one_file_or_for_all(ask: Ask) -> None:
    one = json.loads(ask("schema", "sets.yaml").out)
    assert json.loads(ask("schema").out)["sets.yaml"] == one
    assert one["$schema"] == "https://json-schema.org/draft/2020-12/schema"


def test_a_folder_that_is_not_there_is_told_in_one_sentence(ask: Ask, tmp_path: Path) -> None:
    run = ask("check", tmp_path / "nowhere")
    assert run.status == 1
    assert len(run.out.strip().splitlines()) <= 4 and "kitdocs start" in run.out


def test_a_card_too_small_for_its_words_is_found_by_check_where_its_size_is_written(ask: Ask, tmp_path: Path) -> None:
    assert ask("start", tmp_path / "ours").status == 0
    settings = tmp_path / "ours" / "practice.yaml"
    settings.write_text(
        settings.read_text("utf-8").replace("{width: 6 in, height: 4 in}", "{width: 3 cm, height: 3 cm}")
    )
    run = ask("check", tmp_path / "ours", "--json")
    assert run.status == 1
    (problem,) = json.loads(run.out)["problems"]
    assert (problem["file"], problem["path"]) == ("practice.yaml", "practice.card")
    assert "a card of 30 × 30 mm is too small" in problem["message"]


def test_what_is_no_problem_of_the_folder_is_json_too(ask: Ask, tmp_path: Path) -> None:
    (tmp_path / "mine.txt").write_text("mine")
    run = ask("handbook", EXAMPLE, "--to", tmp_path, "--json")
    assert run.status == 2
    assert "kitdocs did not write them" in json.loads(run.out)["error"] and "kitdocs did not write them" in run.err


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no full disk to write to")
@pytest.mark.parametrize("arguments", [("schema",), ("check", "nowhere"), ("colours", "2")])
def test_an_answer_that_a_full_disk_does_not_take_is_told_in_words(arguments: tuple[str, ...]) -> None:
    with Path("/dev/full").open("w") as full:
        command = [sys.executable, "-m", "kitdocs", *arguments]
        run = subprocess.run(command, stdout=full, stderr=subprocess.PIPE, text=True, check=False)
    assert run.returncode == 1
    assert run.stderr.splitlines()[-1] == "kitdocs: cannot write the output: No space left on device"


@pytest.mark.skipif(sys.platform == "win32", reason="pipes end otherwise there")
def test_a_reader_that_has_seen_enough_gets_no_complaint() -> None:
    run = subprocess.Popen(
        [sys.executable, "-m", "kitdocs", "schema"], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    )
    assert run.stdout and run.stderr
    run.stdout.close()
    assert run.stderr.read() == ""
    run.stderr.close()
    run.wait()


def test_a_window_without_columns_still_shows_something() -> None:
    run = subprocess.run(
        [sys.executable, "-m", "kitdocs", "check", "nowhere"],
        capture_output=True,
        text=True,
        check=False,
        env={**os.environ, "COLUMNS": "0"},
    )
    assert "there is no such folder" in run.stdout
