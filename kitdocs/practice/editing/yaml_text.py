"""Values of a YAML text replaced, put in and taken out; every other byte of it stays.

One edit at a time is made in the text and the text is read again, so that places are always those of the text at hand.
What is written is read back at last: it holds just what was asked for, or nothing is returned.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field
from typing import Any

import yaml

from kitdocs.practice.editing.differences import Differ, TextChange, replaced_scalar
from kitdocs.practice.editing.edits import GONE, Edit, EditError, edited_data, same
from kitdocs.practice.editing.lines import TextLines
from kitdocs.practice.editing.nodes import Node, nodes_of
from kitdocs.practice.editing.records import lines_of
from kitdocs.practice.editing.scalars import written_value

#: Steps of one edit in which items are moved with their comments, and after which it is given up.
_MOST_MOVES, _MOST_STEPS = 100, 2000


@dataclass(slots=True)
class Edited:
    """A text as it is to be, and the comments that went with what was taken out, line by line."""

    text: str
    comments: list[str] = field(default_factory=list)


def replace_values(text: str, edits: Sequence[Edit]) -> Edited:
    """Return a YAML text with the edits made. Raises `EditError` where that is not possible, `yaml.YAMLError`."""
    expected = edited_data(_data(text), edits)
    if same(_data(text), expected):  # order alone is no reason to touch anything
        edits = [edit for edit in edits if _is_list(edit.value)]
    done = Edited(_scalars_replaced(text, edits))
    for edit in edits:
        _apply(done, edit)
    if not same(_data(done.text), expected):
        raise EditError(edits[0].path if edits else ())
    return done


def _is_list(value: Any) -> bool:
    return isinstance(value, list | dict)


def _data(text: str) -> Any:
    root = nodes_of(text)
    return root.data if root else None


def _scalars_replaced(text: str, edits: Sequence[Edit]) -> str:
    """Return the text with all plain values replaced that only need that, in one go."""
    root = nodes_of(text)
    if root is None or _repeats(root):
        return text
    eol = TextLines(text).eol
    changes: dict[int, TextChange] = {}
    for edit in edits:
        node = root.at(edit.path)
        if node and node.kind == "scalar" and node.end > node.start and isinstance(edit.value, str | int | float):
            changes[node.start] = replaced_scalar(text, node, edit.value, eol)
    return _changed(text, list(changes.values()))


def _changed(text: str, changes: Sequence[TextChange]) -> str:
    for change in sorted(changes, key=lambda change: change.start, reverse=True):
        text = text[: change.start] + change.text + text[change.end :]
    return text


def _repeats(root: Node) -> bool:
    return any(node.kind == "alias" for node in root.walk())


def _apply(done: Edited, edit: Edit) -> None:
    """Make one edit, step by step."""
    target = edited_data(_data(done.text), [edit])
    steps, moves, seen = 0, True, {done.text}
    while True:
        root = nodes_of(done.text)
        if root is None:
            done.text = _put_into_nothing(done.text, target)
            return
        changes = _step(root, target, edit, done, moves=moves)
        if not changes:
            return
        done.text = _changed(done.text, changes)
        steps += 1
        try:
            is_read = nodes_of(done.text) is not None or target == {}
        except yaml.YAMLError:
            is_read = False
        goes_round = done.text in seen
        if not is_read or (goes_round and not moves) or steps > _MOST_STEPS:
            raise EditError(edit.path)
        if goes_round or steps >= _MOST_MOVES:
            moves, seen = False, set()
        seen.add(done.text)


def _put_into_nothing(text: str, target: Any) -> str:
    lines = TextLines(text)
    start = text if not text or lines.ends_whole else text + lines.eol
    return start + "".join(line + lines.eol for line in lines_of(target, 0, None)) if target else text


def _step(root: Node, target: Any, edit: Edit, done: Edited, *, moves: bool) -> list[TextChange]:
    """Return the next change that brings the text nearer to the target; none when it is there."""
    if written_out := _alias_written_out(root, target):
        return [written_out]
    return Differ(TextLines(done.text), edit, done.comments, moves).step(root, target, (), None)


def _alias_written_out(root: Node, target: Any) -> TextChange | None:
    """Return the change that writes out a repeat, where what it repeats, or itself, is about to change."""

    def found(node: Node, wanted: Any) -> Node | None:
        if node.kind == "alias":
            assert node.target
            return node if not same(node.data, wanted) or id(node.target) in changing else None
        for key, value in node.entries:
            if (inner := found(value, wanted.get(key.text, GONE) if isinstance(wanted, dict) else GONE)) is not None:
                return inner
        for n, item in enumerate(node.items):
            inside = wanted[n] if isinstance(wanted, list) and n < len(wanted) else GONE
            if (inner := found(item, inside)) is not None:
                return inner
        return None

    if not _repeats(root):
        return None
    changing = {id(node) for node in _changing(root, target) if node.anchor}
    alias = found(root, target)
    if alias is None or alias.target is None:
        return None
    return TextChange(alias.start, alias.end, written_value(alias.target.data))


def _changing(node: Node, wanted: Any) -> list[Node]:
    """Return the nodes that are not to stay as they are."""
    if node.kind == "alias" or same(node.data, wanted):
        return []
    found = [node]
    for key, value in node.entries:
        found += _changing(value, wanted.get(key.text, GONE) if isinstance(wanted, dict) else GONE)
    for n, item in enumerate(node.items):
        found += _changing(item, wanted[n] if isinstance(wanted, list) and n < len(wanted) else GONE)
    return found
