"""Mishaps: the triggers, and the rules that say in order what to do."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from types import MappingProxyType

from kitdocs.handbook.rules.conditions import (
    keeps_drawers,
    packs_implants,
    packs_pouches,
    removes_air,
    washes,
)
from kitdocs.handbook.rules.rule import Rule, Source, Trigger, always, quoted, read, recalled
from kitdocs.practice.model import Practice

_NOT_USED = quoted("CDC 2003", "VI.F.5"), quoted("CDC 2003", "VI.G")
_REDONE = quoted("CDC 2003", "VI.G")
_MONITORING = quoted("CDC 2003", "p. 24")
_EXPOSURE = quoted("CDC 2003", "p. 13")
_AIR = quoted("CDC 2008", "Sterilizing Practices, monitoring")


def _unsourced(*rules: str) -> dict[str, tuple[Source, ...]]:
    return dict.fromkeys(rules, ())


#: Sources by rule; a rule without any is common practice, no source.
_SOURCES: Mapping[str, tuple[Source, ...]] = MappingProxyType(
    {
        **_unsourced("opened-used", "opened-basket", "opened-empty", "opened-refill"),
        "reject": _NOT_USED,
        **_unsourced("just-out", "leave-closed", "tip-out"),
        "to-receiving": (),
        "redo": (_REDONE,),
        **_unsourced("redo-new", "find-leak", "wet-leave", "wet-one", "hold-if-several", "wet-causes"),
        "dropped-look": (recalled("CDC 2008", "Sterilizing Practices, storage"),),
        **_unsourced("dropped-doubt", "dropped-local", "unopened-doubt", "unopened-local"),
        **_unsourced("hold-load", "take-other", "hold-means", "read-record", "external-decided"),
        "internal-stop": (quoted("CDC 2003", "VI.F.5"), quoted("CDC 2008", "recommendation 17.3")),
        **_unsourced("internal-patient", "internal-used", "internal-keep", "internal-say"),
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
        "spore-retest-hold": (),
        "spore-back": (quoted("CDC 2003", "VI.F.8"),),
        "spore-again": (_MONITORING, quoted("CDC 2003", "VI.F.9")),
        "control-repeat": (recalled("CDC 2003", "p. 24"),),
        **_unsourced("growth-counts", "late-test"),
        "late-implants": (),
        "damaged-order": (read("29 CFR 1910.1030", "(d)(2)(xiv)"),),
        **_unsourced(
            "damaged-note",
            "damaged-sharp",
            "damaged-tag",
            "damaged-spare",
            "damaged-place",
            "damaged-bin",
            "damaged-by-card",
            "no-spare",
            "broken-parts",
            "patient-gone",
            "broken-basket",
        ),
        "missing-look": (read("29 CFR 1910.1030", "(d)(4)(ii)(E)"),),
        **_unsourced("missing-doctor", "missing-close", "missing-spare", "extra-clean", "extra-home"),
        "locked": (read("29 CFR 1910.1030", "(d)(4)(ii)(E)"),),
        "wire-tongs": (read("29 CFR 1910.1030", "(d)(4)(iii)(A)"),),
        **_unsourced(
            "fallen", "wash-test-stop", "wash-test-again", "wash-test-stored", "stopped-leave", "stopped-manual"
        ),
        "stopped-wait": (),
        "stopped-unwashed": (recalled("CDC 2003", "VI.C"),),
        "dirty-again": (recalled("CDC 2003", "VI.C"),),
        "dirty-wait": (recalled("CDC 2003", "p. 21"),),
        "down-sign": (),
        "down-never": (recalled("CDC 2003", "VI.E"),),
        "washer-down": (),
        "washer-by-hand": (recalled("CDC 2003", "VI.C"), recalled("29 CFR 1910.1030", "(d)(2)(viii)")),
        "mishaps-by-card": (),
        "none-wait": (),
        "none-unwrapped": (recalled("CDC 2003", "VI.E"),),
        "label-unknown": (quoted("CDC 2003", "VI.G"),),
        "hurt-stop": (),
        "hurt-wash": (_EXPOSURE,),
        "hurt-tell": (_EXPOSURE, recalled("29 CFR 1910.1030", "(f)(3)")),
        "hurt-note": (_EXPOSURE, recalled("29 CFR 1910.1030", "(f)(3)")),
        **_unsourced("burn-cool", "burn-help"),
        "spill-gloves": (recalled("29 CFR 1910.1200", "(g)(8)"),),
        "spill-chemical": (recalled("29 CFR 1910.1200", "(g)(8)"),),
        "spill-eye": (),
        "spill-skin": (),
        "spill-doctor": (),
        "spill-blood": (recalled("CDC 2003", "VII"),),
        "spill-glass": (read("29 CFR 1910.1030", "(d)(4)(ii)(D)"),),
    }
)
_APPLIES = {
    "late-implants": packs_implants,
    **dict.fromkeys(("opened-used", "opened-basket", "opened-empty", "opened-refill"), packs_pouches),
    **dict.fromkeys(("unopened-doubt", "unopened-local"), keeps_drawers),
    **dict.fromkeys(("air-stop", "air-again"), removes_air),
    **dict.fromkeys(("wash-test-stop", "wash-test-again", "wash-test-stored", "washer-down", "washer-by-hand"), washes),
}


def rules_for_mishaps() -> Iterator[Rule]:
    """Yield every rule that is followed when something went wrong."""
    for id_, sources in _SOURCES.items():
        yield Rule(id=id_, topic="mishaps", sources=sources, applies=_APPLIES.get(id_, always))


def _trigger(
    id_: str, *steps: str | tuple[str, ...], least: int = 1, applies: Callable[[Practice], bool] = always
) -> Trigger:
    """Return a trigger; a step of one rule is that rule."""
    grouped = tuple((step,) if isinstance(step, str) else step for step in steps)
    return Trigger(id=id_, steps=grouped, least=least, applies=applies)


TRIGGERS: Mapping[str, Trigger] = MappingProxyType(
    {
        trigger.id: trigger
        for trigger in (
            _trigger("hurt", "hurt-stop", "hurt-wash", "hurt-tell", "hurt-note"),
            _trigger("bad-pack", "reject", "to-receiving", ("redo", "redo-new"), "find-leak"),
            _trigger("out-of-date", "reject", "to-receiving", ("redo", "redo-new")),
            _trigger(
                "wet-load",
                ("reject", "wet-leave"),
                "hold-if-several",
                ("wet-one", "to-receiving", "redo"),
                ("redo-new", "wet-causes"),
                least=2,
            ),
            _trigger("dropped", "dropped-look", ("dropped-doubt", "to-receiving", "redo", "redo-new"), "dropped-local"),
            _trigger("unopened", ("unopened-doubt", "reject", "to-receiving"), "unopened-local", applies=keeps_drawers),
            _trigger("label-lost", "reject", "hold-if-several", ("label-unknown", "to-receiving", "redo", "redo-new")),
            _trigger(
                "external-unchanged",
                ("reject", "leave-closed"),
                "hold-load",
                ("hold-means", "read-record"),
                ("external-decided", "to-receiving", "redo", "redo-new"),
                least=2,
            ),
            _trigger(
                "internal-unchanged",
                ("internal-stop", "take-other"),
                ("internal-patient", "internal-used"),
                "internal-keep",
                "hold-load",
                "internal-say",
                least=4,
            ),
            _trigger("opened", "opened-used", "opened-basket", "opened-empty", "opened-refill", applies=packs_pouches),
            _trigger("opened-unused", "internal-used"),
            _trigger("reading-missed", "load-stop", "load-open", "load-redo", "repair-tests"),
            _trigger("air-test-failed", "air-stop", "air-again", applies=removes_air),
            _trigger(
                "spore-positive",
                "spore-out",
                ("spore-hold", "hold-means"),
                "spore-implants",
                "spore-review",
                ("spore-retest", "spore-retest-hold"),
                "spore-back",
                "spore-again",
            ),
            _trigger("no-growth", "control-repeat", "growth-counts", least=2),
            _trigger("spore-late", "late-test", "late-implants"),
            _trigger("down", "down-sign", "down-never"),
            _trigger("washer-down", ("washer-down", "dirty-wait"), "washer-by-hand", applies=washes),
            _trigger("none-ready", "none-wait", "none-unwrapped"),
            _trigger(
                "damaged",
                "damaged-note",
                "damaged-order",
                "damaged-sharp",
                "damaged-tag",
                ("damaged-spare", "new-first"),
                "damaged-place",
                "damaged-bin",
            ),
            _trigger("no-spare", "no-spare"),
            _trigger("broken", ("broken-parts", "broken-basket"), ("patient-gone", "damaged-order")),
            _trigger(
                "missing", "missing-doctor", "missing-look", ("patient-gone", "missing-close", "missing-spare"), least=2
            ),
            _trigger("extra", "extra-clean", "extra-home"),
            _trigger("wire", "wire-tongs"),
            _trigger("locked", "locked"),
            _trigger("fallen", "fallen"),
            _trigger("dirty", "dirty-again", "dirty-wait"),
            _trigger("wash-test-failed", "wash-test-stop", "wash-test-again", "wash-test-stored", applies=washes),
            _trigger("washer-stopped", "stopped-leave", ("stopped-manual", "stopped-unwashed"), "stopped-wait"),
            _trigger("burned", "burn-cool", "burn-help"),
            _trigger("chemical-spill", ("spill-eye", "spill-skin", "spill-doctor"), ("spill-gloves", "spill-chemical")),
            _trigger("blood-spill", "spill-glass", "spill-blood"),
        )
    }
)
