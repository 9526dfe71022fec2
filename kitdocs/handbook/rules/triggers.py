"""Triggers: what can go wrong, by group, and the rules that say in order what is done."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from types import MappingProxyType

from kitdocs.handbook.rules.conditions import keeps_drawers, packs_pouches, removes_air, washes
from kitdocs.handbook.rules.rule import Group, Trigger, always
from kitdocs.practice.model import Practice


def _trigger(
    id_: str,
    *steps: str | tuple[str, ...],
    also: tuple[str, ...] = (),
    done: str = "",
    least: int = 1,
    applies: Callable[[Practice], bool] = always,
) -> Trigger:
    """Return a trigger; a step of one rule is that rule."""
    grouped = tuple((step,) if isinstance(step, str) else step for step in steps)
    return Trigger(id=id_, steps=grouped, also=also, done=done, least=least, applies=applies)


#: By group as people look them up, people first.
_BY_GROUP: Mapping[Group, tuple[Trigger, ...]] = MappingProxyType(
    {
        "people": (
            _trigger(
                "hurt",
                "hurt-stop",
                "hurt-wash",
                "hurt-tell",
                "hurt-note",
                also=("decides-exposure", "writes-exposure"),
                done="done-hurt",
            ),
            _trigger(
                "burned",
                "burn-cool",
                "burn-help",
                also=(
                    "decides-nobody",
                    "writes-accident",
                ),
                done="done-burned",
            ),
            _trigger(
                "chemical-spill",
                "spill-eye",
                "spill-skin",
                "spill-doctor",
                "spill-gloves",
                "spill-chemical",
                also=(
                    "never-mix",
                    "decides-nobody",
                    "writes-accident",
                ),
                done="done-spill",
            ),
            _trigger(
                "blood-spill",
                "spill-glass",
                "spill-blood",
                also=(
                    "decides-nobody",
                    "writes-nothing",
                ),
                done="done-spill",
            ),
        ),
        "pack": (
            _trigger(
                "dropped",
                "dropped-look",
                ("dropped-doubt", "to-receiving"),
                ("redo", "redo-new"),
                "dropped-local",
                also=(
                    "never-unseen",
                    "decides-nobody",
                    "writes-label",
                ),
                done="done-dropped",
            ),
            _trigger(
                "wet-load",
                ("reject", "wet-leave"),
                "hold-if-several",
                ("wet-one", "to-receiving"),
                ("redo", "redo-new"),
                "wet-causes",
                also=(
                    "decides-several",
                    "writes-load",
                ),
                done="done-wet",
                least=2,
            ),
            _trigger(
                "bad-pack",
                "reject",
                "to-receiving",
                ("redo", "redo-new"),
                "find-leak",
                also=("decides-nobody", "writes-label"),
                done="done-pack",
            ),
            _trigger(
                "out-of-date",
                "reject",
                "to-receiving",
                ("redo", "redo-new"),
                also=("decides-nobody", "writes-label"),
                done="done-pack",
            ),
            _trigger(
                "external-unchanged",
                ("reject", "leave-closed"),
                "hold-load",
                "hold-means",
                ("read-record", "external-decided"),
                ("to-receiving", "redo", "redo-new"),
                also=("writes-load",),
                done="done-load",
                least=2,
            ),
            _trigger(
                "internal-unchanged",
                ("internal-stop", "take-other"),
                ("internal-patient", "internal-used"),
                "internal-keep",
                "hold-load",
                "internal-say",
                also=("writes-load",),
                done="done-load",
                least=4,
            ),
            _trigger(
                "label-lost",
                "reject",
                "hold-if-several",
                ("label-unknown", "to-receiving"),
                ("redo", "redo-new"),
                also=(
                    "decides-several",
                    "writes-label",
                ),
                done="done-pack",
            ),
            _trigger(
                "opened-unused",
                "internal-used",
                also=(
                    "never-closed-again",
                    "decides-nobody",
                    "writes-nothing",
                ),
                done="done-used",
            ),
            _trigger("opened", "opened-used", "opened-basket", "opened-empty", "opened-refill", applies=packs_pouches),
            _trigger("unopened", ("unopened-doubt", "reject", "to-receiving"), "unopened-local", applies=keeps_drawers),
            _trigger("none-ready", "none-wait", "none-unwrapped", also=("decides-doctor",), done="done-none-ready"),
        ),
        "load": (
            _trigger(
                "reading-missed",
                "load-stop",
                "load-open",
                "load-redo",
                "repair-tests",
                also=("decides-lead", "writes-load"),
                done="done-load",
            ),
            _trigger(
                "spore-positive",
                "spore-out",
                ("spore-hold", "hold-means"),
                "spore-implants",
                "spore-review",
                ("spore-retest", "spore-retest-hold"),
                "spore-back",
                "spore-again",
                also=("decides-lead", "writes-spore"),
                done="done-spore",
            ),
            _trigger(
                "no-growth",
                "control-repeat",
                "growth-counts",
                also=(
                    "never-negative",
                    "decides-lead",
                    "writes-spore",
                ),
                done="done-repeated",
                least=2,
            ),
            _trigger(
                "spore-late",
                "late-test",
                "late-implants",
                also=(
                    "never-filled-in",
                    "decides-lead",
                    "writes-spore",
                ),
                done="done-repeated",
            ),
            _trigger(
                "air-test-failed",
                "air-stop",
                "air-again",
                also=("decides-lead", "writes-load"),
                done="done-machine",
                applies=removes_air,
            ),
            _trigger("down", "down-sign", "down-never", also=("decides-lead", "writes-sign"), done="done-machine"),
        ),
        "piece": (
            _trigger(
                "missing",
                "missing-doctor",
                "missing-look",
                ("patient-gone", "missing-close"),
                "missing-spare",
                also=("decides-doctor", "writes-note"),
                done="done-missing",
                least=2,
            ),
            _trigger(
                "broken",
                ("broken-parts", "broken-basket"),
                "patient-gone",
                "damaged-order",
                also=("decides-doctor", "writes-tag"),
                done="done-broken",
            ),
            _trigger(
                "extra",
                "extra-clean",
                "extra-home",
                also=(
                    "decides-nobody",
                    "writes-nothing",
                ),
                done="done-extra",
            ),
            _trigger(
                "fallen",
                "fallen",
                "fallen-other",
                also=("decides-nobody", "writes-nothing"),
                done="done-used",
            ),
            _trigger(
                "damaged",
                "damaged-note",
                "damaged-order",
                "damaged-sharp",
                "damaged-tag",
                ("damaged-spare", "new-first"),
                "damaged-place",
                "damaged-bin",
                also=(
                    "never-leave",
                    "decides-nobody",
                    "writes-tag",
                ),
                done="done-tagged",
            ),
            _trigger("no-spare", "no-spare"),
            _trigger(
                "locked",
                "locked",
                also=(
                    "never-force",
                    "decides-nobody",
                    "writes-nothing",
                ),
                done="done-locked",
            ),
            _trigger(
                "wire",
                "wire-tongs",
                also=(
                    "never-fingers",
                    "decides-nobody",
                    "writes-nothing",
                ),
                done="done-wire",
            ),
        ),
        "wash": (
            _trigger(
                "aluminium",
                "aluminium-out",
                "aluminium-bath",
                "aluminium-again",
                ("aluminium-look", "damaged-order"),
                also=(
                    "no-aluminium",
                    "decides-reprocessing",
                    "writes-tag",
                ),
                done="done-washed",
            ),
            _trigger(
                "dirty",
                "dirty-again",
                "dirty-wait",
                also=(
                    "decides-nobody",
                    "writes-nothing",
                ),
                done="done-washed",
            ),
            _trigger(
                "washer-stopped",
                "stopped-leave",
                ("stopped-manual", "stopped-unwashed"),
                "stopped-wait",
                also=("decides-reprocessing", "writes-sign"),
                done="done-washed",
            ),
            _trigger(
                "wash-test-failed",
                "wash-test-stop",
                "wash-test-again",
                "wash-test-stored",
                also=("writes-test",),
                done="done-machine",
                applies=washes,
            ),
            _trigger(
                "washer-down",
                ("washer-down", "dirty-wait"),
                "washer-by-hand",
                also=("decides-reprocessing", "writes-sign"),
                done="done-machine",
                applies=washes,
            ),
        ),
    }
)

TRIGGERS: Mapping[str, Trigger] = MappingProxyType(
    {trigger.id: replace(trigger, group=group) for group, own in _BY_GROUP.items() for trigger in own}
)
