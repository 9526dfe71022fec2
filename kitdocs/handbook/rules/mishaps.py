"""Mishaps: the triggers, and the rules that say in order what to do."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from types import MappingProxyType

from kitdocs.handbook.rules.conditions import labels_have_a_date, packs_pouches, removes_air
from kitdocs.handbook.rules.documents import quoted, read, recalled
from kitdocs.handbook.rules.rule import Rule, Source, Trigger, always

_NOT_USED = quoted("CDC 2003", "VI.F.5"), quoted("CDC 2003", "VI.G")
_REDONE = quoted("CDC 2003", "VI.G")
_MONITORING = quoted("CDC 2003", "p. 24")
_EXPOSURE = quoted("CDC 2003", "p. 13")
_AIR = quoted("CDC 2008", "Sterilizing Practices, monitoring")

#: Sources by rule; a rule without any is common practice, no source.
_SOURCES: Mapping[str, tuple[Source, ...]] = MappingProxyType(
    {
        "opened-used": (),
        "opened-basket": (),
        "opened-empty": (),
        "opened-refill": (),
        "reject": _NOT_USED,
        "redo": (_REDONE,),
        "redo-new": (),
        "find-leak": (),
        "wet-leave": (),
        "hold-if-several": (),
        "wet-causes": (),
        "dropped-look": (recalled("CDC 2008", "Sterilizing Practices, storage"),),
        "dropped-doubt": (),
        "dropped-local": (),
        "hold-load": (),
        "read-record": (),
        "internal-stop": (quoted("CDC 2003", "VI.F.5"), quoted("CDC 2008", "recommendation 17.3")),
        "internal-used": (),
        "internal-tell": (),
        "load-stop": (quoted("CDC 2003", "VI.F.5"), read("CDC monitoring", "mechanical")),
        "load-open": (),
        "load-redo": (_REDONE,),
        "air-stop": (_AIR,),
        "air-again": (_AIR,),
        "repair-tests": (quoted("CDC 2008", "Sterilizing Practices, cycle verification"),),
        "spore-out": (quoted("CDC 2003", "VI.F.8"),),
        "spore-hold": (),
        "spore-implants": (_MONITORING, quoted("CDC 2008", "recommendation 17.6")),
        "spore-review": (_MONITORING,),
        "spore-retest": (_MONITORING, quoted("CDC 2003", "VI.F.8")),
        "spore-back": (quoted("CDC 2003", "VI.F.8"),),
        "spore-again": (_MONITORING, quoted("CDC 2003", "VI.F.9")),
        "control-repeat": (recalled("CDC 2003", "p. 24"),),
        "late-test": (),
        "damaged-order": (read("29 CFR 1910.1030", "(d)(2)(xiv)"),),
        "damaged-note": (),
        "damaged-sharp": (),
        "damaged-tag": (),
        "damaged-spare": (),
        "damaged-place": (),
        "damaged-bin": (),
        "no-spare": (),
        "broken-parts": (),
        "missing-look": (read("29 CFR 1910.1030", "(d)(4)(ii)(E)"),),
        "missing-doctor": (),
        "missing-spare": (),
        "extra-clean": (),
        "extra-home": (),
        "wire-tongs": (read("29 CFR 1910.1030", "(d)(4)(iii)(A)"),),
        "dirty-again": (recalled("CDC 2003", "VI.C"),),
        "dirty-wait": (recalled("CDC 2003", "p. 21"),),
        "down-sign": (),
        "down-never": (recalled("CDC 2003", "VI.E"),),
        "none-wait": (),
        "none-unwrapped": (recalled("CDC 2003", "VI.E"),),
        "label-unknown": (quoted("CDC 2003", "VI.G"),),
        "hurt-stop": (),
        "hurt-wash": (_EXPOSURE,),
        "hurt-tell": (_EXPOSURE, recalled("29 CFR 1910.1030", "(f)(3)")),
        "hurt-note": (_EXPOSURE, recalled("29 CFR 1910.1030", "(f)(3)")),
        "spill-chemical": (recalled("29 CFR 1910.1200", "(g)(8)"),),
        "spill-eye": (),
        "spill-blood": (recalled("CDC 2003", "VII"),),
        "spill-glass": (read("29 CFR 1910.1030", "(d)(4)(ii)(D)"),),
    }
)
_APPLIES = {
    **dict.fromkeys(("opened-used", "opened-basket", "opened-empty", "opened-refill"), packs_pouches),
    **dict.fromkeys(("air-stop", "air-again"), removes_air),
}


def rules_for_mishaps() -> Iterator[Rule]:
    """Yield every rule that is followed when something went wrong."""
    for id_, sources in _SOURCES.items():
        yield Rule(id=id_, topic="mishaps", sources=sources, applies=_APPLIES.get(id_, always))


TRIGGERS: Mapping[str, Trigger] = MappingProxyType(
    {
        trigger.id: trigger
        for trigger in (
            Trigger(id="hurt", steps=(("hurt-stop",), ("hurt-wash",), ("hurt-tell",), ("hurt-note",))),
            Trigger(id="bad-pack", steps=(("reject",), ("redo",), ("redo-new", "find-leak"))),
            Trigger(id="out-of-date", steps=(("reject",), ("redo",), ("redo-new",)), applies=labels_have_a_date),
            Trigger(
                id="wet-load",
                steps=(("reject", "wet-leave"), ("hold-if-several",), ("redo", "redo-new"), ("wet-causes",)),
            ),
            Trigger(id="dropped", steps=(("dropped-look",), ("dropped-doubt", "redo", "redo-new"), ("dropped-local",))),
            Trigger(id="label-lost", steps=(("reject",), ("label-unknown", "redo", "redo-new"))),
            Trigger(
                id="external-unchanged", steps=(("reject",), ("hold-load",), ("read-record",), ("redo", "redo-new"))
            ),
            Trigger(
                id="internal-unchanged",
                steps=(("internal-stop",), ("internal-used",), ("internal-tell",), ("hold-load",)),
            ),
            Trigger(
                id="opened",
                steps=(("opened-used",), ("opened-basket",), ("opened-empty",), ("opened-refill",)),
                applies=packs_pouches,
            ),
            Trigger(id="reading-missed", steps=(("load-stop",), ("load-open",), ("load-redo",), ("repair-tests",))),
            Trigger(id="air-test-failed", steps=(("air-stop",), ("air-again",)), applies=removes_air),
            Trigger(
                id="spore-positive",
                steps=(
                    ("spore-out",),
                    ("spore-hold",),
                    ("spore-implants",),
                    ("spore-review",),
                    ("spore-retest",),
                    ("spore-back",),
                    ("spore-again",),
                ),
            ),
            Trigger(id="no-growth", steps=(("control-repeat",),)),
            Trigger(id="spore-late", steps=(("late-test",),)),
            Trigger(id="down", steps=(("down-sign",), ("down-never",))),
            Trigger(id="none-ready", steps=(("none-wait",), ("none-unwrapped",))),
            Trigger(
                id="damaged",
                steps=(
                    ("damaged-order",),
                    ("damaged-note",),
                    ("damaged-sharp",),
                    ("damaged-tag",),
                    ("damaged-spare",),
                    ("damaged-place",),
                    ("damaged-bin",),
                ),
            ),
            Trigger(id="no-spare", steps=(("no-spare",),)),
            Trigger(id="broken", steps=(("broken-parts",), ("damaged-order",))),
            Trigger(id="missing", steps=(("missing-look",), ("missing-doctor",), ("missing-spare",))),
            Trigger(id="extra", steps=(("extra-clean",), ("extra-home",))),
            Trigger(id="wire", steps=(("wire-tongs",),)),
            Trigger(id="dirty", steps=(("dirty-again",), ("dirty-wait",))),
            Trigger(id="chemical-spill", steps=(("spill-chemical",), ("spill-eye",))),
            Trigger(id="blood-spill", steps=(("spill-blood",), ("spill-glass",))),
        )
    }
)
