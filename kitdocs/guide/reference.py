"""Every public name of the package with its signature and docstring."""

from __future__ import annotations

import inspect
from collections.abc import Iterator
from importlib import import_module
from typing import Any

from kitdocs.document.blocks import Prose, Sample
from kitdocs.document.card import Card
from kitdocs.guide.page import guide_card
from kitdocs.handbook.prose import prose

#: A signature that is longer has a line for each parameter.
_WIDEST = 76


def reference_cards(section: str) -> Iterator[Card]:
    """Yield a card for each public name: functions first, then classes."""
    package: Any = import_module("kitdocs")
    named = {name: getattr(package, name) for name in package.__all__ if callable(getattr(package, name))}
    for name, thing in sorted(named.items(), key=lambda pair: (inspect.isclass(pair[1]), pair[0].casefold())):
        told = Prose(parts=(Sample(text=_signature(name, thing)), *prose(docstring(thing))))
        page = f"api-{name.lower().replace('_', '-')}"
        yield guide_card(page, f"kitdocs.{name}", f"{section}: names for Python", [told, *_members(thing)])


def docstring(thing: object) -> str:
    """Return a docstring as Markdown."""
    return (inspect.getdoc(thing) or "").replace("``", "`")


def _members(thing: Any) -> Iterator[Prose]:
    """Yield the documented methods and properties that a class itself defines."""
    for name, member in vars(thing).items() if inspect.isclass(thing) else ():
        is_told = isinstance(member, property) or inspect.isfunction(member)
        if is_told and not name.startswith("_") and (told := docstring(member)):
            shown = name if isinstance(member, property) else _signature(name, member)
            yield Prose(parts=(Sample(text=shown), *prose(told)))


def _signature(name: str, thing: Any) -> str:
    if inspect.isclass(thing):
        fields = getattr(thing, "__annotations__", {})
        told = [f"    {field}: {kind}" for field, kind in fields.items() if not field.startswith("_")]
        return "\n".join([f"class {name}", *told])
    signature = inspect.signature(thing)
    parameters = [_parameter(parameter) for parameter in signature.parameters.values()]
    returned = "" if signature.return_annotation is inspect.Signature.empty else f" -> {signature.return_annotation}"
    keyword = next((n for n, one in enumerate(signature.parameters.values()) if one.kind is one.KEYWORD_ONLY), None)
    if keyword is not None:
        parameters.insert(keyword, "*")
    line = f"{name}({', '.join(parameters)}){returned}"
    if len(line) <= _WIDEST:
        return line
    return "\n".join([f"{name}(", *(f"    {parameter}," for parameter in parameters), f"){returned}"])


def _parameter(parameter: inspect.Parameter) -> str:
    """Return a parameter as its source has it; a default that is a function is left open."""
    kind = "" if parameter.annotation is parameter.empty else f": {parameter.annotation}"
    if parameter.default is parameter.empty:
        return f"{parameter.name}{kind}"
    default = "…" if callable(parameter.default) else repr(parameter.default)
    return f"{parameter.name}{kind}{' = ' if kind else '='}{default}"
