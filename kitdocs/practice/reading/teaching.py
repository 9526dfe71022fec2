"""Validation errors of pydantic, reworded so that a person who edits the file knows what to write instead."""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from kitdocs.practice.locations import Path, SourceLocations
from kitdocs.practice.problems import LISTED, Problem, at_most, nearest, written
from kitdocs.practice.schema import schema_at
from kitdocs.practice.values import ID_PATTERN, LANGUAGE_PATTERN, as_id

#: A path in the data of a file, and whether its key is meant and not its value.
_Spot = tuple[Path, bool]

#: Rule, message, remedy.
_Said = tuple[str, str, str]

_WHOLE_FILE = "'kitdocs start FOLDER' writes a small practice with an example of every file"

#: How a file calls one of its records.
_ONE = {
    "practice": "practice.yaml",
    "chairs": "a chair",
    "instruments": "an instrument",
    "cassettes": "a cassette",
    "sets": "a set",
    "pouches": "a pouch",
    "procedures": "a procedure",
    "room": "room.yaml",
    "printed": "a record of printing",
}

_PATTERNS = {
    ID_PATTERN: ("is not an id", "an id is lower-case words joined by hyphens, as in {id}"),
    LANGUAGE_PATTERN: ("is not a language code", "write two small letters, as in en or es"),
    "^[A-Z0-9]{1,6}$": ("is not a code", "a code is 1 to 6 capital letters and digits, as in {code}"),
    "^[2-9A-Z]{4,12}$": ("is not an edition", "you find it at the foot of the card, as in 4X8JM"),
    "^[A-Z]{3}$": ("is not a currency", "write its three capital letters, as in USD or EUR"),
    r"^https?://[^\s#?]+$": ("is not an address of a site", "write it as in https://sets.example.org/"),
}


def taught(stem: str, data: Any, errors: Iterable[Mapping[str, Any]], places: SourceLocations) -> list[Problem]:
    """One problem for each mistake, with its place; `data` is what the file holds."""
    by_path: dict[_Spot, list[Mapping[str, Any]]] = {}
    for error in errors:
        by_path.setdefault(_walk(data, error), []).append(error)
    follow_ups = _follow_ups(by_path) | _halves(data, by_path)
    return at_most(
        _problem(stem, data, path, is_key, found, places)
        for (path, is_key), found in by_path.items()
        if (path, is_key) not in follow_ups
    )


def _follow_ups(by_path: Mapping[_Spot, Sequence[Mapping[str, Any]]]) -> set[_Spot]:
    """Errors that only say again what another one says.

    A key that is missing because it is misspelt; a list that is too short because its items are wrong.
    """
    typed: dict[Path, list[str]] = {}
    for (path, _), found in by_path.items():
        if found[0]["type"] == "extra_forbidden":
            typed.setdefault(path[:-1], []).append(str(path[-1]))
    spots: set[_Spot] = set()
    for (path, is_key), found in by_path.items():
        if found[0]["type"] == "missing":
            if difflib.get_close_matches(str(path[-1]), typed.get(path[:-1], ()), n=1):
                spots.add((path, is_key))
        elif found[0]["type"] == "too_short" and found[0]["input"]:
            spots.add((path, is_key))
    return spots


def _halves(data: Any, by_path: Iterable[_Spot]) -> set[_Spot]:
    """What is said of either half of a value that a decimal comma has parted, beside that it is parted."""
    parted = {(path, is_key): found for path, is_key in by_path if (found := _parted_by_a_comma(data, path))}
    spots: set[_Spot] = {((*path[:-1], before), False) for (path, _), (before, _) in parted.items()}
    return spots | {(path, False) for path, is_key in parted if is_key}


def _walk(data: Any, error: Mapping[str, Any]) -> _Spot:
    """The path in the data that an error's location means, and whether it means the key itself."""
    path: list[str | int] = []
    here = data
    for part in error["loc"]:
        if part == "[key]":
            return tuple(path), True
        is_tag = isinstance(here, dict) and part in (here.get("kind"), here.get("shape"))
        inside = part in here if isinstance(here, dict) else isinstance(here, list) and isinstance(part, int)
        if inside and not is_tag:
            here = here[part]
        elif error["type"] == "missing" and not is_tag and isinstance(here, dict):
            here = None
        else:  # the name of one of several alternatives
            continue
        path.append(part)
    if error["type"].startswith("union_tag"):
        path.append(str(error["ctx"]["discriminator"]).strip("'"))
    return tuple(path), error["type"] == "extra_forbidden"


def which_set(ids: Sequence[str]) -> str:
    """Return the remedy for a procedure without a set."""
    if not ids:
        return "'kitdocs propose FOLDER --to NEW' proposes sets from what the procedures need"
    listed = ", ".join(ids[:LISTED]) + (", …" if len(ids) > LISTED else "")
    return f"write which set it uses, as in 'set: {ids[0]}'; there are: {listed}"


