"""Pictured steps of packing and of wrapping a cassette, and the cautions that cards and guides share."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Mapping
from types import MappingProxyType

from kitdocs.document.blocks import Caution, Steps
from kitdocs.drawings.fold import TAPE_MM, Pack
from kitdocs.drawings.icons import Icon, icon
from kitdocs.drawings.pouching import pouch_steps
from kitdocs.drawings.wrap import envelope_fold_steps, parcel_fold_steps
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
#: Steps whose picture shows no instrument, so that it is the same whatever is packed.
_WITHOUT_PIECE = ("pouch-close", "pouch-edge")

#: How a wrapped cassette is closed, whatever its fold.
_CLOSED = ("second-wrap", "tape-strips", "end-label", "tape-up")


def pouch_packing(brief: Brief, pouches: Iterable[str], *, room: bool = False) -> Steps:
    """Return how `pouches` are packed, in six pictured steps; with `room`, also how much of a pouch stays free."""
    contents = [instrument for pouch in pouches for instrument in brief.practice.pouches[pouch].contents]
    opened = open_rules(brief, contents)
    kind = "" if opened else "-straight"
    steps = tuple(
        pictured_step(
            brief,
            drawn(f"pouch-step-{number}{kind if rule not in _WITHOUT_PIECE else ''}", picture),
            rule,
            *(opened if rule == "pouch-look" else ()),
            *(("pouch-room",) if room and rule == "pouch-slide" else ()),
        )
        for number, (rule, picture) in enumerate(zip(_POUCH_STEPS, pouch_steps(hinged=bool(opened)), strict=True), 1)
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
        (*rules, "no-metal", ("label-load", "label-expiry", "label-pen")),
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
    return trigger_caution(brief, "hurt", 4)


def hazard_caution(brief: Brief, hazard: str, *rules: str) -> Caution:
    """Return a caution on what can hurt where the hand is: heat, steam, sharps, chemicals."""
    return Caution(title=brief.words(f"card.hazard.{hazard}"), text=rule_text(brief, *rules))


def makers_caution(brief: Brief) -> Caution:
    """Return whose word counts; it stands on the first sheet of each section."""
    return Caution(title=brief.words("card.makers.title"), text=rule_text(brief, "makers-decide"))


def fold_steps(brief: Brief, set_id: str, title: str = "") -> Steps:
    """Return the practice's fold, step by step, of this set's cassette on the sheet that it takes."""
    pack = pack_of(brief, set_id)
    fold = brief.practice.room.wrap.fold
    pictures = envelope_fold_steps(pack) if fold == "envelope" else parcel_fold_steps(pack)
    last = len(pictures)
    steps = tuple(
        pictured_step(
            brief,
            drawn(f"fold-{fold}-{_measures(pack, taped=number == last)}-{number}", picture),
            *(("wrap-indicator",) if number == 1 else ()),
            *((f"{fold}-{number}",) if number < last else _CLOSED),
        )
        for number, picture in enumerate(pictures, 1)
    )
    return Steps(title=title or brief.words("card.fold.title"), steps=steps)


def pack_of(brief: Brief, set_id: str) -> Pack:
    """Return a set's closed cassette, the sheet that it takes, and the tape that closes it."""
    practice = brief.practice
    outside = practice.cassettes[practice.sets[set_id].cassette].outside
    length, width, height = sorted((outside.length, outside.width, outside.height), reverse=True)
    sheet, tape = brief.plan.sheets[set_id], practice.room.supplies.tape
    return Pack(
        length=length,
        width=width,
        height=height,
        side=sheet.side_mm or sheet.side_needed_mm,
        strips=practice.room.wrap.strips,
        strip=tape.strip if tape else TAPE_MM,
    )


def usual_set(brief: Brief) -> str:
    """Return the first set in the cassette that most sets have: its fold stands for the others' on the guide."""
    sets = brief.practice.sets
    cassettes = Counter(record.cassette for record in sets.values())
    return next(set_id for set_id, record in sets.items() if cassettes[record.cassette] == max(cassettes.values()))


def _measures(pack: Pack, taped: bool) -> str:
    """Return what tells one pack's pictures from another's, as part of their name; tape is on the last only."""
    box = "x".join(f"{mm:g}" for mm in (pack.length, pack.width, pack.height))
    tape = f"-{pack.strips}x{pack.strip:g}" if taped else ""
    return f"{box}-{pack.side:g}{tape}"
