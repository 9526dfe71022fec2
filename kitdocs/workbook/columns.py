"""The columns of a sheet, from the schema of its records: how each is written, which words and ids it takes."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, Literal

from kitdocs.practice.colours import NAMED
from kitdocs.practice.locations import Path
from kitdocs.practice.schema import schema_of
from kitdocs.practice.spellings import (
    CLOCKS,
    DAY_COUNTS,
    DURATIONS,
    LENGTHS,
    NUMBERS,
    PERIODS,
    PRICES,
    SHARES,
    SHIFTS,
    TEMPERATURES,
)

Kind = Literal[
    "text",
    "plain",
    "word",
    "yes-no",
    "id",
    "ids",
    "words",
    "clocks",
    "contents",
    "needs",
    "pairs",
    "when",
    "machines",
    "count",
    "number",
    "money",
    "length",
    "duration",
    "days",
    "period",
    "share",
    "clock",
    "temperature",
]

#: Kinds whose cell holds several values: items, or keys with values, with commas between them.
SEVERAL: frozenset[Kind] = frozenset(("ids", "words", "clocks", "contents", "needs", "pairs", "when", "machines"))
#: Kinds whose cell is a number for a spreadsheet, too.
NUMBERS_TOO: frozenset[Kind] = frozenset(("count", "number", "money", "machines"))

_QUANTITIES: Sequence[tuple[Kind, Any]] = (
    ("length", LENGTHS),
    ("length", SHIFTS),
    ("duration", DURATIONS),
    ("days", DAY_COUNTS),
    ("period", PERIODS),
    ("share", SHARES),
    ("clock", CLOCKS),
    ("temperature", TEMPERATURES),
)
_BY_PATTERN: Mapping[str, Kind] = {quantity.forms[0]["pattern"]: kind for kind, quantity in _QUANTITIES}
_PATTERN_OF_PRICES, _PATTERN_OF_NUMBERS = PRICES.forms[1]["pattern"], NUMBERS.forms[1]["pattern"]

_SIZES: tuple[Path, ...] = (("cassettes",), ("room", "pouch_sizes"))
#: The tables whose ids a field takes, by the field.
IDS_OF: Mapping[str, tuple[Path, ...]] = {
    "cassette": (("cassettes",),),
    "size": (("room", "pouch_sizes"),),
    "set": (("sets",),),
    "add_ons": (("pouches",),),
    "drawer": (("pouches",),),
    "contents": (("instruments",),),
    "needs": (("instruments",),),
    "chairs": (("chairs",),),
    "chair": (("chairs",),),
    "procedure": (("procedures",),),
    "instrument": (("instruments",),),
    "skips": (("room", "stages"),),
    "also": (("room", "stages"),),
    "stage": (("room", "stages"),),
    "stages": (("room", "stages"),),
    "person": (("room", "people"),),
    "capacity": _SIZES,
}


@dataclass(frozen=True, slots=True, kw_only=True)
class SheetColumn:
    """One value of a record: its path there, the kind of its spelling, and what it takes."""

    path: tuple[str, ...]
    kind: Kind
    required: bool = False
    words: tuple[str, ...] = ()
    """The words that it takes, if only some."""
    ids: tuple[Path, ...] = ()
    """The tables whose ids it takes."""
    examples: tuple[Any, ...] = ()

    @property
    def key(self) -> str:
        """Its path as people read it: ``repair.uses_between``."""
        return ".".join(self.path)


def columns_of(schema: Mapping[str, Any], stem: str, records: Sequence[Any]) -> tuple[SheetColumn, ...]:
    """Return the columns of records of that schema. Names have a column for each language in which one is written."""
    found = _columns(schema, schema_of(stem), (), records)
    return tuple(sorted(found, key=lambda column: column.path[0] != "name"))


def _columns(
    part: Mapping[str, Any], root: Mapping[str, Any], at: tuple[str, ...], held: Sequence[Any]
) -> Iterator[SheetColumn]:
    for name, inner in _properties(part, root).items():
        values = [record[name] for record in held if isinstance(record, dict) and record.get(name) is not None]
        yield from _column(inner, root, (*at, name), values, name in part.get("required", ()))


def _properties(part: Mapping[str, Any], root: Mapping[str, Any]) -> dict[str, Any]:
    """Return the fields of a record; of records of several kinds, those of all."""
    found: dict[str, Any] = {}
    for choice in part.get("oneOf", [part]):
        for name, inner in _followed(choice, root).get("properties", {}).items():
            if "const" in inner:  # what tells the kinds apart
                words = [*found.get(name, {}).get("enum", ()), inner["const"]]
                found[name] = {"enum": words, "type": "string"}
            else:
                found[name] = inner
    return found


def _followed(part: Mapping[str, Any], root: Mapping[str, Any]) -> dict[str, Any]:
    """Return a part of a schema without references and without the alternative of nothing."""
    while True:
        if "$ref" in part:
            beside = {key: value for key, value in part.items() if key != "$ref"}
            part = {**root["$defs"][part["$ref"].rpartition("/")[2]], **beside}
        elif any(choice.get("type") == "null" for choice in part.get("anyOf", ())):
            choices = [choice for choice in part["anyOf"] if choice.get("type") != "null"]
            beside = {key: value for key, value in part.items() if key != "anyOf"}
            part = {**beside, **choices[0]} if len(choices) == 1 else {**beside, "anyOf": choices}
        else:
            return dict(part)


def _column(
    part: Mapping[str, Any], root: Mapping[str, Any], at: tuple[str, ...], values: Sequence[Any], required: bool
) -> Iterator[SheetColumn]:
    part = _followed(part, root)
    name = at[-1]
    if name == "needs":
        yield SheetColumn(path=at, kind="needs", required=required, ids=IDS_OF[name])
        return
    choices = part.get("anyOf") or part.get("oneOf") or []
    maps = [choice for choice in (_followed(choice, root) for choice in choices) if choice.get("properties")]
    is_record = "properties" in part or (bool(choices) and len(maps) == len(choices))
    if is_record:
        for column in _columns(part, root, at, values):
            yield column if required else replace(column, required=False)
        return
    if _is_text(part):
        yield from _texts(at, values, required)
        return
    kind = _kind(part, name)
    if maps:  # a colour, by its name or as name and hex
        if not values or any(not isinstance(value, dict) for value in values):
            yield SheetColumn(path=at, kind=kind, required=required, words=tuple(NAMED))
        if written := [value for value in values if isinstance(value, dict)]:
            yield from _texts((*at, "name"), [value.get("name") for value in written], False)
            yield from (
                SheetColumn(path=(*at, other), kind="plain") for other in maps[0]["properties"] if other != "name"
            )
        return
    words = tuple(map(str, part.get("enum", [part["const"]] if "const" in part else ())))
    if kind in ("words",) and "enum" in part.get("items", {}):
        words = tuple(part["items"]["enum"])
    yield SheetColumn(
        path=at,
        kind=kind,
        required=required,
        words=words,
        ids=IDS_OF.get(name, ()) if kind in ("id", "ids", "contents", "needs", "pairs") else (),
        examples=tuple(part.get("examples", ())),
    )


def _is_text(part: Mapping[str, Any]) -> bool:
    """Whether words are meant, once or by language; such an alternative says which keys it takes."""
    maps = (choice for choice in part.get("anyOf", ()) if "propertyNames" in choice)
    return any(choice.get("additionalProperties", {}).get("type") == "string" for choice in maps)


def _texts(at: tuple[str, ...], values: Sequence[Any], required: bool) -> Iterator[SheetColumn]:
    languages = dict.fromkeys(language for value in values if isinstance(value, dict) for language in value)
    if not languages or any(not isinstance(value, dict) for value in values):
        yield SheetColumn(path=at, kind="text", required=required)
    yield from (SheetColumn(path=(*at, language), kind="text", required=required) for language in languages)


def _kind(part: Mapping[str, Any], name: str) -> Kind:  # noqa: PLR0911  # one return a kind
    forms = part.get("anyOf") or part.get("oneOf") or [part]
    patterns = [str(form.get("pattern", "")) for form in forms]
    if name in ("needs", "when", "machines", "contents"):
        return name  # type: ignore[return-value]
    if _PATTERN_OF_PRICES in patterns:
        return "money"
    if _PATTERN_OF_NUMBERS in patterns:
        return "number"
    for pattern in patterns:
        if pattern in _BY_PATTERN:
            return _BY_PATTERN[pattern]
    match part.get("type"):
        case "boolean":
            return "yes-no"
        case "integer":
            return "count"
        case "object":
            return "pairs"
        case "array":
            if name in IDS_OF:
                return "ids"
            return "clocks" if _kind(part.get("items", {}), "") == "clock" else "words"
    if "enum" in part or "const" in part:
        return "word"
    return "id" if name in IDS_OF else "plain"
