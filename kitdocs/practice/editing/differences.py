"""Next changes of a YAML text that is to hold something else."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from difflib import SequenceMatcher
from typing import Any

from kitdocs.practice.editing.edits import GONE, Edit, EditError, known_by, same
from kitdocs.practice.editing.lines import TextLines
from kitdocs.practice.editing.nodes import Node
from kitdocs.practice.editing.records import lines_of
from kitdocs.practice.editing.scalars import written_item, written_key, written_scalar, written_value
from kitdocs.practice.locations import Path


@dataclass(frozen=True, slots=True)
class TextChange:
    """``text[start:end]`` becomes `text`."""

    start: int
    end: int
    text: str


def replaced_scalar(text: str, node: Node, value: Any, eol: str) -> TextChange:
    """Return the change that writes another plain value in the place of one."""
    if same(node.data, value):
        return TextChange(node.start, node.start, "")
    indent = TextLines(text).indent_below(node.start, node.end)
    return TextChange(node.start, node.end, written_scalar(value, node, flow=node.flow, indent=indent, eol=eol))


@dataclass(slots=True)
class Differ:
    """Looks for the first difference between a text and what it is to hold."""

    lines: TextLines
    edit: Edit
    comments: list[str]
    moves: bool = True
    """Whether an item that stands elsewhere is moved with its comment."""

    def step(self, node: Node, target: Any, path: Path, holder: tuple[Node, Node | None] | None) -> list[TextChange]:
        """Return the changes of one step. `holder` is the node around this one, and its key there."""
        if node.kind == "map" and isinstance(target, dict) and target:
            return self._map_step(node, target, path)
        if node.kind == "list" and isinstance(target, list) and target:
            return self._list_step(node, target, path)
        if same(node.data, target):
            return []
        return self._replaced(node, target, holder)

    def _map_step(self, node: Node, target: Mapping[str, Any], path: Path) -> list[TextChange]:
        for key, value in node.entries:
            wanted = target.get(key.text, GONE)
            if wanted is not GONE and (changes := self.step(value, wanted, (*path, key.text), (node, key))):
                return changes
        written = {key.text for key, _ in node.entries}
        for new in target:
            if new not in written:
                if node.flow and node.entries and self.lines.text[node.start] != "{":  # [a, b: 2] has room for one pair
                    return [TextChange(node.start, node.start, "{"), TextChange(node.end, node.end, "}")]
                return [self._put_in(node, new, target[new], self._after(node, target, new, path), path)]
        for key, value in node.entries:  # at last, so that a map is never left without any
            if key.text not in target:
                return self._taken_out(node, key, value)
        return []

    def _after(self, node: Node, target: Mapping[str, Any], key: str, path: Path) -> int:
        """Return the number of entries of a map before the place of a new one."""
        order = [written.text for written, _ in node.entries]
        if (*path, key) == self.edit.path and self.edit.after is not None:
            return order.index(self.edit.after) + 1 if self.edit.after in order else 0 if not self.edit.after else 10**6
        if path[: len(self.edit.path)] == self.edit.path and isinstance(self.edit.value, dict):
            before = list(target)[: list(target).index(key)]
            placed = [order.index(other) for other in before if other in order]
            return max(placed) + 1 if placed else 0
        return len(order)

    def _taken_out(self, node: Node, key: Node, value: Node) -> list[TextChange]:
        place = next(n for n, (written, _) in enumerate(node.entries) if written is key)
        if node.flow:
            return [self._out_of_brackets(node, place, [(k.start, v.end) for k, v in node.entries])]
        return [self._lines_out(key.start, value.end, key.start, [k.start for k, _ in node.entries], place)]

    def _lines_out(self, start: int, end: int, column_of: int, starts: list[int], place: int) -> TextChange:
        """Take the lines of an entry or item out, with its own comments."""
        lines = self.lines
        if lines.begins_line(start) or (lines.text[lines.start(start) : start].strip() in ("-", "?") and place):
            first, last = lines.own(start, end, lines.column(column_of))
            self.comments += lines.comments_in(first, last)
            return TextChange(first, last, "")
        if place + 1 < len(starts):  # it stands on the line of its dash
            self.comments += lines.comments_in(start, starts[place + 1])
            return TextChange(start, starts[place + 1], "")
        raise EditError(self.edit.path)

    def _out_of_brackets(self, node: Node, place: int, spans: list[tuple[int, int]]) -> TextChange:
        if place + 1 < len(spans):
            change = TextChange(spans[place][0], spans[place + 1][0], "")
        elif place:
            change = TextChange(spans[place - 1][1], spans[place][1], "")
        else:
            opened = self.lines.text[node.start : node.start + 1] in ("{", "[")
            change = TextChange(node.start + 1, node.end - 1, "") if opened else TextChange(*spans[0], "{}")
        self.comments += self.lines.comments_in(change.start, change.end)
        return change

    def _list_step(self, node: Node, target: list[Any], path: Path) -> list[TextChange]:
        now = node.data
        same_length = node.items if len(now) == len(target) else []
        for n in [n for n, item in enumerate(same_length) if item.kind != "alias" and _alike(now[n], target[n])]:
            if changes := self.step(node.items[n], target[n], (*path, n), (node, None)):
                return changes
        have, want = [*map(known_by, now)], [*map(known_by, target)]
        matcher = SequenceMatcher(None, have, want, autojunk=False)
        uneven = [code for code in matcher.get_opcodes() if code[0] != "equal"]
        if not uneven:
            return []
        spare = [n for _, i, i_end, _, _ in uneven for n in range(i, i_end)]
        for _, i, _, j, j_end in uneven if self.moves and node.is_block and self._movable(node) else ():
            for source in spare:
                if have[source] in want[j:j_end] and (moved := self._moved(node, source, i)):
                    return moved
        what, i, _, j, _ = uneven[0]
        if what == "replace":
            return self.step(node.items[i], target[j], (*path, i), (node, None))
        return self._item_out(node, i) if what == "delete" else [self._item_put_in(node, i, target[j])]

    def _item_out(self, node: Node, place: int) -> list[TextChange]:
        item = node.items[place]
        if node.flow:
            return [self._out_of_brackets(node, place, [(each.start, each.end) for each in node.items])]
        dash = self.lines.dash(item.start)
        return [self._lines_out(dash, item.end, dash, [self.lines.dash(each.start) for each in node.items], place)]

    def _moved(self, node: Node, source: int, to: int) -> list[TextChange]:
        """Move the lines of an item, so that its comment goes with it."""
        lines, item = self.lines, node.items[source]
        dash = lines.dash(item.start)
        first, last = lines.own(dash, item.end, lines.column(dash), spacing=False)
        goal = (
            lines.own(lines.dash(node.items[to].start), node.items[to].end, lines.column(dash), spacing=False)[0]
            if to < len(node.items)
            else lines.own(lines.dash(node.items[-1].start), node.items[-1].end, lines.column(dash), spacing=False)[1]
        )
        if first <= goal <= last:
            return []
        moved = lines.text[first:last]
        whole = moved if moved.endswith(("\n", "\r")) else moved + lines.eol
        start = "" if goal == 0 or lines.text[goal - 1] in "\n\r\x85\u2028\u2029" else lines.eol
        return [TextChange(first, last, ""), TextChange(goal, goal, start + whole)]

    def _movable(self, node: Node) -> bool:
        return all(self.lines.begins_line(self.lines.dash(item.start)) for item in node.items)

    def _item_put_in(self, node: Node, place: int, item: Any) -> TextChange:
        if node.flow:
            return self._into_brackets(node, place, written_item(item), [(each.start, each.end) for each in node.items])
        indent = self.lines.column(self.lines.dash(node.items[0].start))
        if isinstance(item, dict) and len(item) > 1:
            inner = lines_of(item, indent + 2, None)
            text = [f"{' ' * indent}- {inner[0].lstrip()}", *inner[1:]]
        else:
            text = [f"{' ' * indent}- {written_item(item, flow=False)}"]
        return self._lines_in(place, text, [(self.lines.dash(each.start), each.end) for each in node.items])

    def _into_brackets(self, node: Node, place: int, text: str, spans: list[tuple[int, int]]) -> TextChange:
        if not spans:
            return TextChange(node.start + 1, node.end - 1, text)
        if place == 0:
            return TextChange(spans[0][0], spans[0][0], f"{text}, ")
        at = spans[min(place, len(spans)) - 1][1]
        return TextChange(at, at, f", {text}")

    def _lines_in(self, place: int, new: list[str], spans: list[tuple[int, int]], *, apart: bool = False) -> TextChange:
        """Put lines in before the entry or item of that number. `apart`: with an empty line between."""
        lines = self.lines
        text = lines.eol.join(new) + lines.eol
        column = lines.column(spans[0][0])
        if place <= 0:
            at = lines.own(*spans[0], column, spacing=False)[0]
            if lines.begins_line(spans[0][0]):
                return TextChange(at, at, text + (lines.eol if apart else ""))
            rest = text[column:]  # on the line of a dash
            return TextChange(spans[0][0], spans[0][0], rest + " " * column)
        start, end = spans[min(place, len(spans)) - 1]
        at = lines.own(start, end, column, spacing=False)[1]
        whole = at == 0 or lines.text[at - 1] in "\n\r\x85\u2028\u2029"
        return TextChange(at, at, ("" if whole else lines.eol) + (lines.eol if apart else "") + text)

    def _put_in(self, node: Node, key: str, value: Any, place: int, path: Path) -> TextChange:
        spans = [(written.start, each.end) for written, each in node.entries]
        if node.flow:
            if not path and not spans:  # the whole file is {}
                return TextChange(node.start, node.end, self.lines.eol.join(lines_of({key: value}, 0, None)))
            return self._into_brackets(node, place, f"{written_key(key, flow=True)}: {written_value(value)}", spans)
        indent = self.lines.column(spans[0][0])
        new = lines_of({key: value}, indent, _beside(node, place))
        return self._lines_in(place, new, spans, apart=isinstance(value, dict) and self._are_apart(node))

    def _are_apart(self, node: Node) -> bool:
        """Whether an empty line stands between most of the entries of a map."""
        starts = [self.lines.own(k.start, v.end, self.lines.column(k.start), spacing=False)[0] for k, v in node.entries]
        gaps = [self.lines.is_empty_above(start) for start in starts[1:]]
        return sum(gaps) * 2 > len(gaps) if gaps else not self._is_nested(node)

    def _is_nested(self, node: Node) -> bool:
        return self.lines.column(node.entries[0][0].start) > 0

    def _replaced(self, node: Node, target: Any, holder: tuple[Node, Node | None] | None) -> list[TextChange]:
        """Write another kind of value, or another plain one, in the place of a value."""
        lines = self.lines
        if node.kind == "scalar" and not isinstance(target, dict | list) and node.end > node.start:
            return [replaced_scalar(lines.text, node, target, lines.eol)]
        flow = node.flow or isinstance(target, dict | list)
        is_item = holder is not None and holder[0].kind == "list"
        text = written_item(target, flow=flow) if is_item else written_value(target, flow=flow)
        key = holder[1] if holder else None
        if node.is_block and key is not None:
            first, last = lines.own(next(node.parts).start, node.end, lines.column(node.start), spacing=False)
            if node.kind == "list":
                first = lines.own(lines.dash(node.items[0].start), node.end, lines.column(node.start), spacing=False)[0]
            self.comments += lines.comments_in(first, last)
            colon = lines.text.index(":", key.end) + 1
            anchor = node.start + len(f"&{node.anchor}") if node.anchor else node.start
            return [
                TextChange(colon, colon, f" {text}"),
                TextChange(node.start, anchor, ""),
                TextChange(first, last, ""),
            ]
        if node.start == node.end and key is not None:
            rest = lines.text[key.end :]
            colon = key.end + len(rest) - len(rest.lstrip(" \t"))
            if lines.text[colon : colon + 1] != ":":
                return [TextChange(key.end, key.end, f": {text}")]
            return [TextChange(colon + 1, max(colon + 1, node.end), f" {text}")]
        if not holder and not target:
            text = "{}"
        if node.kind != "scalar":
            self.comments += lines.comments_in(node.start, node.end)
        return [TextChange(node.start, node.end, text)]


def _alike(now: Any, wanted: Any) -> bool:
    """Whether one map is the other with some values changed."""
    return isinstance(now, dict) and isinstance(wanted, dict) and bool(set(now) & set(wanted)) and len(wanted) > 1


def _beside(node: Node, place: int) -> Node | None:
    """Return the entry above a place of a map, or the one below it: a new one is written in its style."""
    maps = [value for _, value in node.entries if value.kind == "map"]
    above = [value for _, value in node.entries[:place] if value.kind == "map"]
    return above[-1] if above else maps[0] if maps else None
