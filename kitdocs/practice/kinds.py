"""The words that a practice folder may use for drawings, marks, materials, areas and the like."""

from __future__ import annotations

from typing import Literal, get_args

Plier = Literal[
    "weingart-plier",
    "howe-plier",
    "bird-beak-plier",
    "three-prong-plier",
    "hollow-chop-plier",
    "step-plier",
    "hook-crimping-plier",
    "other-plier",
]
Cutter = Literal["distal-end-cutter", "ligature-cutter", "hard-wire-cutter", "other-cutter"]
Remover = Literal[
    "bracket-removing-plier", "band-removing-plier", "adhesive-removing-plier", "separator-plier", "other-remover"
]
Locking = Literal["mathieu-needle-holder", "mosquito-forceps", "other-locking"]
Tweezers = Literal["cotton-plier", "bracket-holder", "tube-holder", "other-tweezers"]
#: Held like a pencil.
Straight = Literal[
    "mouth-mirror",
    "explorer",
    "scaler",
    "periodontal-probe",
    "band-pusher",
    "band-seater",
    "ligature-director",
    "bracket-height-gauge",
    "cement-spatula",
    "hand-driver",
    "other-straight",
]
Other = Literal[
    "cheek-retractor", "wire-turret", "photo-mirror", "handpiece", "bur", "strip-holder", "other-instrument"
]

#: Every kind of instrument that kitdocs can draw. ``kitdocs.drawings`` draws each of them. Those that begin with
#: ``other-`` stand for what has no drawing: their family, with a blank for the working end.
DrawingKind = Literal[Plier, Cutter, Remover, Locking, "scissors", Tweezers, Straight, Other]

#: Plain shapes for chairs. Sets have their own family, so that neither is taken for the other.
ChairMark = Literal[
    "circle",
    "square",
    "triangle",
    "diamond",
    "star",
    "cross",
    "ring",
    "hexagon",
    "crescent",
    "drop",
    "arrow",
    "heart",
]

#: Marks for cassettes, as strips of tape or engraved lines make them.
SetMark = Literal["one-bar", "two-bars", "three-bars", "slash", "chevron", "zigzag", "corner", "dots"]

Material = Literal["steel", "carbide-tipped", "titanium", "aluminium", "plastic"]

#: The four sections of the reprocessing room, dirty to clean. Source: CDC, Guidelines for Infection
#: Control in Dental Health-Care Settings 2003, MMWR 52(RR-17), part VI.
Area = Literal["receiving", "packaging", "sterilization", "storage"]
AREAS: tuple[Area, ...] = get_args(Area)

#: Instruments that somebody who knows none of them would look for together, by how they are built and held.
Family = Literal["pliers", "cutters", "removers", "locking", "tweezers", "straight", "other"]
FAMILIES: dict[Family, tuple[DrawingKind, ...]] = {
    "pliers": get_args(Plier),
    "locking": get_args(Locking),
    "cutters": (*get_args(Cutter), "scissors"),
    "removers": get_args(Remover),
    "tweezers": get_args(Tweezers),
    "straight": get_args(Straight),
    "other": get_args(Other),
}
FAMILY_OF: dict[DrawingKind, Family] = {kind: family for family, kinds in FAMILIES.items() for kind in kinds}

#: How much wider a hinged instrument lies when it is open and unlocked, mm. Our estimate, common practice, no source.
#: A ratchet must spread further to let go. That hinged instruments are sterilized open: SOURCES: CDC 2008, packaging.
OPENING_MM: dict[Family, float] = {"pliers": 10.0, "cutters": 10.0, "removers": 10.0, "locking": 15.0}

#: How something is taken from the drawer at the chair during a visit.
DrawerAccess = Literal["clean-hands", "overglove", "second-person", "cotton-plier"]


def is_neutral(kind: str) -> bool:
    """Whether a drawing stands for whatever of its family has none."""
    return kind.startswith("other-")


#: Parts of a new folder that are an example's until the practice states its own.
PartOfTheStarter = Literal["day", "cassettes", "room"]
