"""How packs are made ready: the pictured steps that cards and guides share."""

from __future__ import annotations

from kitdocs.document.blocks import Caution, Step, Steps
from kitdocs.drawings.icons import Icon, icon
from kitdocs.drawings.pouching import pouch_steps
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.pictures import drawn

LOOKS: tuple[Icon, ...] = ("count", "order", "clean", "sharp", "indicator")


def pouch_packing(brief: Brief) -> Steps:
    """How a pouch is packed, in six pictured steps."""
    pictures = pouch_steps()
    steps = tuple(
        Step(text=brief.words(f"card.pouch-step.{number}"), picture=drawn(f"pouch-step-{number}", picture))
        for number, picture in enumerate(pictures, 1)
    )
    return Steps(title=brief.words("card.pouch-step.title"), steps=steps)


def five_looks(brief: Brief) -> Steps:
    """The five looks before a cassette is closed."""
    steps = tuple(
        Step(text=brief.words(f"card.look.{name}"), picture=drawn(f"icon-{name}", icon(name))) for name in LOOKS
    )
    return Steps(title=brief.words("card.look.title"), steps=steps)


def pack_caution(brief: Brief) -> Caution:
    """What to do with a pack that is not whole and dry. Source: CDC 2003, MMWR 52(RR-17), part VI.G."""
    return Caution(title=brief.words("card.bad-pack.title"), text=brief.words("card.bad-pack.text"))


def hurt_caution(brief: Brief) -> Caution:
    """What to do at once after a stick, a cut or a splash. Source: CDC 2003, MMWR 52(RR-17), II.C, VI (from memory)."""
    return Caution(title=brief.words("card.hurt.title"), text=brief.words("card.hurt.text"))


def makers_caution(brief: Brief) -> Caution:
    """Whose word counts: the makers', the law's, the practice's licensed people's."""
    return Caution(title=brief.words("card.makers.title"), text=brief.words("card.makers.text"))
