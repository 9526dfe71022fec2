"""Rules that are followed when something went wrong, and their sources."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from types import MappingProxyType

from kitdocs.handbook.rules.conditions import (
    keeps_drawers,
    packs_implants,
    packs_pouches,
    removes_air,
    washes,
)
from kitdocs.handbook.rules.rule import Rule, Source, always, quoted, read, recalled

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
        **_unsourced(
            "hold-load", "tell-lead", "tell-if-held", "tell-reprocessing", "tell-room", "take-other", "hold-means"
        ),
        **_unsourced("read-record", "external-decided", "decided-redo"),
        "internal-stop": (quoted("CDC 2003", "VI.F.5"), quoted("CDC 2008", "recommendation 17.3")),
        **_unsourced("internal-patient", "internal-used", "internal-keep", "internal-say"),
        "load-stop": (quoted("CDC 2003", "VI.F.5"), read("CDC monitoring", "mechanical")),
        "load-open": (),
        "load-redo": (_REDONE,),
        "load-wait": (),
        "air-stop": (_AIR,),
        "air-again": (_AIR,),
        "repair-tests": (quoted("CDC 2008", "Sterilizing Practices, cycle verification"),),
        "spore-out": (quoted("CDC 2003", "VI.F.8"),),
        "spore-hold": (),
        "spore-implants": (_MONITORING, quoted("CDC 2008", "recommendation 17.6")),
        "spore-review": (_MONITORING,),
        "spore-talk": (_MONITORING,),
        "spore-correct": (_MONITORING,),
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
            "damaged-tick",
            "damaged-bin",
            "damaged-by-card",
            "no-spare",
            "no-spare-tick",
            "no-spare-aside",
            "broken-parts",
            "broken-one",
            "patient-gone",
            "broken-basket",
        ),
        "missing-look": (read("29 CFR 1910.1030", "(d)(4)(ii)(E)"),),
        **_unsourced("missing-doctor", "missing-close", "missing-spare", "extra-clean", "extra-home"),
        "locked": (read("29 CFR 1910.1030", "(d)(4)(ii)(E)"),),
        "locked-open": (),
        "wire-tongs": (read("29 CFR 1910.1030", "(d)(4)(iii)(A)"),),
        "wire-tell": (),
        **_unsourced(
            "fallen",
            "fallen-other",
            "wash-test-stop",
            "wash-test-again",
            "wash-test-stored",
            "stopped-leave",
            "stopped-manual",
        ),
        "stopped-wait": (),
        "stopped-unwashed": (recalled("CDC 2003", "VI.C"),),
        "dirty-back": (recalled("CDC 2003", "VI.C"),),
        "dirty-again": (recalled("CDC 2003", "VI.C"),),
        "dirty-wait": (recalled("CDC 2003", "p. 21"),),
        **_unsourced("down-sign", "down-tell", "down-other", "down-office"),
        "down-never": (recalled("CDC 2003", "VI.E"),),
        "washer-down": (),
        "washer-other": (),
        "washer-by-hand": (recalled("CDC 2003", "VI.C"), recalled("29 CFR 1910.1030", "(d)(2)(viii)")),
        "mishaps-by-card": (),
        "none-wait": (),
        **dict.fromkeys(("none-unwrapped", "none-cycle", "none-check", "none-carry"), (recalled("CDC 2003", "VI.E"),)),
        "label-unknown": (quoted("CDC 2003", "VI.G"),),
        "hurt-stop": (),
        "hurt-keep": (),
        "hurt-wash": (_EXPOSURE,),
        "hurt-tell": (_EXPOSURE, recalled("29 CFR 1910.1030", "(f)(3)")),
        "hurt-doctor": (_EXPOSURE, recalled("29 CFR 1910.1030", "(f)(3)")),
        "hurt-note": (_EXPOSURE, recalled("29 CFR 1910.1030", "(f)(3)")),
        **_unsourced("burn-cool", "burn-help"),
        "spill-gloves": (recalled("29 CFR 1910.1200", "(g)(8)"),),
        "spill-chemical": (recalled("29 CFR 1910.1200", "(g)(8)"),),
        "spill-eye": (),
        "spill-skin": (),
        "spill-doctor": (),
        "gloves-on": (recalled("CDC 2003", "VII"),),
        "spill-wipe": (recalled("CDC 2003", "VII"),),
        "spill-blood": (recalled("CDC 2003", "VII"),),
        "spill-glass": (read("29 CFR 1910.1030", "(d)(4)(ii)(D)"),),
        **_unsourced("aluminium-out", "aluminium-rinse", "aluminium-look", "aluminium-found", "aluminium-bath"),
        "aluminium-again": (),
        "mishaps-defer": (),
        **_unsourced(
            "never-unseen",
            "never-closed-again",
            "never-force",
            "never-mix",
            "never-negative",
            "never-filled-in",
            "never-fingers",
        ),
        "decides-lead": (quoted("CDC 2003", "VI.F.8"),),
        "decides-exposure": (_EXPOSURE, recalled("29 CFR 1910.1030", "(f)(3)")),
        **_unsourced("decides-reprocessing", "decides-doctor", "decides-nobody", "decides-several"),
        "writes-exposure": (_EXPOSURE, recalled("29 CFR 1910.1030", "(f)(3), (h)(5)")),
        "writes-load": (_MONITORING,),
        "writes-spore": (_MONITORING,),
        **_unsourced("writes-accident", "writes-label", "writes-note", "writes-nothing", "writes-sign", "writes-tag"),
        "writes-test": (),
        "writes-gap": (),
        **_unsourced(
            "done-hurt",
            "done-burned",
            "done-spill",
            "done-pack",
            "done-dropped",
            "done-wet",
            "done-load",
            "done-used",
            "done-none-ready",
            "done-spore",
            "done-repeated",
            "done-machine",
            "done-missing",
            "done-broken",
            "done-extra",
            "done-tagged",
            "done-locked",
            "done-wire",
            "done-washed",
        ),
    }
)
_APPLIES = {
    "late-implants": packs_implants,
    **dict.fromkeys(("opened-used", "opened-basket", "opened-empty", "opened-refill"), packs_pouches),
    **dict.fromkeys(("unopened-doubt", "unopened-local"), keeps_drawers),
    **dict.fromkeys(("air-stop", "air-again"), removes_air),
    **dict.fromkeys(
        ("wash-test-stop", "wash-test-again", "wash-test-stored", "washer-down", "washer-other", "washer-by-hand"),
        washes,
    ),
}


def rules_for_mishaps() -> Iterator[Rule]:
    """Yield every rule that is followed when something went wrong."""
    for id_, sources in _SOURCES.items():
        yield Rule(id=id_, topic="mishaps", sources=sources, applies=_APPLIES.get(id_, always))
