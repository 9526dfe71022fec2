"""Who may do what alone: the sign-off sheet, whose topics are the practice's own cards."""

from __future__ import annotations

from collections.abc import Iterator

from kitdocs.document.blocks import Cell, FormGrid
from kitdocs.document.card import Card
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.forms.form_card import form_card, form_rules
from kitdocs.handbook.rules.quote import rule_text

_WIDTHS = (74.0, 46, 32, 32)
_GROUPS = ("chair", "reprocessing", "storage", "repair", "spore")


def training_sign_off(brief: Brief) -> Card:
    """Return one person's sheet: topics, the card of each, signed by trainee and trainer."""
    words = brief.words
    grid = FormGrid(
        columns=tuple(words(f"forms.training.{name}") for name in ("topic", "card", "trainee-signs", "trainer-signs")),
        widths=_WIDTHS,
        rows=0,
        fields=tuple(words(f"forms.training.{name}") for name in ("trainee", "role", "trainer")),
        given=tuple(row for group in _GROUPS for row in _group(brief, group)),
    )
    blocks = (form_rules(brief, "training", rule_text(brief, "sign-alone"), rule_text(brief, "sign-again")), grid)
    return form_card(brief, "training", "training", blocks, hangs="binder", place="binder")


def _group(brief: Brief, group: str) -> Iterator[tuple[Cell, ...]]:
    yield (Cell(text=brief.words(f"forms.training.group.{group}")),)
    for topic, card, title, values in _topics(brief, group):
        yield Cell(text=brief.words(f"forms.training.{group}.{topic}", **values)), Cell(text=title, link=card)


def _topics(brief: Brief, group: str) -> Iterator[tuple[str, str, str, dict[str, str]]]:
    """Yield topic, the card that teaches it, that card's title, and the values for the topic's sentence."""
    words, practice = brief.words, brief.practice
    guide = {name: words(f"card.guide.{name}") for name in ("wrap-guide", "pouch-guide", "storage-map", "repair")}
    if group == "chair":
        yield "find", "map", words("card.map.title"), {}
        yield "drawer", "", words("card.section.drawers"), {}
        yield "close", "move/training/assistant", words("move.training.assistant.title"), {}
    elif group == "reprocessing":
        yield "way", "first-day", words("card.first-day.title"), {}
        for load in brief.plan.load_guides:
            machine = brief.say(practice.room.stages[load.stage].name)
            yield "load", f"load/{load.stage}", words("card.load.title", machine=machine), {"machine": machine}
        yield "lay", "", words("card.section.templates"), {"codes": ", ".join(s.code for s in practice.sets.values())}
        if practice.pouches:
            yield "pouch", "pouch-guide", guide["pouch-guide"], {}
        yield "wrap", "wrap-guide", guide["wrap-guide"], {}
        yield "log", "forms/load-log", words("forms.load-log.title"), {}
    elif group == "storage":
        yield "away", "storage-map", guide["storage-map"], {}
        if any(chair.drawer for chair in practice.chairs.values()):
            yield "refill", "", words("card.section.refill"), {}
        yield "order", "stock", words("card.stock.title"), {}
    elif group == "repair":
        yield "tag", "repair", guide["repair"], {}
        yield "log", "forms/repair-log", words("forms.repair-log.title"), {}
    else:
        yield "run", "forms/spore-test-log", words("forms.spore-log.title"), {}
        yield "answer", "spore-test", words("card.guide.spore-test"), {}
