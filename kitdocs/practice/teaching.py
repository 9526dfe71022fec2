"""What pydantic found wrong, said so that a person who edits the file knows what to write instead."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from kitdocs.practice.places import Path, Places
from kitdocs.practice.problems import Problem, nearest, written
from kitdocs.practice.schema import schema_at
from kitdocs.practice.values import ID_PATTERN, LANGUAGE_PATTERN

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
}

_PATTERNS = {
    ID_PATTERN: ("is not an id", "an id is lower-case words joined by hyphens, as in {id}"),
    LANGUAGE_PATTERN: ("is not a language code", "write two small letters, as in en or es"),
    "^[A-Z0-9]{1,6}$": ("is not a code", "a code is 1 to 6 capital letters and digits, as in {code}"),
    "^[A-Z]{3}$": ("is not a currency", "write its three capital letters, as in USD or EUR"),
    r"^https?://[^\s#?]+$": ("is not an address of a site", "write it as in https://sets.example.org/"),
}


def taught(stem: str, data: Any, errors: Iterable[Mapping[str, Any]], places: Places) -> list[Problem]:
    """One problem for each mistake, with its place; `data` is what the file holds."""
    by_path: dict[tuple[Path, bool], list[Mapping[str, Any]]] = {}
    for error in errors:
        path, is_key = _walk(data, error)
        by_path.setdefault((path, is_key), []).append(error)
    return [_problem(stem, data, path, is_key, found, places) for (path, is_key), found in by_path.items()]


def _walk(data: Any, error: Mapping[str, Any]) -> tuple[Path, bool]:
    """The path in the data that an error's location means, and whether it means the key itself."""
    path: list[str | int] = []
    here = data
    for part in error["loc"]:
        if part == "[key]":
            return tuple(path), True
        is_tag = isinstance(here, dict) and part in (here.get("kind"), here.get("shape"))
        if isinstance(here, dict) and part in here and not is_tag:
            here = here[part]
        elif isinstance(here, list) and isinstance(part, int) and part < len(here):
            here = here[part]
        elif error["type"] == "missing" and not is_tag:
            here = None
        else:  # the name of one of several alternatives
            continue
        path.append(part)
    return tuple(path), error["type"] == "extra_forbidden"


