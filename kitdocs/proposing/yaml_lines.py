"""Fields of the records of a YAML file written anew, while every other line stays as it is."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import yaml

from kitdocs.practice.writing import quoted, scalar


def with_fields(text: str, data: Any, fields: Mapping[str, Mapping[str, Any]]) -> str:
    """Return the text of a file with other values for some fields of its records; a value of None takes one out.

    `data` is what the file says now. A record, or a file, that is not written line by line is written anew, on one line
    a field.
    """
    lines = text.split("\n")
    root = yaml.compose(text, Loader=yaml.SafeLoader)
    if isinstance(root, yaml.MappingNode) and root.flow_style:
        return "".join(f"{line}\n" for id_, record in data.items() for line in _anew(id_, record, fields.get(id_, {})))
    for key, record in reversed(root.value if isinstance(root, yaml.MappingNode) else []):
        if key.value in fields:
            _rewrite(lines, key, record, data[key.value], fields[key.value])
    return "\n".join(lines)


def _rewrite(
    lines: list[str], key: yaml.ScalarNode, record: yaml.Node, data: Mapping[str, Any], fields: Mapping[str, Any]
) -> None:
    if not isinstance(record, yaml.MappingNode) or record.flow_style or not record.value:
        lines[key.start_mark.line : _last(record) + 1] = _anew(key.value, data, fields)
        return
    indent = " " * record.value[0][0].start_mark.column
    spans = {k.value: (k.start_mark.line, _last(v)) for k, v in record.value}
    at = {name: spans[name][0] for name in fields if name in spans}
    first_needs = spans.get("needs", (0, 0))[0] or _last(record) + 1
    beside = at.get("set", min(at.values(), default=first_needs))
    new = [f"{indent}{name}: {_flow(value)}" for name, value in fields.items() if value is not None]
    gone = sorted((spans[name] for name in at), reverse=True)
    for first, last in gone:
        del lines[first : last + 1]
    where = beside - sum(last + 1 - first for first, last in gone if first < beside)
    lines[where:where] = new


def _anew(id_: str, data: Mapping[str, Any], fields: Mapping[str, Any]) -> list[str]:
    said = {**data, **fields}
    return [f"{id_}:", *(f"  {scalar(name)}: {quoted(value)}" for name, value in said.items() if value is not None)]


def _last(node: yaml.Node) -> int:
    """Return the last line of a value, without the comments and empty lines below it."""
    if isinstance(node, yaml.MappingNode) and not node.flow_style and node.value:
        return max(_last(value) for _, value in node.value)
    if isinstance(node, yaml.SequenceNode) and not node.flow_style and node.value:
        return max(_last(value) for value in node.value)
    end: yaml.Mark = node.end_mark
    return int(end.line - 1 if end.column == 0 and end.line > node.start_mark.line else end.line)


def _flow(value: Any) -> str:
    """A value on one line: ids and shares without quotes."""
    if isinstance(value, Mapping):
        return "{" + ", ".join(f"{id_}: {one}" for id_, one in value.items()) + "}"
    return str(value)
