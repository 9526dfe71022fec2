"""Small mistakes in Python source: every mutant of a module, numbered in the order of its syntax tree.

A mutant is a module with one small change: a comparison turned, a number one higher, a text spoilt, an element or a
statement left out. Docstrings, annotations, decorators and type names are left alone: no test can notice those.
So are format specifications and the arguments of `isinstance`, where every change is an error at once, the order of
the arguments of `min` and `max`, and `strict` of `zip`, which is noticed only where lengths differ, and they never do.
"""

from __future__ import annotations

import ast
import copy
from collections.abc import Callable, Iterator
from dataclasses import dataclass

Change = tuple[str, Callable[[], None]]

COMPARISONS: dict[type[ast.cmpop], type[ast.cmpop]] = {
    ast.Lt: ast.LtE,
    ast.LtE: ast.Lt,
    ast.Gt: ast.GtE,
    ast.GtE: ast.Gt,
    ast.Eq: ast.NotEq,
    ast.NotEq: ast.Eq,
    ast.In: ast.NotIn,
    ast.NotIn: ast.In,
    ast.Is: ast.IsNot,
    ast.IsNot: ast.Is,
}
OPERATORS: dict[type[ast.operator], type[ast.operator]] = {
    ast.Add: ast.Sub,
    ast.Sub: ast.Add,
    ast.Mult: ast.Div,
    ast.Div: ast.Mult,
    ast.FloorDiv: ast.Mult,
    ast.Mod: ast.Mult,
    ast.BitOr: ast.BitAnd,
    ast.BitAnd: ast.BitOr,
}
FUNCTIONS = {"min": "max", "max": "min", "any": "all", "all": "any", "floor": "ceil", "ceil": "floor"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Mutant:
    """One change of one module. `number` counts the module's mutants from 0; `lines` are those of its statement."""

    number: int
    line: int
    lines: range
    change: str
    #: The qualified name of the function or class around it; empty at the module's own level.
    scope: str


def mutants(source: str) -> list[Mutant]:
    """Every mutant of a module."""
    return [
        Mutant(number=number, line=site.line, lines=site.lines, change=change[0], scope=site.scope)
        for number, (site, change) in enumerate(_changes(ast.parse(source)))
    ]


def mutated(source: str, number: int) -> ast.Module:
    """The module's tree with the change of that number; lines are those of the source."""
    tree = ast.parse(source)
    for at, (_, (_, make)) in enumerate(_changes(tree)):
        if at == number:
            make()
            return ast.fix_missing_locations(tree)
    raise ValueError(f"there is no mutant {number}")


@dataclass(frozen=True, slots=True, kw_only=True)
class _Site:
    node: ast.AST
    parent: ast.AST
    line: int
    lines: range
    scope: str


def _changes(tree: ast.Module) -> Iterator[tuple[_Site, Change]]:
    # The sites are listed before the first change, so that a change cannot move the numbers of those that follow.
    for site in list(_sites(tree, tree, range(0), "")):
        for change in list(_changes_at(site.node, site.parent)):
            yield site, change


def _sites(node: ast.AST, parent: ast.AST, lines: range, scope: str) -> Iterator[_Site]:
    """Each node that may be changed, in the order of the source."""
    if isinstance(node, ast.stmt):
        lines = _own_lines(node)
    if isinstance(node, ast.FunctionDef | ast.ClassDef):
        scope = f"{scope}.{node.name}".lstrip(".")
    yield _Site(node=node, parent=parent, line=getattr(node, "lineno", 0), lines=lines, scope=scope)
    for child in _children(node):
        yield from _sites(child, node, lines, scope)


def _own_lines(statement: ast.stmt) -> range:
    """The statement's lines, without the statements inside it."""
    body = getattr(statement, "body", None)
    end = body[0].lineno - 1 if isinstance(body, list) and body else statement.end_lineno or statement.lineno
    return range(statement.lineno, max(statement.lineno, end) + 1)


def _children(node: ast.AST) -> Iterator[ast.AST]:
    skipped: list[ast.AST | None] = []
    if isinstance(node, ast.FunctionDef):
        skipped = [*node.decorator_list, node.returns]
    elif isinstance(node, ast.ClassDef):
        skipped = [*node.decorator_list, *node.bases]
    elif isinstance(node, ast.arg | ast.AnnAssign):
        skipped = [node.annotation]
    elif isinstance(node, ast.FormattedValue):
        skipped = [node.format_spec]
    elif isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "zip":
        skipped = [keyword for keyword in node.keywords if keyword.arg == "strict"]
    elif isinstance(node, ast.Subscript) and isinstance(node.value, ast.Name) and node.value.id[0].isupper():
        return  # a type, as in Literal["a"] or Mapping[str, int]
    elif isinstance(node, ast.ImportFrom | ast.Import | ast.JoinedStr | ast.Assert):
        if isinstance(node, ast.JoinedStr):
            yield from node.values
        return
    elif _is_about_types(node):
        return
    for child in ast.iter_child_nodes(node):
        if child not in skipped and not _is_docstring(child):
            yield child


def _is_about_types(node: ast.AST) -> bool:
    """Whether a statement or call is there for the type checker, or for readers of the module, only."""
    if isinstance(node, ast.If):
        return isinstance(node.test, ast.Name) and node.test.id == "TYPE_CHECKING"
    if isinstance(node, ast.Assign):
        return any(isinstance(target, ast.Name) and target.id == "__all__" for target in node.targets)
    return isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in ("cast", "TypeVar")


def _is_docstring(node: ast.AST) -> bool:
    """Whether a statement only stands there, as a docstring or ``...`` does."""
    return isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant)


