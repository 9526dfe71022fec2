"""The JSON Schemas say the same as the reader, as far as one file by itself goes."""

from __future__ import annotations

import copy
from typing import Any

import pytest
from bad_inputs import INPUTS, VALID
from jsonschema import Draft202012Validator

from kitdocs.practice.reading.text_file import text_file
from kitdocs.practice.reading.yaml_file import read_yaml
from kitdocs.practice.schema import schemas

SCHEMAS = schemas()


def _data(path: Any) -> Any:
    return read_yaml(text_file(path.name, (path.stem,), path.read_text(encoding="utf-8"))).data


def _errors(name: str, data: Any) -> list[str]:
    return [error.message for error in Draft202012Validator(SCHEMAS[name]).iter_errors(data)]


def test_there_is_a_schema_for_every_yaml_file_and_each_is_one() -> None:
    assert sorted(SCHEMAS) == sorted(path.name for path in VALID.glob("*.yaml"))
    for schema in SCHEMAS.values():
        Draft202012Validator.check_schema(schema)
        assert schema["title"]


@pytest.mark.parametrize("name", sorted(SCHEMAS))
def test_the_valid_practice_fits_its_schema(name: str) -> None:
    assert _errors(name, _data(VALID / name)) == []


@pytest.mark.parametrize(
    ("case", "name"),
    [
        ("unknown-key", "procedures.yaml"),
        ("key-missing", "sets.yaml"),
        ("bad-id", "sets.yaml"),
        ("length-without-unit", "instruments.yaml"),
        ("length-in-wrong-unit", "instruments.yaml"),
        ("share-without-percent", "procedures.yaml"),
        ("negative-per-day", "procedures.yaml"),
        ("unknown-material", "instruments.yaml"),
        ("unknown-stage-kind", "room.yaml"),
        ("stage-key-missing", "room.yaml"),
        ("empty-contents", "sets.yaml"),
        ("contents-is-a-word", "sets.yaml"),
        ("code-with-small-letters", "pouches.yaml"),
        ("colour-hex", "chairs.yaml"),
        ("drawer-count-negative", "chairs.yaml"),
        ("site-address", "practice.yaml"),
        ("language-code", "practice.yaml"),
        ("time-of-day", "practice.yaml"),
        ("file-is-a-list", "sets.yaml"),
    ],
)
def test_what_the_reader_refuses_in_one_file_the_schema_refuses_too(case: str, name: str) -> None:
    assert _errors(name, _data(INPUTS / case / name))


@pytest.mark.parametrize("name", ["chairs.yaml", "instruments.yaml", "cassettes.yaml", "sets.yaml", "procedures.yaml"])
def test_a_table_without_a_record_fits_no_schema(name: str) -> None:
    assert _errors(name, {})


def test_a_default_that_is_shown_fits_its_own_schema() -> None:
    shown = 0
    for schema in SCHEMAS.values():
        for part in _parts(schema):
            if "default" in part:
                whole = {**copy.deepcopy(part), "$defs": schema.get("$defs", {})}
                assert not list(Draft202012Validator(whole).iter_errors(part["default"])), part
                shown += 1
    assert shown > 5


def test_an_editor_can_show_what_a_key_means() -> None:
    stage = SCHEMAS["room.yaml"]["$defs"]["MachineStage"]["properties"]
    assert "How many of each cassette or pouch size" in stage["capacity"]["description"]
    assert stage["cycle"]["examples"]


def _parts(schema: Any) -> Any:
    if isinstance(schema, dict):
        yield schema
    for part in schema.values() if isinstance(schema, dict) else schema if isinstance(schema, list) else ():
        yield from _parts(part)