def _problem(
    stem: str, data: Any, path: Path, is_key: bool, errors: Sequence[Mapping[str, Any]], places: SourceLocations
) -> Problem:
    rule, message, remedy = _said(stem, data, path, is_key, errors)
    full = (stem, *path)
    if is_key:
        place = places.key(*full)
    elif rule == "missing":
        place = places.key(*full[:-1])
    else:
        place = places.value(*full)
    return Problem(rule=rule, severity="error", place=place, path=written(full), message=message, remedy=remedy)


def _said(stem: str, data: Any, path: Path, is_key: bool, errors: Sequence[Mapping[str, Any]]) -> _Said:
    """The rule, the message and the remedy for the errors of one value."""
    error = errors[0]
    shape = schema_at(stem, data, path)
    if error["type"] == "missing":
        return "missing", f"'{path[-1]}' is missing", _add(path[-1], shape)
    if error["type"] == "union_tag_not_found":
        return _tag_missing(error["ctx"])
    if is_key or _parted_by_a_comma(data, path):
        return _wrong_key(stem, data, path, error)
    if not path:
        return "value", "the file must hold ids with a colon at the start of a line", _WHOLE_FILE
    if error["input"] is None:
        return "no-value", "the value is empty", _add(path[-1], shape)
    return _wrong_alternative(error["input"], errors) if len(errors) > 1 else _wrong_value(error, shape)


def _add(key: str | int, shape: Mapping[str, Any]) -> str:
    """How to write a key, by the example that its schema shows."""
    example = _example(shape)
    return f"write it as in '{key}: {example}'" if example and isinstance(key, str) else ""


def _example(shape: Mapping[str, Any]) -> str:
    for source in (shape, *shape.get("anyOf", ())):
        if source.get("examples"):
            return _flow(source["examples"][0])
    if "enum" in shape:
        return str(shape["enum"][0])
    if shape.get("type") in ("integer", "number"):
        return str(max(1, shape.get("minimum", 1)))
    if shape.get("type") == "array":
        inner = _example(shape.get("items", {}))
        return f"[{inner}]" if inner else ""
    if "properties" in shape:
        parts = {key: _example(shape["properties"][key]) for key in shape.get("required", ())}
        if all(parts.values()):
            return "{" + ", ".join(f"{key}: {part}" for key, part in parts.items()) + "}"
    return ""


def _flow(example: Any) -> str:
    if isinstance(example, dict):
        return "{" + ", ".join(f"{key}: {value}" for key, value in example.items()) + "}"
    return "[" + ", ".join(map(str, example)) + "]" if isinstance(example, list) else str(example)


def _tag_missing(context: Mapping[str, Any]) -> _Said:
    key = str(context["discriminator"]).strip("'")
    words = {"kind": "machine, hand or rest", "shape": "round or square"}
    return "missing", f"'{key}' is missing", f"write what this is: {words.get(key, '')}"


def _wrong_key(stem: str, data: Any, path: Path, error: Mapping[str, Any]) -> _Said:
    """A key that its record does not have, or an id that is not written as ids are."""
    key = str(path[-1])
    if parted := _parted_by_a_comma(data, path):
        return "value", f"inside {{ }} a comma ends a value, so '{parted[1]}' is read as two", f'write "{parted[1]}"'
    if error["type"] == "extra_forbidden":
        known = schema_at(stem, data, path[:-1]).get("properties", {})
        whose = _ONE[stem] if len(path) == (1 if stem in ("practice", "room") else 2) else f"'{path[-2]}'"
        return "unknown-key", f"{whose} has no key '{_short(key)}'", nearest(key, known)
    if error["type"] == "string_too_long":
        return "id", f"'{_short(key)}' is too long for an id", "60 letters are enough"
    if error["type"] == "value_error":
        return _wrong_unit(key, error["msg"].removeprefix("Value error, "), "")
    message, remedy = _pattern(error.get("ctx", {}), key)
    return "id", f"'{_short(key)}' {message}", remedy


def _parted_by_a_comma(data: Any, path: Path) -> tuple[str, str] | None:
    """The key and the value whose decimal comma made two entries of it, as in ``{width: 6,5 in}``."""
    record = data
    for part in path[:-1]:
        record = record[part]
    if not isinstance(record, dict) or not path or record.get(path[-1], data) is not None:
        return None
    keys = list(record)
    before = keys[keys.index(path[-1]) - 1]
    is_parted = isinstance(record[before], int) and re.match(r"\d{1,4}(?!\d)", str(path[-1]))
    return (before, f"{record[before]},{path[-1]}") if is_parted else None