def _changes_at(node: ast.AST, parent: ast.AST) -> Iterator[Change]:
    if isinstance(node, ast.Compare):
        yield from _comparison(node)
    elif isinstance(node, ast.BinOp) and type(node.op) in OPERATORS:
        other = OPERATORS[type(node.op)]
        yield f"{_name(node.op)} → {other.__name__}", lambda: setattr(node, "op", other())
    elif isinstance(node, ast.BoolOp):
        turned = ast.Or() if isinstance(node.op, ast.And) else ast.And()
        yield f"{_name(node.op)} → {_name(turned)}", lambda: setattr(node, "op", turned)
    elif isinstance(node, ast.UnaryOp) and isinstance(node.op, ast.Not):
        yield "not left out", lambda: _replace(parent, node, node.operand)
    elif isinstance(node, ast.Constant):
        yield from _constant(node)
    elif isinstance(node, ast.IfExp):
        body, orelse = node.body, node.orelse
        yield "if and else swapped", lambda: node.__dict__.update(body=orelse, orelse=body)
    elif isinstance(node, ast.If | ast.While) and not _is_about_types(node):
        negated = ast.UnaryOp(op=ast.Not(), operand=node.test)
        yield "condition negated", lambda: setattr(node, "test", ast.copy_location(negated, node.test))
    elif isinstance(node, ast.comprehension) and node.ifs:
        yield "filter left out", node.ifs.clear
    elif isinstance(node, ast.Call):
        yield from _call(node)
    elif isinstance(node, ast.Tuple | ast.List) and isinstance(node.ctx, ast.Load) and len(node.elts) > 1:
        for at, element in enumerate(node.elts):
            yield f"element {at} left out", lambda element=element: node.elts.remove(element)
    elif isinstance(node, ast.Expr | ast.Continue | ast.Break | ast.AugAssign):
        left_out = ast.copy_location(ast.Pass(), node)
        yield "statement left out", lambda: _replace(parent, node, left_out)


def _comparison(node: ast.Compare) -> Iterator[Change]:
    for at, operator in enumerate(node.ops):
        other = COMPARISONS[type(operator)]
        yield f"{_name(operator)} → {other.__name__}", lambda at=at, other=other: node.ops.__setitem__(at, other())


def _constant(node: ast.Constant) -> Iterator[Change]:
    value = node.value
    if isinstance(value, bool):
        yield f"{value} → {not value}", lambda: setattr(node, "value", not value)
    elif isinstance(value, int | float):
        yield f"{value} → {value + 1}", lambda: setattr(node, "value", value + 1)
    elif isinstance(value, str):
        spoilt = f"{value}?" if value else "?"
        yield f"{value!r} → {spoilt!r}", lambda: setattr(node, "value", spoilt)


def _call(node: ast.Call) -> Iterator[Change]:
    if isinstance(node.func, ast.Name) and node.func.id in FUNCTIONS:
        other = ast.copy_location(ast.Name(id=FUNCTIONS[node.func.id], ctx=ast.Load()), node.func)
        yield f"{node.func.id} → {other.id}", lambda: setattr(node, "func", other)
    in_any_order = isinstance(node.func, ast.Name) and node.func.id in ("isinstance", "min", "max")
    if len(node.args) == 2 and not in_any_order and not any(isinstance(a, ast.Starred) for a in node.args):
        yield "arguments swapped", node.args.reverse


def _replace(parent: ast.AST, node: ast.AST, other: ast.AST) -> None:
    for name, value in ast.iter_fields(parent):
        if value is node:
            setattr(parent, name, other)
        elif isinstance(value, list) and node in value:
            value[value.index(node)] = other


def _name(operator: ast.AST) -> str:
    return type(operator).__name__


def readable(source: str, number: int) -> tuple[str, str]:
    """The statement before and after the change, each on one line as Python writes it."""
    (mutant,) = [m for m in mutants(source) if m.number == number]
    before, after = ast.parse(source), mutated(source, number)
    return _statement(before, mutant), _statement(after, mutant)


def _statement(tree: ast.Module, mutant: Mutant) -> str:
    for node in ast.walk(tree):
        if isinstance(node, ast.stmt) and node.lineno == mutant.lines.start:
            shown = copy.copy(node)
            if isinstance(getattr(shown, "body", None), list):
                shown.body = [ast.copy_location(ast.Pass(), node)]  # type: ignore[attr-defined]
            return " ".join(ast.unparse(ast.fix_missing_locations(shown)).split())
    return ""
