"""Every sentence of the words files is said somewhere, and every sentence that is asked for is there.

Nothing is listed here: what is asked for is read from the modules, templates and scripts themselves. An f-string or a
template string asks for everything that fits it.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Iterable, Iterator
from functools import cache
from pathlib import Path

import pytest
from sources import modules, tree

from kitdocs.practice.sentences import counted, error_sentences, shipped_sentences
from kitdocs.shipped import shipped_folder, shipped_languages

TEMPLATES = shipped_folder("site_templates")
KEYS = shipped_sentences("en")
STEMS = {key.partition(".")[0] for key in KEYS}
#: What stands in braces at the end names one step: ``f"card.never.{never}"`` asks for nothing deeper.
SOMETHING, ANYTHING = r"[\w.-]+", r"[\w-]+"
#: What a pattern has that stands for more than one name; in a name itself it would be escaped.
OPEN = re.compile(r"(?<!\\)[\[(]")

#: Asked for as a counted thing, by the stem; asked for whole.
ALL_ASKED = {counted(key) or key for key in KEYS} | set(KEYS)
#: Whatever sentences stand below: ``site.script`` of ``site.script.found``.
PARTS = {".".join(steps[:n]) for steps in (key.split(".") for key in KEYS) for n in range(1, len(steps))}


def nodes(*parts: str) -> Iterator[ast.AST]:
    """The calls and texts in the modules of some parts of kitdocs, or of all."""
    return (node for part in parts or ("",) for path in modules(part) for node in _nodes(path))


@cache
def _nodes(path: Path) -> tuple[ast.AST, ...]:
    return tuple(node for node in ast.walk(tree(path)) if isinstance(node, ast.Call | ast.Constant | ast.JoinedStr))


def pattern(node: ast.expr) -> str | None:
    """A text in the code as a pattern, what is filled in standing for anything."""
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        return re.escape(node.value)
    if isinstance(node, ast.JoinedStr):
        last = len(node.values) - 1
        steps = (
            pattern(part) if isinstance(part, ast.Constant) else ANYTHING if at == last else SOMETHING
            for at, part in enumerate(node.values)
        )
        return "".join(filter(None, steps))
    return None


def asked_in_python() -> Iterator[str]:
    """What a call names: ``words("card.and")``, ``words.count(f"card.{thing}", 3)``, ``message("figures.par.why")``.

    ``words.each("card.map", "set", *others)`` names several.
    """
    for node in nodes():
        if isinstance(node, ast.Call) and node.args and _is_words(node.func):
            for choice in _choices(node.args[0]):
                if asked := pattern(choice):
                    yield asked
        elif isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute) and node.func.attr == "each":
            stem, *names = (ANYTHING if isinstance(arg, ast.Starred) else pattern(arg) or ANYTHING for arg in node.args)
            yield from (rf"{stem}\.{name}" for name in names)


def _is_words(called: ast.expr) -> bool:
    if isinstance(called, ast.Attribute) and called.attr == "count":
        called = called.value
    name = called.id if isinstance(called, ast.Name) else called.attr if isinstance(called, ast.Attribute) else ""
    return name in ("words", "message", "counted")


def _choices(node: ast.expr) -> Iterator[ast.expr]:
    if isinstance(node, ast.IfExp):
        yield from (*_choices(node.body), *_choices(node.orelse))
    else:
        yield node


def named_in_python() -> Iterator[str]:
    """Every text in the code that could be a sentence's name."""
    for node in nodes():
        text = pattern(node) if isinstance(node, ast.Constant | ast.JoinedStr) else None
        stem, _, rest = (text or "").partition(r"\.")
        if stem in STEMS if stem != SOMETHING else not OPEN.search(rest) and rest not in ("one", "other"):
            yield f"{stem}\\.{rest}"


def asked_in_templates() -> Iterator[str]:
    for path in TEMPLATES.rglob("*.j2"):
        for name, more in re.findall(r'words(?:\.count)?\(\s*"([\w.-]+)"(\s*~)?', path.read_text("utf-8")):
            yield re.escape(name) + (ANYTHING if more else "")


def named_in_templates() -> Iterator[str]:
    """What a template hands on to a macro by its name."""
    return (re.escape(name) for name in re.findall(r'"([\w-]+\.[\w.-]+)"', sources(".j2")))


@cache
def parts() -> frozenset[str]:
    """The parts of the words that are handed on whole, to scripts and to Typst: `publish` names them."""
    return frozenset(node.value for node in nodes("publish") if isinstance(node, ast.Constant) and node.value in PARTS)


def sources(*suffixes: str) -> str:
    return "\n".join(path.read_text("utf-8") for path in TEMPLATES.rglob("*") if path.suffix in suffixes)