def _problem(
    stem: str, data: Any, path: Path, is_key: bool, errors: Sequence[Mapping[str, Any]], places: Places
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


def _said(stem: str, data: Any, path: Path, is_key: bool, errors: Sequence[Mapping[str, Any]]) -> tuple[str, str, str]:
    """The rule, the message and the remedy for the errors of one value."""
    error = errors[0]
    kind, context, value = error["type"], error.get("ctx", {}), error["input"]
    shape = schema_at(stem, data, path)
    if kind == "missing":
        return "missing", f"'{path[-1]}' is missing", _add(path[-1], shape)
    if kind == "union_tag_not_found":
        return _tag_missing(context)
    if kind == "extra_forbidden":
        known = schema_at(stem, data, path[:-1]).get("properties", {})
        owner = _ONE[stem] if stem in _ONE and len(path) <= 2 and stem not in ("room",) else "this"
        owner = "room.yaml" if stem == "room" and len(path) == 1 else owner
        return (
            "unknown-key",
            f"'{_short(path[-1])}' is not a key that {owner} has",
            nearest(str(path[-1]), known),
        )
    if is_key:
        return _wrong_key(str(path[-1]), error)
    if value is None:
        return "no-value", "nothing is written here", _add(path[-1], shape) if path else ""
    if len(errors) > 1:
        return _wrong_alternative(value, errors)
    return _wrong_value(kind, context, value, error["msg"], shape)


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
    return str(example)


def _tag_missing(context: Mapping[str, Any]) -> tuple[str, str, str]:
    key = str(context["discriminator"]).strip("'")
    return "missing", f"'{key}' is missing", f"it says what this is, as in '{key}: machine'"


def _wrong_key(key: str, error: Mapping[str, Any]) -> tuple[str, str, str]:
    if error["type"] == "string_too_long":
        return "id", f"'{_short(key)}' is too long for an id", "60 letters are enough"
    message, remedy = _pattern(error.get("ctx", {}), key)
    return "id", f"'{_short(key)}' {message}", remedy


def _pattern(context: Mapping[str, Any], value: str) -> tuple[str, str]:
    message, remedy = _PATTERNS.get(str(context.get("pattern")), ("is not written as expected", ""))
    words = re.sub(r"[^a-z0-9]+", "-", value.lower()).strip("-")[:60] or "wire-change"
    code = re.sub(r"[^A-Z0-9]", "", value.upper())[:6] or "CORE"
    return message, remedy.format(id=words, code=code)


def _wrong_alternative(value: Any, errors: Sequence[Mapping[str, Any]]) -> tuple[str, str, str]:
    """A value that fits none of several alternatives: in this model, a word or a whole number."""
    for error in errors:
        if error["type"] in _LIMITS and isinstance(value, int | float):
            return _wrong_value(error["type"], error["ctx"], value, error["msg"], {})
    words = [e["ctx"]["expected"] for e in errors if e["type"] == "literal_error"]
    return "value", f"{_show(value)} is neither a whole number nor {' or '.join(words)}", ""


_LIMITS = {
    "greater_than_equal": ("ge", "at least"),
    "greater_than": ("gt", "more than"),
    "less_than_equal": ("le", "at most"),
    "less_than": ("lt", "less than"),
}


def _wrong_value(
    kind: str, context: Mapping[str, Any], value: Any, said: str, shape: Mapping[str, Any]
) -> tuple[str, str, str]:
    show = _show(value)
    example = _example(shape)
    as_in = f"write it as in {example}" if example else ""
    if kind == "union_tag_invalid":
        words = re.findall(r"'([^']*)'", str(context["expected_tags"]))
        key = str(context["discriminator"]).strip("'")
        return "value", f"'{key}: {_short(context['tag'])}' is not one that kitdocs knows", nearest(
            str(context["tag"]), words
        )  # fmt: skip
    if kind == "literal_error":
        choices = shape.get("enum") or [shape.get("const", "")]
        remedy = nearest(str(value), choices) or "it can be " + ", ".join(choices)
        return "value", f"{show} is not a word that can stand here", remedy
    if kind == "string_pattern_mismatch":
        message, remedy = _pattern(context, str(value))
        return "value", f"{show} {message}", remedy
    if kind in _LIMITS:
        key, limit = _LIMITS[kind]
        return "value", f"{show} is out of range: it must be {limit} {context[key]:g}", ""
    if kind in ("too_short", "string_too_short"):
        return "too-few", "is empty", as_in
    if kind in ("too_long", "string_too_long"):
        return "too-many", f"is longer than {context['max_length']}, which is more than can be used", ""
    if kind == "value_error":
        return _wrong_unit(value, show, said.removeprefix("Value error, "), as_in)
    return "value", f"{show} {_KINDS.get(kind, 'cannot stand here')}", as_in if example else ""


def _wrong_unit(value: Any, show: str, said: str, as_in: str) -> tuple[str, str, str]:
    """What the parsers in `values` say, unless the value is not even one word or number."""
    if isinstance(value, list | dict | bool) and str(value) in said:
        return "value", f"{show} cannot stand here", as_in
    message, _, remedy = said.partition("; ")
    if isinstance(value, str):
        message = message.replace(value, _short(value))
    return "value", message, remedy


_KINDS = {
    "string_type": "is not text; if it is meant as text, put it in quotes",
    "int_type": "is not a whole number",
    "int_from_float": "is not a whole number",
    "float_type": "is not a plain number",
    "tuple_type": "is not a list; a list is written [one, two] or as lines that begin with '- '",
    "dict_type": "is not a group of keys, each with a colon and a value",
    "mapping_type": "is not a group of keys, each with a colon and a value",
    "model_type": "is not a group of keys, each with a colon and a value",
    "model_attributes_type": "is not a group of keys, each with a colon and a value",
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
