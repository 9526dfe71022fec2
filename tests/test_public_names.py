"""The public names of the package: imported when first used, and the same for a type checker."""

from __future__ import annotations

import ast
import subprocess
import sys
from importlib import import_module
from pathlib import Path

import pytest

import kitdocs

SOURCE = Path(kitdocs.__file__)


def names_for_type_checkers() -> set[tuple[str, str]]:
    """Module and name of every import that only a type checker sees."""
    tree = ast.parse(SOURCE.read_text("utf-8"))
    block = next(node for node in tree.body if isinstance(node, ast.If))
    imports = [node for node in block.body if isinstance(node, ast.ImportFrom)]
    return {(node.module or "", alias.name) for node in imports for alias in node.names}


def test_type_checkers_see_the_names_that_exist() -> None:
    at_run_time = {(f"kitdocs.{kitdocs._MODULE_OF[name]}", name) for name in kitdocs.__all__}
    assert names_for_type_checkers() == at_run_time


@pytest.mark.parametrize("name", kitdocs.__all__)
def test_every_public_name_can_be_used(name: str) -> None:
    defined = import_module(f"kitdocs.{kitdocs._MODULE_OF[name]}")
    assert getattr(kitdocs, name) is getattr(defined, name)
    assert name in dir(kitdocs)


def test_unknown_name_is_refused() -> None:
    with pytest.raises(AttributeError, match="no attribute 'make_plans'"):
        kitdocs.make_plans  # noqa: B018


def test_import_of_the_package_loads_no_library() -> None:
    program = "import sys; import kitdocs; print(*sys.modules)"
    loaded = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True).stdout.split()
    assert "kitdocs" in loaded
    assert not {"pydantic", "typst", "jinja2", "coloraide", "PIL"} & set(loaded)
