"""A YAML text as a tree of nodes, each with the span of characters in which it is written."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any, Literal

import yaml

from kitdocs.practice.locations import Path
from kitdocs.practice.reading.yaml_file import plain

#: The end of a line, as the reader counts lines.
BREAK = re.compile("\r\n|[\n\r\x85\u2028\u2029]")
_LOADER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


@dataclass(slots=True, eq=False)
class Node:
    """A value and where it is written: ``text[start:end]``. `flow`: within brackets or braces, or such itself.

    `style` is of a scalar: ``""`` (plain), ``'``, ``"``, ``|`` or ``>``.
    """

    kind: Literal["scalar", "map", "list", "alias"]
    start: int
    end: int
    flow: bool = False
    style: str = ""
    text: str = ""
    anchor: str = ""
    entries: list[tuple[Node, Node]] = field(default_factory=list)
    """Of a map: each key with its value."""
    items: list[Node] = field(default_factory=list)
    target: Node | None = None
    """Of an alias: what it repeats."""

    @property
    def data(self) -> Any:
        """What it holds, as the reader of the folder reads it."""
        if self.kind == "alias" and self.target:
            return self.target.data
        if self.kind == "map":
            return {key.text: value.data for key, value in self.entries}
        if self.kind == "list":
            return [item.data for item in self.items]
        return self.text if self.style else plain(self.text)

    @property
    def is_block(self) -> bool:
        """Whether it is a map or list on lines of its own, without brackets."""
        return self.kind in ("map", "list") and not self.flow

    @property
    def parts(self) -> Iterator[Node]:
        """What lies in it, keys too."""
        for key, value in self.entries:
            yield from (key, value)
        yield from self.items

    def value(self, key: str | int) -> Node | None:
        """The value of a key, or an item."""
        if isinstance(key, int):
            return self.items[key] if key < len(self.items) else None
        return next((value for written, value in self.entries if written.text == key), None)

    def at(self, path: Path) -> Node | None:
        """The node at a path below this one; what an alias repeats is not looked into."""
        node: Node | None = self
        for part in path:
            node = node.value(part) if node else None
        return node

    def walk(self) -> Iterator[Node]:
        """Yield this node and all that lies in it."""
        yield self
        for part in self.parts:
            yield from part.walk()


def nodes_of(text: str) -> Node | None:
    """Return the tree of a YAML text; None for a text without a value. Raises `yaml.YAMLError`."""
    events: Iterator[Any] = iter(yaml.parse(text, Loader=_LOADER))
    anchors: dict[str | None, Node] = {}
    for event in events:
        if isinstance(event, yaml.DocumentStartEvent):
            return _node(next(events), events, text, anchors, within=False)
    return None


def _node(first: Any, events: Iterator[Any], text: str, anchors: dict[str | None, Node], *, within: bool) -> Node:
    event: Any = first
    start, end = event.start_mark.index, event.end_mark.index
    if isinstance(event, yaml.AliasEvent):
        return Node("alias", start, end, flow=within, target=anchors.get(event.anchor))
    if isinstance(event, yaml.ScalarEvent):
        style = event.style if event.style and event.style != "\0" else ""
        style = "" if event.implicit[0] and style not in ("'", '"', "|", ">") else style
        node = Node("scalar", start, end, within, style, event.value, event.anchor or "")
        if style in ("|", ">"):
            node.end = start + len(text[start:end].rstrip())
    else:
        flow = bool(event.flow_style) or within
        is_map = isinstance(event, yaml.MappingStartEvent)
        node = Node("map" if is_map else "list", start, end, flow, anchor=event.anchor or "")
        closing = yaml.MappingEndEvent if is_map else yaml.SequenceEndEvent
        while not isinstance(event := next(events), closing):
            part = _node(event, events, text, anchors, within=flow)
            if is_map:
                node.entries.append((part, _node(next(events), events, text, anchors, within=flow)))
            else:
                node.items.append(part)
        last = next(reversed(list(node.parts)), None)
        closing_event: Any = event
        stop: int = closing_event.end_mark.index
        # A map or list without brackets ends with what lies in it.
        is_closed = flow and stop > start and text[stop - 1 : stop] in ("}", "]")
        node.end = stop if is_closed else last.end if last else node.end
    if node.anchor:
        anchors[node.anchor] = node
    return node