def named_in_scripts() -> Iterator[str]:
    source = sources(".js", ".typ")
    names = [re.escape(name) for name in re.findall(r'"([\w.-]+)"', source)]
    names += re.findall(r"(?:words|said)\.([\w-]+)", source)
    for text in re.findall(r"`([^`\n]+)`", sources(".js")):
        name = re.sub(r"\\\$\\\{.*?\\\}", lambda _: ANYTHING, re.escape(text))
        names += [name] if re.search(r"\w", name.replace(ANYTHING, "")) else []
    yield from names
    for part in parts():
        yield from (rf"{re.escape(part)}\.{name}" for name in names)


def asked_in_scripts() -> Iterator[str]:
    scripts = "|".join(re.escape(part) for part in parts() if part.endswith(".script"))
    for name in re.findall(r'\b(?:say|count)\(\s*"([\w.]+)"', sources(".js")):
        yield rf"(?:{scripts})\.{re.escape(name)}"


def met(names: Iterable[str], keys: set[str]) -> tuple[set[str], set[str]]:
    """Of the patterns those that fit a key, and of the keys those that fit a pattern."""
    listed, literal = "\n".join(keys), {re.escape(key): key for key in keys}
    found: dict[str, set[str]] = {}
    for name in names:
        if name in literal:
            found[name] = {literal[name]}
        elif OPEN.search(name) and (fitting := re.findall(rf"^{name}$", listed, re.MULTILINE)):
            found[name] = set(fitting)
    return set(found), set().union(*found.values())


def unmet(names: Iterable[str]) -> set[str]:
    asked = set(names)
    return asked - met(asked, ALL_ASKED)[0]


def unsaid(keys: Iterable[str]) -> set[str]:
    names = {*asked_in_python(), *named_in_python(), *asked_in_templates(), *named_in_templates(), *named_in_scripts()}
    asked_for = {key: {key, counted(key) or key} for key in keys}
    said = met(names, set().union(*asked_for.values()))[1]
    return {key for key, asked in asked_for.items() if not asked & said}


def test_every_sentence_that_is_asked_for_is_there() -> None:
    asked = [*asked_in_python(), *asked_in_templates(), *asked_in_scripts()]
    assert len(asked) > 200
    assert unmet(asked) == set()


def test_every_sentence_is_said_somewhere() -> None:
    assert unsaid(KEYS) == set()


def problems_made(*makers: str) -> Iterator[tuple[str, set[str]]]:
    """The name that each call gives to the problem it makes, and what else the call says."""
    for node in nodes("practice", "planning", "proposing"):
        if isinstance(node, ast.Call):
            maker = node.func.id if isinstance(node.func, ast.Name) else getattr(node.func, "attr", "")
            if maker in makers and (name := next(filter(None, map(pattern, reversed(node.args))), None)):
                yield name, {keyword.arg or "" for keyword in node.keywords}


def test_every_error_that_is_made_has_its_sentences_and_none_has_them_for_nothing() -> None:
    errors = {key.rpartition(".")[0] for key in error_sentences()}
    made = {name for name, _ in problems_made("error", "problem", "problem_at", "file_problem", "_note", "_stop")}
    made |= {name for name, _ in problems_made("_problem", "_wrong", "PictureFault")}
    assert len(made) > 80
    found, said = met(made, errors)
    assert made - found == set()
    chosen = {r"unknown\-column\.named", r"unknown\-column\.nameless", r"look\-alike\-code"}
    chosen |= {"letters", r"letters\-of\-script"}
    assert errors - said == met(chosen, errors)[1]


def test_every_warning_that_is_made_has_its_sentences_and_none_has_them_for_nothing() -> None:
    made = list(problems_made("warning"))
    asked = {rf"{key}\.message" for key, given in made if "message" not in given}
    asked |= {rf"{key}\.remedy" for key, given in made if "remedy" not in given}
    assert len(asked) > 50
    found, said = met(asked, set(KEYS))
    assert asked - found == set()
    written = {key for key in KEYS if re.fullmatch(r"(problems|figures\.warning)\..*\.message", key)}
    assert written - said == {
        "problems.more.message",
        "problems.accepts-nothing.message",
        "problems.cut-off.message",
        "problems.old-format.message",
    }


@pytest.mark.parametrize("language", shipped_languages())
def test_no_language_lacks_a_file_or_has_one_too_many(language: str) -> None:
    folder = TEMPLATES / "words"
    assert {p.name for p in (folder / language).iterdir()} == {p.name for p in (folder / "en").iterdir()}


def test_the_check_would_find_a_slip() -> None:
    assert unmet([r"card\.andd"]) == {r"card\.andd"}
    assert unsaid({"card.nobody", "site.nobody.one", "card.and"}) == {"card.nobody", "site.nobody.one"}
    assert {"site.script", "print"} <= parts()
