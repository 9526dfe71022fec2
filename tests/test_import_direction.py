"""The road is one-way, from the practice folder to the published one: every floor may look down, none may look up."""

from __future__ import annotations

import ast
from collections import defaultdict
from functools import cache
from graphlib import TopologicalSorter
from pathlib import Path

from sources import PACKAGE, modules, tree

#: The parts and modules that each part may import, itself always included.
MAY_IMPORT: dict[str, set[str]] = {
    "practice": {"errors", "extensions", "shipped", "locking"},
    "planning": {"practice", "errors", "extensions"},
    "proposing": {"practice", "planning", "tasks"},
    "importing": {
        "errors",
        "locking",
        "practice",
        "planning",
        "drawings.instruments",
        "starter",
        "publish.tables",
        "shipped",
    },
    "drawings": {"practice.kinds"},
    "document": {"practice.problems", "practice.sentences", "practice.message", "practice.kinds", "practice.numbers"},
    "revisions": {"practice", "planning", "document"},
    "handbook": {"errors", "extensions", "practice", "planning", "drawings", "document", "revisions", "shipped"},
    "report": {"practice", "planning", "drawings", "document", "handbook"},
    "publish": {
        "cache",
        "errors",
        "extensions",
        "practice.problems",
        "practice.paper",
        "practice.typeface",
        "document",
        "revisions",
        "drawings",
        "shipped",
        "locking",
    },
    "command": {
        "cache",
        "errors",
        "tasks",
        "practice",
        "planning",
        "proposing",
        "importing",
        "starter",
        "document",
        "revisions",
        "handbook",
        "report",
        "publish",
        "workbook",
        "guide",
        "shipped",
    },
    "guide": {"practice", "planning", "document", "handbook", "report.amounts", "shipped"},
    "group": {
        "cache",
        "cluster",
        "errors",
        "practice",
        "planning",
        "document",
        "handbook",
        "publish",
        "shipped",
        "command.kept",
        "command.problems_told",
    },
    "starter": {"practice", "version"},
    "library": {"practice", "planning", "document", "revisions", "handbook", "publish", "workbook", "importing.grids"},
    "workbook": {"errors", "shipped", "practice", "document.catalog", "importing.grids"},
    "cache": {"extensions", "shipped"},
    "cluster": {"cache", "errors", "tasks"},
    "extensions": {"errors"},
    "errors": set(),
    "shipped": set(),
    "locking": set(),
    "tasks": set(),
    "version": set(),
}


@cache
def imports(path: Path, *, for_types: bool = True) -> frozenset[str]:
    """The kitdocs modules that a file imports, without ``kitdocs.``; `for_types`: also those for mypy only."""
    found = set()
    for node in _statements(tree(path), for_types):
        if isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path} imports relatively"
            found.add(node.module or "")
        elif isinstance(node, ast.Import):
            found.update(alias.name for alias in node.names)
    return frozenset(name.removeprefix("kitdocs.") for name in found if name.partition(".")[0] == "kitdocs")


def _statements(node: ast.AST, for_types: bool) -> list[ast.AST]:
    """Every statement, those inside others included. Expressions are not looked into: they import nothing."""
    found: list[ast.AST] = []
    for child in ast.iter_child_nodes(node):
        is_guard = not for_types and isinstance(child, ast.If) and ast.unparse(child.test) == "TYPE_CHECKING"
        if isinstance(child, ast.stmt | ast.ExceptHandler) and not is_guard:
            found += [child, *_statements(child, for_types)]
    return found


def part_of(module: str) -> str:
    return module.partition(".")[0]


def name_of(path: Path) -> str:
    """``planning.plan`` for planning/plan.py; ``planning`` for its package."""
    return ".".join(path.relative_to(PACKAGE).with_suffix("").parts).removesuffix(".__init__")


def test_no_floor_looks_up() -> None:
    upward = [
        f"{name_of(path)} imports {module}"
        for part, allowed in MAY_IMPORT.items()
        for path in modules(part)
        for module in imports(path)
        if not any(module == a or module.startswith(f"{a}.") for a in allowed | {part})
    ]
    assert upward == []


def test_the_floors_that_may_be_looked_at_form_no_circle() -> None:
    order = list(TopologicalSorter({p: {part_of(a) for a in may} for p, may in MAY_IMPORT.items()}).static_order())
    road = ("practice", "planning", "handbook", "command")
    assert sorted(order, key=order.index) == order
    assert [part for part in order if part in road] == list(road)


def test_no_two_parts_and_no_two_modules_import_each_other() -> None:
    """Neither directly nor around a longer circle. `prepare` raises CycleError, which names the circle."""
    between_parts: dict[str, set[str]] = defaultdict(set)
    between_modules: dict[str, set[str]] = {}
    known = {name_of(path) for path in modules()}
    for path in modules():
        here = name_of(path)
        found = imports(path, for_types=False) & known - {here}
        between_modules[here] = {name for name in found if not here.startswith(f"{name}.")}
        between_parts[part_of(here)] |= {part_of(name) for name in imports(path)} - {part_of(here), ""}
    TopologicalSorter(between_parts).prepare()
    TopologicalSorter(between_modules).prepare()
    assert sum(map(len, between_modules.values())) > 500


def test_the_checks_above_found_the_modules() -> None:
    assert "practice.model" in imports(PACKAGE / "handbook" / "build_handbook.py")
    assert all(modules(part) and all(p.is_file() for p in modules(part)) for part in MAY_IMPORT)
    top = {path.name.removesuffix(".py") for path in PACKAGE.iterdir() if path.suffix == ".py" or path.is_dir()}
    assert top - set(MAY_IMPORT) == {
        "__init__",
        "__main__",
        "cli",
        "cli_check",
        "cli_group",
        "cli_guide",
        "cli_import",
        "cli_options",
        "cli_propose",
        "cli_sheets",
        "cli_workbook",
        *top & {"py.typed", "data", "__pycache__"},
    }


def test_only_publish_knows_html_and_typst() -> None:
    renderers = {"jinja2", "typst", "markupsafe", "xlsxwriter", "pypdfium2"}
    for path in modules():
        if "publish" in path.parts or name_of(path) == "workbook.write":
            continue
        nodes = _statements(tree(path), for_types=True)
        names = {a.name.split(".")[0] for n in nodes if isinstance(n, ast.Import) for a in n.names}
        names |= {(n.module or "").split(".")[0] for n in nodes if isinstance(n, ast.ImportFrom)}
        assert not names & renderers, path


def test_no_module_is_over_400_lines() -> None:
    long = {p.name: n for p in modules() if (n := len(p.read_text("utf-8").splitlines())) > 400}
    assert not long


def test_a_module_is_named_after_what_it_makes_or_plans() -> None:
    vague = {name_of(path) for path in modules() if path.name in ("make.py", "plan.py", "utils.py", "helpers.py")}
    assert vague == {"planning.plan"}


def test_no_two_modules_define_a_public_class_of_the_same_name() -> None:
    homes: dict[str, list[str]] = defaultdict(list)
    for path in modules():
        for node in tree(path).body:
            if isinstance(node, ast.ClassDef) and not node.name.startswith("_"):
                homes[node.name].append(name_of(path))
    assert len(homes) > 150
    assert {name: where for name, where in homes.items() if len(where) > 1} == {}


def test_a_module_docstring_is_a_noun_phrase() -> None:
    """Seen by a program: there is one, and it does not begin with "What"."""
    said = {name_of(path): ast.get_docstring(tree(path)) or "" for path in modules()}
    assert [name for name, text in said.items() if not text or text.startswith("What ")] == []
