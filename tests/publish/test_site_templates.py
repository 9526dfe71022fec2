"""Templates use exactly the fields of their page's context."""

from __future__ import annotations

import dataclasses

import pytest
from jinja2 import meta, nodes

from kitdocs.planning.colours.palette import SAFETY
from kitdocs.publish.site.frame import Here
from kitdocs.publish.site.pages import TEMPLATES
from kitdocs.publish.site.plan_pages import PLAN_TEMPLATES
from kitdocs.publish.site.templates import environment
from kitdocs.shipped import shipped_folder

EVERY_PAGE = {**TEMPLATES, **PLAN_TEMPLATES}
#: What a template says to the layout: its style sheets, and that it is scanned.
TOLD = {"sheets", "is_scanned"}
FOLDER = shipped_folder("site_templates") / "site"


def tree(name: str) -> nodes.Template:
    return environment().parse((FOLDER / name).read_text("utf-8"))


@pytest.mark.parametrize(("page", "template"), EVERY_PAGE.items())
def test_a_template_uses_exactly_the_fields_of_its_context(page: type, template: str) -> None:
    own, layout = tree(template), tree("page.html.j2")
    imported = {node.target for part in (own, layout) for node in part.find_all(nodes.Import)} | TOLD
    used = (meta.find_undeclared_variables(own) | meta.find_undeclared_variables(layout)) - imported
    assert used == {field.name for field in dataclasses.fields(page)}


def test_templates_ask_here_for_all_that_it_has_and_nothing_else() -> None:
    used = {
        node.attr
        for template in FOLDER.glob("*.j2")
        for node in tree(template.name).find_all(nodes.Getattr)
        if isinstance(node.node, nodes.Name) and node.node.name == "here"
    }
    assert used | {"path", "handbooks"} == {name for name in dir(Here) if not name.startswith("_")}


def test_shared_macros_use_nothing_but_their_arguments() -> None:
    for name in ("blocks.html.j2", "tiles.html.j2"):
        assert meta.find_undeclared_variables(tree(name)) == set(), name


def test_cautions_are_in_the_safety_yellow_that_chairs_must_not_come_near() -> None:
    # ISO 3864-4 yellow, RAL 1003, in sRGB.
    assert SAFETY["yellow"] == "#f9a800"
    for path in ("site/assets/first.css", "site/assets/caution.svg", "print/page.typ"):
        assert SAFETY["yellow"] in (FOLDER.parent / path).read_text("utf-8"), path