def _pattern(context: Mapping[str, Any], value: str) -> tuple[str, str]:
    message, remedy = _PATTERNS.get(str(context.get("pattern")), ("is not written as expected", ""))
    words = as_id(value) or "wire-change"
    code = re.sub(r"[^A-Z0-9]", "", value.upper())[:6] or "CORE"
    return message, remedy.format(id=words, code=code)


def _wrong_alternative(value: Any, errors: Sequence[Mapping[str, Any]]) -> _Said:
    """A value that fits none of several alternatives: in this model, a word or a whole number."""
    for error in errors:
        if error["type"] in _LIMITS and isinstance(value, int | float):
            return _out_of_range(error)
    words = [e["ctx"]["expected"] for e in errors if e["type"] == "literal_error"]
    return "value", f"{_show(value)} is neither a whole number nor {' or '.join(words)}", ""


_LIMITS = {
    "greater_than_equal": ("ge", "at least"),
    "greater_than": ("gt", "more than"),
    "less_than_equal": ("le", "at most"),
    "less_than": ("lt", "less than"),
}


def _out_of_range(error: Mapping[str, Any]) -> _Said:
    key, limit = _LIMITS[error["type"]]
    return "value", f"{_show(error['input'])} is out of range: it must be {limit} {error['ctx'][key]:g}", ""


def _wrong_value(error: Mapping[str, Any], shape: Mapping[str, Any]) -> _Said:
    kind, context, value = error["type"], error.get("ctx", {}), error["input"]
    example = _example(shape)
    as_in = f"write it as in {example}" if example else ""
    if kind in ("literal_error", "union_tag_invalid"):
        return _wrong_word(error, shape)
    if kind == "string_pattern_mismatch":
        message, remedy = _pattern(context, str(value))
        said = ("value", f"{_show(value)} {message}", remedy)
    elif kind in _LIMITS:
        said = _out_of_range(error)
    elif kind in ("too_short", "string_too_short"):
        said = ("too-few", "this is too short" if isinstance(value, str) else f"{_show(value)} is empty here", as_in)
    elif kind in ("too_long", "string_too_long"):
        said = ("too-many", f"this is longer than {context['max_length']}, which is more than can be used", "")
    elif kind == "value_error":
        said = _wrong_unit(value, error["msg"].removeprefix("Value error, "), as_in)
    else:
        message, _, remedy = _KINDS.get(kind, "cannot stand here").partition("; ")
        said = ("value", f"{_show(value)} {message}", remedy or as_in)
    return said


def _wrong_word(error: Mapping[str, Any], shape: Mapping[str, Any]) -> _Said:
    """A word that is not one of those that can stand here."""
    if error["type"] == "union_tag_invalid":
        key = str(error["ctx"]["discriminator"]).strip("'")
        word = error["input"][key]
        choices = re.findall(r"'([^']*)'", str(error["ctx"]["expected_tags"]))
        return "value", f"{_show(word)} is not a known {key}", nearest(word if isinstance(word, str) else "", choices)
    choices = shape.get("enum") or [shape.get("const", "")]
    remedy = nearest(str(error["input"]), choices)
    if len(choices) > LISTED:
        remedy = (f"{remedy} Or " if remedy else "") + "choose from " + ", ".join(choices)
    return "value", f"{_show(error['input'])} is not allowed here", remedy


def _wrong_unit(value: Any, said: str, as_in: str) -> _Said:
    """What the parsers in `values` say, unless the value is not even one word or number."""
    if isinstance(value, list | dict | bool) and str(value) in said:
        return "value", f"{_show(value)} cannot stand here", as_in
    message, _, remedy = said.partition("; ")
    if isinstance(value, str):
        message = message.replace(value, _short(value))
    return "value", message, remedy


_KINDS = {
    "string_type": "is not text; if it is meant as text, put it in quotes",
    "int_type": "is not a whole number; write digits only, as in 12",
    "int_from_float": "is not a whole number",
    "float_type": "is not a plain number; write digits only, as in 12 or 0.5",
    "tuple_type": "is not a list; a list is written [one, two] or as lines that begin with '- '",
    "dict_type": "is not allowed here, where keys with a colon are expected",
    "mapping_type": "is not allowed here, where keys with a colon are expected",
    "model_type": "is not allowed here, where keys with a colon are expected",
    "model_attributes_type": "is not allowed here, where keys with a colon are expected",
}


def _show(value: Any) -> str:
    """A value as the person wrote it."""
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, list):
        return "a list"
    if isinstance(value, dict):
        return "a group of keys"
    return f"'{_short(value)}'" if isinstance(value, str) else str(value)


def _short(value: Any) -> str:
    text = " ".join(str(value).split())
    return text if len(text) <= 60 else text[:57] + "..."
