"""`kitdocs start`: a folder that is valid, free of warnings, and never half there."""

from __future__ import annotations

import re
from pathlib import Path
from typing import get_args, get_type_hints

import pytest
from asking import Ask

from kitdocs.cli import start as command
from kitdocs.handbook.build_handbook import make_handbook
from kitdocs.planning.plan import make_plan
from kitdocs.practice.problems import KitdocsError
from kitdocs.practice.reading.reader import read_practice
from kitdocs.practice.schema import schemas
from kitdocs.starter import Like, start


def test_a_new_folder_is_valid_and_has_no_warnings(tmp_path: Path) -> None:
    start(tmp_path / "ours")
    practice = read_practice(tmp_path / "ours")
    assert [str(problem) for problem in practice.problems] == []
    assert (len(practice.chairs), len(practice.procedures), len(practice.sets)) == (2, 3, 2)


def test_a_new_folder_can_be_planned_at_once(tmp_path: Path) -> None:
    start(tmp_path / "ours")
    plan = make_plan(read_practice(tmp_path / "ours"), days=20)
    assert [str(problem) for problem in plan.problems] == []


@pytest.mark.parametrize("like", get_args(Like))
def test_a_folder_of_every_kind_is_valid_planned_at_once_and_free_of_warnings(tmp_path: Path, like: Like) -> None:
    start(tmp_path / like, like)
    practice = read_practice(tmp_path / like)
    plan = make_plan(practice, days=20)
    assert [str(problem) for problem in plan.problems] == []
    handbook = make_handbook(practice, plan)
    assert {f"s/{name}" for name in practice.sets} <= set(handbook.by_id)
    for file in ("chairs.yaml", "sets.yaml", "instruments.yaml", "procedures.yaml"):
        assert (tmp_path / like / file).read_text("utf-8").startswith("# yaml-language-server: $schema=schemas/")
    used = {piece for kit in practice.sets.values() for piece in kit.contents}
    used |= {piece for pouch in practice.pouches.values() for piece in pouch.contents}
    assert used == set(practice.instruments)


def test_the_kinds_are_those_that_the_command_offers(ask: Ask, tmp_path: Path) -> None:
    offered = get_args(get_type_hints(command, include_extras=True)["like"])[0]
    assert get_args(offered) == get_args(Like)
    assert ask("start", tmp_path / "ours", "--like", "surgery").status == 0
    assert "anchorage-screw" in read_practice(tmp_path / "ours").procedures
    assert len(read_practice(tmp_path / "ours").chairs) == 2


def test_it_says_which_files_it_wrote(tmp_path: Path) -> None:
    written = start(tmp_path / "ours")
    assert list(written) == sorted(path for path in (tmp_path / "ours").rglob("*") if path.is_file())
    assert tmp_path / "ours" / "practice.yaml" in written
    assert not [path for path in written if path.suffix in {".py", ".pyc"}]


def test_nothing_is_left_beside_the_new_folder(tmp_path: Path) -> None:
    start(tmp_path / "deep" / "ours")
    assert [path.name for path in tmp_path.iterdir()] == ["deep"]
    assert [path.name for path in (tmp_path / "deep").iterdir()] == ["ours"]


def test_an_empty_folder_is_filled_and_stays_the_same_folder(tmp_path: Path) -> None:
    ours = tmp_path / "ours"
    ours.mkdir()
    before = ours.stat().st_ino
    assert len(start(ours)) == len(start(tmp_path / "other"))
    assert ours.stat().st_ino == before
    assert [path.name for path in ours.iterdir() if path.name.startswith(".")] == []


def test_a_folder_that_holds_something_is_refused_and_left_alone(tmp_path: Path) -> None:
    (tmp_path / "letter.txt").write_text("ours", encoding="utf-8")
    with pytest.raises(KitdocsError, match="not empty"):
        start(tmp_path)
    assert [path.name for path in tmp_path.iterdir()] == ["letter.txt"]


def test_a_file_in_the_way_is_refused(tmp_path: Path) -> None:
    (tmp_path / "ours").write_text("a letter", encoding="utf-8")
    with pytest.raises(KitdocsError, match="not empty"):
        start(tmp_path / "ours")
    assert (tmp_path / "ours").read_text(encoding="utf-8") == "a letter"


@pytest.mark.parametrize("exists", [True, False])
def test_a_disk_that_fills_up_leaves_nothing(tmp_path: Path, exists: bool, monkeypatch: pytest.MonkeyPatch) -> None:
    ours = tmp_path / "ours"
    if exists:
        ours.mkdir()
    write = Path.write_bytes

    def full(self: Path, data: bytes) -> int:
        if self.name == "room.yaml":
            raise OSError(28, "No space left on device")
        return write(self, data)

    monkeypatch.setattr(Path, "write_bytes", full)
    with pytest.raises(KitdocsError, match="No space left on device"):
        start(ours)
    assert [path for path in tmp_path.rglob("*") if path != ours] == []
    assert ours.exists() == exists


def test_a_move_that_fails_half_way_is_taken_back(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    rename = Path.rename

    def stuck(self: Path, target: Path) -> Path:
        if self.name == "room.yaml":
            raise OSError(13, "Permission denied")
        return rename(self, target)

    monkeypatch.setattr(Path, "rename", stuck)
    with pytest.raises(KitdocsError, match="Permission denied"):
        start(tmp_path)
    assert list(tmp_path.iterdir()) == []


def test_its_comments_name_every_field_that_a_person_may_write(tmp_path: Path) -> None:
    # The model is the list of what may be written; each word of it must be taught in its file.
    start(tmp_path / "ours")
    for name, schema in schemas().items():
        text = (tmp_path / "ours" / name).read_text(encoding="utf-8")
        missing = [word for word in _fields(schema) if not re.search(rf"\b{word}\b", text)]
        assert missing == [], f"{name} does not mention {missing}"


def test_the_schema_that_each_file_names_is_there(tmp_path: Path) -> None:
    start(tmp_path / "ours")
    files = sorted((tmp_path / "ours").glob("*.yaml"))
    assert len(files) == 8
    for file in files:
        first = file.read_text(encoding="utf-8").splitlines()[0]
        assert (tmp_path / "ours" / first.removeprefix("# yaml-language-server: $schema=")).is_file()


def _fields(schema: object) -> set[str]:
    """The names of all fields in a JSON Schema, at any depth."""
    if isinstance(schema, list):
        return {name for part in schema for name in _fields(part)}
    if not isinstance(schema, dict):
        return set()
    own = set(schema.get("properties", {}))
    return own | {name for part in schema.values() for name in _fields(part)}
