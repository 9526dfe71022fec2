"""Pictured steps of packing, and the cautions that cards and guides share."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from types import MappingProxyType

from kitdocs.document.blocks import Caution, Steps
from kitdocs.drawings.icons import Icon, icon
from kitdocs.drawings.pouching import pouch_steps
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.pictures import drawn
from kitdocs.handbook.rules.quote import pictured_step, rule_steps, rule_text, trigger_caution, trigger_title
from kitdocs.practice.kinds import FAMILIES, Family

#: Families with a hinge, which go open through washer and sterilizer.
_HINGED: tuple[Family, ...] = ("pliers", "cutters", "removers", "locking")

_CHECKS: Mapping[Icon, tuple[str, ...]] = MappingProxyType(
    {
        "count": ("check-count",),
        "order": ("check-order",),
        "clean": ("check-clean",),
        "sharp": ("check-sharp", "check-replace"),
        "indicator": ("check-indicator",),
    }
)
_POUCH_STEPS = ("pouch-look", "pouch-slide", "pouch-indicator", "pouch-close", "pouch-label", "pouch-edge")


def pouch_packing(brief: Brief, pouches: Iterable[str]) -> Steps:
    """Return how `pouches` are packed, in six pictured steps."""
    contents = [instrument for pouch in pouches for instrument in brief.practice.pouches[pouch].contents]
    steps = tuple(
        pictured_step(
            brief,
            drawn(f"pouch-step-{number}", picture),
            rule,
            *(open_rules(brief, contents) if rule == "pouch-look" else ()),
        )
        for number, (rule, picture) in enumerate(zip(_POUCH_STEPS, pouch_steps(), strict=True), 1)
    )
    return Steps(title=brief.words("card.pouch-step.title"), steps=steps)


def five_checks(brief: Brief, set_id: str) -> Steps:
    """Return the five checks before a set's cassette is closed."""
    opened = open_rules(brief, brief.practice.sets[set_id].contents)
    steps = tuple(
        pictured_step(brief, drawn(f"icon-{name}", icon(name)), *rules, *(opened if name == "order" else ()))
        for name, rules in _CHECKS.items()
    )
    return Steps(title=brief.words("card.check.title"), steps=steps)


def open_rules(brief: Brief, contents: Iterable[str]) -> tuple[str, ...]:
    """Return the rules on hinges and ratchets that some of `contents` need; none for straight instruments."""
    kinds = {brief.practice.instruments[instrument].drawing for instrument in contents}
    hinged = any(kind in FAMILIES[family] for family in _HINGED for kind in kinds)
    locking = any(kind in FAMILIES["locking"] for kind in kinds)
    return (*(("hinged-open",) if hinged else ()), *(("ratchet-released",) if locking else ()))


def outside_steps(brief: Brief, *rules: str) -> Steps:
    """Return what is written and stuck on a pack, and when."""
    return rule_steps(
        brief,
        brief.words("card.outside.title"),
        ("label-pack", ("label-load", "label-expiry"), *rules, "no-metal"),
        numbered=False,
    )


def pack_caution(brief: Brief) -> Caution:
    """Return what to do with a pack that is not whole, dry and in date."""
    caution = trigger_caution(brief, "bad-pack")
    if brief.practice.settings.expiration != "date":
        return caution
    return Caution(title=f"{caution.title} {trigger_title(brief, 'out-of-date')}", text=caution.text)


def hurt_caution(brief: Brief) -> Caution:
    """Return what to do at once after a stick, a cut or a splash."""
    return trigger_caution(brief, "hurt", 3)


def hazard_caution(brief: Brief, hazard: str, *rules: str) -> Caution:
    """Return a caution on what can hurt where the hand is: heat, steam, sharps, chemicals."""
    return Caution(title=brief.words(f"card.hazard.{hazard}"), text=rule_text(brief, *rules))


def makers_caution(brief: Brief) -> Caution:
    """Return whose word counts; it stands on the first sheet of each section."""
    return Caution(title=brief.words("card.makers.title"), text=rule_text(brief, "makers-decide"))
