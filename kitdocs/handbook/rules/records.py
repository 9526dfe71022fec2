"""Every rule of ordinary work, in the order of the work. What is done when something goes wrong: `mishaps`."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Literal

from kitdocs.handbook.rules import conditions as only_where
from kitdocs.handbook.rules.rule import Rule, Source, Topic, always, quoted, read, recalled
from kitdocs.practice.model import Practice

_WAYS_TO_KEEP_MOIST: tuple[Literal["spray", "soak", "cover"], ...] = ("spray", "soak", "cover")
_STORED = read("CDC 2016", "Packaging and Storage, storage")
_HANDS = recalled("CDC 2003", "III.A"), recalled("29 CFR 1910.1030", "(d)(2)(v)")
_LABELLED = read("CDC 2016", "Packaging and Storage, label")
_WRITTEN = quoted("ANSI/AAMI ST79", "8.3.2, as quoted in 2015")


def rules_of_the_work() -> Iterator[Rule]:
    """Yield every rule, topic by topic."""
    yield from _chair()
    yield from _receiving()
    yield from _packing()
    yield from _sterilizing()
    yield from _testing()
    yield from _storing()
    yield from _always()
    yield from _records()


def _rule(topic: Topic, id_: str, *sources: Source, applies: Callable[[Practice], bool] = always) -> Rule:
    return Rule(id=id_, topic=topic, sources=sources, applies=applies)


def _chair() -> Iterator[Rule]:
    yield _rule("chair", "drawer-first", _HANDS[0])
    yield _rule("chair", "drawer-clean-hands", *_HANDS, applies=only_where.reached_by("clean-hands"))
    for access in ("overglove", "second-person", "cotton-plier"):
        yield _rule("chair", f"drawer-{access}", applies=only_where.reached_by(access))
    yield _rule("chair", "drawer-never")
    yield _rule("chair", "open-hands", _HANDS[0])
    yield _rule("chair", "look-pack", quoted("CDC 2003", "VI.G"), _STORED)
    yield _rule("chair", "look-date", _LABELLED, applies=only_where.labels_have_a_date)
    yield _rule(
        "chair", "read-internal", quoted("CDC 2003", "VI.F.3, VI.F.5"), quoted("CDC 2008", "recommendation 17.3")
    )
    yield _rule("chair", "keep-label")
    yield _rule("chair", "wipe-cement")
    flushed = recalled("CDC 2003", "Dental Unit Waterlines, Biofilm, and Water Quality")
    yield _rule("chair", "flush-lines", flushed)
    yield _rule("chair", "bur-out", applies=only_where.has_handpieces)
    wires = quoted("29 CFR 1910.1030", "(b) contaminated sharps"), read("29 CFR 1910.1030", "(d)(4)(iii)(A)")
    yield _rule("chair", "sharps-out", *wires)
    recapping = quoted("29 CFR 1910.1030", "(d)(2)(vii)"), recalled("CDC 2003", "II.B.2")
    yield _rule("chair", "no-recap", *recapping)
    yield _rule("chair", "sharps-container", quoted("29 CFR 1910.1030", "(d)(4)(iii)(A)(2)(iii), (d)(4)(iii)(A)(3)(i)"))
    yield _rule("chair", "back-in-place")
    moist = recalled("CDC 2003", "p. 21")
    yield _rule("chair", "keep-moist", moist, applies=lambda practice: practice.room.keep_moist is None)
    for how in _WAYS_TO_KEEP_MOIST:
        yield _rule("chair", f"keep-moist-{how}", moist, applies=only_where.keeps_moist_by(how))
    yield _rule("chair", "moist-handpiece", applies=only_where.has_handpieces)
    single_use = quoted("CDC 2003", "pp. 34, 46")
    yield _rule(
        "chair",
        "single-use",
        single_use,
        applies=lambda practice: any(i.single_use for i in practice.instruments.values()),
    )
    yield _rule(
        "chair", "carry-covered", read("CDC sterilization", "safety"), recalled("29 CFR 1910.1030", "(d)(2)(viii)")
    )
    yield _rule("chair", "container-back")
    yield _rule("chair", "hands-after", *_HANDS)


def _receiving() -> Iterator[Rule]:
    gloves = read("29 CFR 1910.1030", "(d)(3)(ix)"), recalled("CDC 2003", "VI.C")
    yield _rule("receiving", "protect", *gloves)
    yield _rule("receiving", "gloves-look", recalled("29 CFR 1910.1030", "(d)(3)(ix)(C)"))
    yield _rule("receiving", "no-feel", read("29 CFR 1910.1030", "(d)(4)(ii)(E)"))
    yield _rule("receiving", "paper-out")
    loaded = read("CDC 2008", "Cleaning")
    hinged = recalled("CDC 2003", "p. 22"), loaded, recalled("CDC 2008", "Sterilizing Practices, packaging")
    yield _rule("receiving", "hinged-open", *hinged)
    yield _rule("receiving", "ratchet-released", *hinged)
    yield _rule("receiving", "each-set-seen")
    yield _rule("receiving", "wash-rack", loaded)
    yield _rule("receiving", "wash-basket", applies=only_where.packs_pouches)
    yield _rule("receiving", "no-aluminium", quoted("MIL-STD-889B", "galvanic series"))
    yield _rule("receiving", "one-row", quoted("CDC 2003", "VI.F.4"))
    handpieces = quoted("CDC 2003", "IX.A.1, IX.A.2")
    yield _rule("receiving", "handpiece-care", handpieces, applies=only_where.has_handpieces)
    yield _rule("receiving", "unload-clean", *_HANDS)
    yield _rule("receiving", "washer-burns", recalled("29 CFR 1910.1200", "(g)(8)"))
    verified = recalled("ANSI/AAMI ST79", "verification of cleaning")
    yield _rule("receiving", "wash-test", verified, applies=only_where.washes)
    yield _rule("receiving", "lubricate", applies=lambda practice: practice.room.lubrication is None)
    yield _rule("receiving", "lubricate-with", applies=lambda practice: practice.room.lubrication is not None)
    yield _rule("receiving", "container-too")
    yield _rule("receiving", "gown-stays", recalled("29 CFR 1910.1030", "(d)(3)(vii), (d)(3)(viii)"))
    yield _rule("receiving", "new-first")


def _packing() -> Iterator[Rule]:
    yield _rule("packing", "packing-hands", *_HANDS, recalled("29 CFR 1910.1030", "(d)(3)(vii)"))
    for check in ("check-count", "check-order"):
        yield _rule("packing", check)
    inspected = recalled("CDC 2003", "VI.D")
    yield _rule("packing", "check-clean", inspected)
    yield _rule("packing", "check-sharp")
    yield _rule("packing", "check-replace")
    indicator = quoted("CDC 2003", "VI.F.3")
    yield _rule("packing", "check-indicator", indicator)
    yield _rule("packing", "lay-by-template")
    yield _rule("packing", "wrap-or-pouch", indicator, inspected)
    yield _rule("packing", "pouch-look", inspected, applies=only_where.packs_pouches)
    yield _rule("packing", "pouch-slide", applies=only_where.packs_pouches)
    yield _rule("packing", "pouch-room", quoted("DIN 58953-7", "packing of pouches"), applies=only_where.packs_pouches)
    yield _rule("packing", "pouch-indicator", indicator, applies=only_where.packs_pouches)
    yield _rule("packing", "pouch-close", applies=only_where.packs_pouches)
    yield _rule("packing", "pouch-label", _WRITTEN, applies=only_where.packs_pouches)
    on_edge = quoted("CDC 2008", "Sterilizing Practices, loading")
    yield _rule("packing", "pouch-edge", on_edge, applies=only_where.packs_pouches)
    yield _rule("packing", "no-metal", read("CDC 2016", "Packaging and Storage, 2008 edition, materials"))
    yield _rule("packing", "maker-date")
    yield _rule("packing", "wrap-indicator", indicator)
    for fold in ("envelope", "parcel"):
        for number in range(1, 6):
            yield _rule("packing", f"{fold}-{number}")
    yield _rule("packing", "second-wrap", applies=lambda practice: practice.room.wrap.sheets == 2)
    for step in ("tape-strips", "end-label", "tape-up"):
        yield _rule("packing", step)
    label = _LABELLED, quoted("CDC 2003", "VI.G")
    yield _rule("packing", "label-pack", _WRITTEN)
    yield _rule("packing", "label-pen")
    yield _rule("packing", "label-load", *label)
    yield _rule("packing", "label-expiry", label[0], applies=only_where.labels_have_a_date)
    outside = quoted("CDC 2003", "VI.F.3")
    yield _rule("packing", "outside-tape", outside, applies=lambda practice: not practice.room.supplies.labels_outside)
    yield _rule("packing", "outside-label", outside, applies=lambda practice: practice.room.supplies.labels_outside)
    yield _rule("packing", "outside-pouch", read("EN 868-5", "4.4"), applies=only_where.packs_pouches)


def _sterilizing() -> Iterator[Rule]:
    yield _rule(
        "sterilizing",
        "load-loosely",
        quoted("CDC 2003", "VI.F.4"),
        quoted("CDC 2008", "Sterilizing Practices, loading"),
    )
    yield _rule("sterilizing", "dry-closed", recalled("CDC 2003", "VI.A"))
    yield _rule("sterilizing", "cool-first")
    yield _rule("sterilizing", "rack-out")
    yield _rule("sterilizing", "read-external", read("CDC monitoring", "chemical"), quoted("CDC 2003", "VI.F.5"))
    readings = quoted("CDC 2003", "VI.F.2, VI.F.5"), read("CDC monitoring", "mechanical")
    yield _rule("sterilizing", "release", *readings, read("CDC monitoring", "chemical"))
    yield _rule("sterilizing", "sterilizer-burns")
    for rule in ("write-load", "write-before", "write-after"):
        yield _rule("sterilizing", rule, quoted("CDC 2003", "VI.F.2"), read("CDC monitoring", "mechanical"))
    yield _rule("sterilizing", "implant-load", quoted("CDC 2003", "VI.F.7"), quoted("CDC 2008", "recommendation 17.7"))
    yield _rule("sterilizing", "implant-sooner")
    yield _rule("sterilizing", "keep-records", applies=lambda practice: practice.settings.records_kept is None)
    yield _rule("sterilizing", "keep-records-for", applies=lambda practice: practice.settings.records_kept is not None)
    yield _rule("sterilizing", "water-fill", applies=lambda practice: practice.room.water is not None)
    yield _rule("sterilizing", "water-change", applies=only_where.changes_water)
    yield _rule("sterilizing", "water-test", applies=only_where.measures_water)
    yield _rule("sterilizing", "water-limit", applies=only_where.limits_water)
    yield _rule("sterilizing", "maintain", applies=lambda practice: bool(practice.room.maintenance))
    yield _rule("sterilizing", "cool-and-off", applies=lambda practice: bool(practice.room.maintenance))
    yield _rule("sterilizing", "start-nothing")


def _testing() -> Iterator[Rule]:
    air = quoted("CDC 2008", "Sterilizing Practices, monitoring")
    yield _rule("testing", "air-test", air, applies=only_where.removes_air)
    yield _rule("testing", "air-test-log", applies=only_where.removes_air)
    yield _rule("testing", "spore-weekly", quoted("CDC 2003", "VI.F.6"), quoted("CDC 2008", "recommendation 17.4"))
    yield _rule("testing", "spore-implant-load", quoted("CDC 2003", "VI.F.7"))
    yield _rule("testing", "spore-place", quoted("CDC 2003", "VI.F.1"))
    yield _rule("testing", "spore-control", quoted("CDC 2003", "VI.F.6"))
    yield _rule("testing", "spore-write", recalled("CDC 2003", "VI.F"))
    yield _rule("testing", "spore-by-card")


def _storing() -> Iterator[Rule]:
    yield _rule("storing", "store-only", quoted("CDC 2003", "VI.G"))
    yield _rule("storing", "store-hands", _HANDS[0])
    implants = quoted("CDC 2003", "VI.F.7"), quoted("CDC 2008", "recommendation 17.7")
    yield _rule("storing", "implant-store", *implants, applies=only_where.packs_implants)
    yield _rule("storing", "store-row")
    yield _rule("storing", "store-oldest")
    yield _rule("storing", "store-clear", quoted("CDC 2008", "Sterilizing Practices, storage"))
    yield _rule("storing", "store-closed", quoted("CDC 2003", "VI.G"), _STORED)
    kept = quoted("CDC 2003", "VI.G"), recalled("CDC 2008", "Sterilizing Practices, storage")
    yield _rule("storing", "keeps-event", *kept, applies=only_where.packs_keep)
    yield _rule("storing", "refill-hands", _HANDS[0], applies=only_where.keeps_drawers)
    yield _rule("storing", "refill-by-card")
    for rule in ("round-table", "round-look", "round-sum", "round-fill", "round-left"):
        yield _rule("storing", rule, applies=only_where.keeps_drawers)


def _always() -> Iterator[Rule]:
    yield _rule("always", "never-backwards", quoted("CDC 2003", "VI, processing area"))
    yield _rule("always", "never-unpacked", recalled("CDC 2003", "VI.E"))
    yield _rule("always", "no-food", quoted("29 CFR 1910.1030", "(d)(2)(ix)"))
    for rule in ("never-leave", "never-guess", "makers-decide", "lead-decides"):
        yield _rule("always", rule)


def _records() -> Iterator[Rule]:
    for rule in ("count-all", "count-write", "count-opened", "repair-log-copy"):
        yield _rule("records", rule)
    yield _rule("records", "repair-log-send", read("29 CFR 1910.1030", "(d)(2)(xiv)"))
    for rule in ("repair-log-back", "sign-alone"):
        yield _rule("records", rule)
    yearly = recalled("29 CFR 1910.1030", "(g)(2)(ii)")
    yield _rule("records", "trained-first", yearly, read("29 CFR 1910.1030", "(f)(2)(i)"))
    yield _rule("records", "sign-again", read("CDC training", "when"))
