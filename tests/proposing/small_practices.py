"""Small practices without a design: a few instruments and procedures in the room of the starter."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from kitdocs.practice.reading.undesigned import read_undesigned
from kitdocs.proposing.demand import Demand
from kitdocs.starter import start

#: Instruments by id: drawing, length, width, price.
PIECES: Mapping[str, tuple[str, int, int, int]] = {
    "mirror": ("mouth-mirror", 165, 22, 10),
    "explorer": ("explorer", 165, 9, 11),
    "scaler": ("scaler", 172, 10, 18),
    "director": ("ligature-director", 165, 9, 16),
    "weingart": ("weingart-plier", 140, 50, 78),
    "mathieu": ("mathieu-needle-holder", 140, 52, 64),
    "cutter": ("distal-end-cutter", 122, 50, 148),
    "bird-beak": ("bird-beak-plier", 128, 50, 74),
    "three-prong": ("three-prong-plier", 125, 48, 79),
    "holder": ("bracket-holder", 140, 11, 24),
    "gauge": ("bracket-height-gauge", 150, 11, 32),
    "remover": ("bracket-removing-plier", 135, 50, 88),
    "retractor": ("cheek-retractor", 110, 90, 9),
}


def written(folder: Path, procedures: Mapping[str, tuple[float, Mapping[str, str]]]) -> Path:
    """Write a practice folder without sets and pouches; of each procedure its visits a day and its needs."""
    start(folder)
    for name in ("sets.yaml", "pouches.yaml", "stock.csv"):
        (folder / name).unlink(missing_ok=True)
    wanted = {i for _, needs in procedures.values() for i in needs}
    lines = []
    for id_, (drawing, length, width, price) in PIECES.items():
        if id_ in wanted:
            lines += [f"{id_}:", f"  name: {id_}", f"  drawing: {drawing}"]
            lines += [f"  length: {length} mm", f"  width: {width} mm", f"  price: {price}"]
    (folder / "instruments.yaml").write_text("\n".join(lines) + "\n", "utf-8")
    lines = []
    for id_, (per_day, needs) in procedures.items():
        lines += [f"{id_}:", f"  name: {id_}", "  minutes: 20 min", f"  per_day: {per_day}", "  needs:"]
        lines += [f"    {i}: {share}" for i, share in needs.items()]
    (folder / "procedures.yaml").write_text("\n".join(lines) + "\n", "utf-8")
    chairs = (folder / "chairs.yaml").read_text("utf-8")
    (folder / "chairs.yaml").write_text(_without_drawers(chairs), "utf-8")
    return folder


def _without_drawers(text: str) -> str:
    kept, skipping = [], False
    for line in text.splitlines():
        if line.startswith("  drawer:"):
            skipping = True
        elif not (skipping and line.startswith("    ")):
            skipping = False
            kept.append(line)
    return "\n".join(kept) + "\n"


def demand_of(folder: Path) -> Demand:
    return Demand(practice=read_undesigned(folder).practice)
