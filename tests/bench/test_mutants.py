"""The mutator itself: what it changes, what it leaves alone, and that a number always means the same change."""

from __future__ import annotations

import ast

import pytest
from mutants import mutants, mutated, readable


def changes(source: str) -> list[str]:
    return [mutant.change for mutant in mutants(source)]


@pytest.mark.parametrize(
    ("source", "found"),
    [
        ("a = b < c", ["Lt → LtE"]),
        ("a = b + 60", ["Add → Sub", "60 → 61"]),
        ("a = b and c", ["And → Or"]),
        ("a = not b", ["not left out"]),
        ("a = 'new'", ["'new' → 'new?'"]),
        ("a = True", ["True → False"]),
        ("a = b if c else d", ["if and else swapped"]),
        ("a = f(b, c)", ["arguments swapped"]),
        ("a = max(b)", ["max → min"]),
        ("a = max(b, c)", ["max → min"]),
        ("a = zip(b, c, strict=True)", ["arguments swapped"]),
        ("a = (b, c)", ["element 0 left out", "element 1 left out"]),
        ("a = [b for b in c if b]", ["filter left out"]),
        ("f()", ["statement left out"]),
        ("if a:\n    b = c", ["condition negated"]),
    ],
)
def test_each_kind_of_change_is_made(source: str, found: list[str]) -> None:
    assert changes(source) == found


@pytest.mark.parametrize(
    "source",
    [
        '"""A docstring."""',
        "def f(a: Literal['x'] | None) -> Annotated[int, 3]: ...",
        "@frozen(slots=True)\nclass A: ...",
        "if TYPE_CHECKING:\n    a = 1",
        "__all__ = ['a', 'b']",
        "a = f'{b:.1f}'",
        "a = isinstance(b, c)",
        "a = zip(b, strict=True)",
    ],
)
def test_what_no_test_could_notice_is_left_alone(source: str) -> None:
    assert changes(source) == []


def test_every_number_makes_exactly_its_own_change() -> None:
    source = "def f(a):\n    if a < 60 and a:\n        return a / 60 if a else min(a, 'x')\n    f(1)\n"
    found = {ast.unparse(mutated(source, mutant.number)) for mutant in mutants(source)}
    assert len(found) == len(mutants(source))
    assert ast.unparse(ast.parse(source)) not in found
    with pytest.raises(ValueError, match="no mutant"):
        mutated(source, len(mutants(source)))


def test_a_change_is_shown_as_the_statement_before_and_after() -> None:
    source = "def f(a):\n    return a / 60\n"
    assert [readable(source, mutant.number) for mutant in mutants(source)] == [
        ("return a / 60", "return a * 60"),
        ("return a / 60", "return a / 61"),
    ]


def test_a_statement_has_the_lines_of_its_head_only() -> None:
    source = "for a in (\n    1,\n    2,\n):\n    b = 3\n"
    assert {mutant.change: mutant.lines for mutant in mutants(source) if mutant.scope == ""} == {
        "element 0 left out": range(1, 5),
        "element 1 left out": range(1, 5),
        "1 → 2": range(1, 5),
        "2 → 3": range(1, 5),
        "3 → 4": range(5, 6),
    }
