"""Templates use exactly what their page's context has, every kind of block is drawn, no language lacks a word."""

from __future__ import annotations

import dataclasses
import re
from string import Formatter
from typing import get_args

import pytest
from jinja2 import meta, nodes

from kitdocs.handbook import blocks
from kitdocs.handbook.words import words_of
from kitdocs.planning.colours.palette import SAFETY
from kitdocs.publish.site_frame import Frame
from kitdocs.publish.site_pages import TEMPLATES, environment, kind_of
from kitdocs.publish.site_plan import PLAN_TEMPLATES
from kitdocs.shipped import shipped_folder

EVERY_PAGE = {**TEMPLATES, **PLAN_TEMPLATES}
FOLDER = shipped_folder("site_templates") / "site"


def tree(name: str) -> nodes.Template:
    return environment().parse((FOLDER / name).read_text("utf-8"))


@pytest.mark.parametrize(("page", "template"), EVERY_PAGE.items())
def test_a_template_uses_exactly_the_fields_of_its_context(page: type, template: str) -> None:
    own, layout = tree(template), tree("page.html.j2")
    imported = {node.target for node in own.find_all(nodes.Import)}
    used = (meta.find_undeclared_variables(own) | meta.find_undeclared_variables(layout)) - imported
    assert used == {field.name for field in dataclasses.fields(page)}


def test_the_frame_has_no_field_that_no_template_uses() -> None:
    used = {
        node.attr
        for template in ("page.html.j2", *EVERY_PAGE.values())
        for node in tree(template).find_all(nodes.Getattr)
        if isinstance(node.node, nodes.Name) and node.node.name == "frame"
    }
    assert used == {field.name for field in dataclasses.fields(Frame)}


def test_shared_macros_use_nothing_but_their_arguments() -> None:
    for name in ("blocks.html.j2", "tiles.html.j2", "find.html.j2"):
        assert meta.find_undeclared_variables(tree(name)) == set(), name


def test_every_kind_of_block_has_its_macro() -> None:
    kinds = {*get_args(blocks.Block), blocks.Heading, blocks.Paragraph, blocks.Listing, blocks.Matrix}
    macros = set(environment().get_template("blocks.html.j2").module.__dict__)
    assert len(kinds) >= 14
    assert {kind_of(object.__new__(kind)) for kind in kinds} <= macros


def test_cautions_are_in_the_safety_yellow_that_chairs_must_not_come_near() -> None:
    # ISO 3864-4 yellow, RAL 1003, in sRGB.
    assert SAFETY["yellow"] == "#f9a800"
    for path in ("site/assets/style.css", "site/assets/caution.svg", "print/page.typ"):
        assert SAFETY["yellow"] in (FOLDER.parent / path).read_text("utf-8"), path


def test_both_languages_have_the_same_words_and_placeholders() -> None:
    english, spanish = (words_of(language).part("site") for language in ("en", "es"))
    assert set(english) == set(spanish)
    assert len(english) > 60

    def fields(sentence: str) -> set[str]:
        return {name for _, name, _, _ in Formatter().parse(sentence) if name}

    assert {key for key in english if fields(english[key]) != fields(spanish[key])} == set()


def test_every_word_is_used_somewhere() -> None:
    source = "".join(path.read_text("utf-8") for path in FOLDER.rglob("*") if path.suffix in {".j2", ".js"})
    source += "".join(
        path.read_text("utf-8")
        for path in (shipped_folder("site_templates").parent / "kitdocs" / "publish").glob("site*.py")
    )
    said = set(re.findall(r"site\.([a-z_.]+)", source))
    # The verdict's script puts these together from the state.
    said |= {f"script.{name}" for name in re.findall(r'"(\w[\w.]*)"', source)}
    said |= {f"script.{when}_{state}" for when in ("last", "copy") for state in ("neutral", "current", "old", "gone")}
    assert set(words_of("en").part("site")) - said == set()
