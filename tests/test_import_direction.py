"""The road is one-way, from the practice folder to the published one: every floor may look down, none may look up."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest
from sources import PACKAGE, modules, tree

#: What each part of kitdocs may import, itself always included.
MAY_IMPORT = {
    "practice": {"shipped", "locking"},
    "planning": {"practice"},
    "drawings": {"practice.kinds"},
    "document": {"practice.problems", "practice.sentences", "practice.message", "practice.kinds"},
    "revisions": {"practice", "planning", "document"},
    "handbook": {"practice", "planning", "drawings", "document", "revisions", "shipped"},
    "report": {"practice", "planning", "drawings", "document", "handbook"},
    "publish": {
        "practice.problems",
        "practice.paper",
        "document",
        "revisions",
        "drawings",
        "shipped",
        "locking",
        "unforeseen",
    },
    "command": {"unforeseen", "practice", "planning", "document", "revisions", "handbook", "report", "publish"},
    "starter": {"practice"},
    "shipped": set(),
    "locking": set(),
    "unforeseen": set(),
    "version": set(),
}


def imports(path: Path) -> set[str]:
    """The kitdocs modules that a file imports, without the leading ``kitdocs.``."""
    found = set()
    for node in ast.walk(tree(path)):
        if isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path} imports relatively"
            found.add(node.module or "")
        elif isinstance(node, ast.Import):
            found.update(alias.name for alias in node.names)
    return {name.removeprefix("kitdocs.") for name in found if name == "kitdocs" or name.startswith("kitdocs.")}


@pytest.mark.parametrize("part", MAY_IMPORT)
def test_no_floor_looks_up(part: str) -> None:
    allowed = MAY_IMPORT[part] | {part}
    for path in modules(part):
        for module in imports(path):
            assert any(module == a or module.startswith(f"{a}.") for a in allowed), (
                f"{path.relative_to(PACKAGE)} imports kitdocs.{module}"
            )


def test_the_check_above_found_the_modules() -> None:
    assert "practice.model" in imports(PACKAGE / "handbook" / "build_handbook.py")
    assert all(modules(part) and all(p.is_file() for p in modules(part)) for part in MAY_IMPORT)
    assert sum(len(modules(part)) for part in MAY_IMPORT) > 60


def test_only_publish_knows_html_and_typst() -> None:
    renderers = {"jinja2", "typst", "markupsafe", "xlsxwriter", "pypdfium2"}
    for path in modules():
        if "publish" in path.parts:
            continue
        nodes = list(ast.walk(tree(path)))
        names = {a.name.split(".")[0] for n in nodes if isinstance(n, ast.Import) for a in n.names}
        names |= {(n.module or "").split(".")[0] for n in nodes if isinstance(n, ast.ImportFrom)}
        assert not names & renderers, path


def test_no_module_is_over_400_lines() -> None:
    long = {p.name: n for p in modules() if (n := len(p.read_text("utf-8").splitlines())) > 400}
    assert not long
