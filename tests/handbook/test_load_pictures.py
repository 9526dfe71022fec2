"""Loads in the chamber, counted and measured in the picture itself, beside a reckoning that knows none of its code."""

from __future__ import annotations

import math
import re
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from itertools import combinations
from pathlib import Path
from typing import get_args
from xml.etree import ElementTree as ET

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitdocs.document.catalog import built_in_catalog
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.cards.load_pictures import load_charts
from kitdocs.planning.day.usual_loads import UsualLoad
from kitdocs.planning.measures.loads import load_guide
from kitdocs.planning.plan import Plan, make_plan
from kitdocs.practice.model import Practice
from kitdocs.practice.reading.reader import read_practice
from kitdocs.practice.record import Box
from kitdocs.practice.room import Chamber, RoundChamber, SquareChamber, machines
from kitdocs.practice.values import Text
from kitdocs.starter import Like, start

Look = tuple[str, bool, bool]
"""How dark, whether its ends are round, whether a line runs along it."""

SVG = "{http://www.w3.org/2000/svg}"
#: What a drawing that is rounded to thousandths of a millimetre may be off, mm in the chamber.
OFF = 0.06


@dataclass(frozen=True, slots=True)
class Seen:
    """A pack or a free place in the picture, mm in the chamber: from its middle, and from its door."""

    look: Look
    free: bool
    across: float
    along: float
    width: float
    length: float


@dataclass(frozen=True, slots=True)
class Panel:
    """One chamber of the picture, with its words and their swatches."""

    packs: list[Seen]
    words: list[tuple[Look | None, bool, str]]

    @property
    def letter(self) -> str:
        return next((said for look, _, said in self.words if look is None and said in ("A", "B", "C")), "")


def seen_look(rect: ET.Element, following: ET.Element | None) -> tuple[Look, bool]:
    lined = following is not None and following.tag == f"{SVG}line"
    free = rect.get("stroke-dasharray") is not None
    return (rect.get("fill", ""), rect.get("rx") is not None, lined), free


def panels(picture: bytes, chamber: Chamber) -> list[Panel]:
    """Read a picture back: words with their swatches come first, then their chamber, then what stands in it."""
    across = chamber.diameter if isinstance(chamber, RoundChamber) else chamber.width
    found: list[Panel] = []
    words: list[tuple[Look | None, bool, str]] = []
    swatch: tuple[Look | None, bool] = (None, False)
    outline: tuple[float, ...] = ()
    elements = [*ET.fromstring(picture)]
    for element, following in zip(elements, [*elements[1:], None], strict=True):
        if element.tag == f"{SVG}text":
            if swatch[0] is None and words and words[-1][0] and element.text != "full":  # a line that goes on
                look, free, said = words.pop()
                words.append((look, free, f"{said} {element.text}"))
            else:
                words.append((*swatch, element.text or ""))
            swatch = (None, False)
        elif element.tag == f"{SVG}rect":
            x, y, w, h = box = tuple(float(element.get(a, "")) for a in ("x", "y", "width", "height"))
            if element.get("fill") == "none":
                outline = box
                found.append(Panel([], words))
                words = []
                continue
            look, free = seen_look(element, following)
            if outline and outline[0] <= x < outline[0] + outline[2] and outline[1] <= y < outline[1] + outline[3]:
                scale = outline[3] / across
                from_middle = y - outline[1] - outline[3] / 2
                seen = (from_middle / scale, (x - outline[0]) / scale, h / scale, w / scale)
                found[-1].packs.append(Seen(look, free, *seen))
            else:
                swatch = (look, free)
    return found


def told(words: Sequence[tuple[Look | None, bool, str]], *, free: bool) -> dict[str, int]:
    """Return the counts that the words say, by name."""
    counts = (re.fullmatch(r"(?:\+ )?(\d+) × (.+)", said) for look, is_free, said in words if look and is_free == free)
    return {match[2]: int(match[1]) for match in counts if match}


def sides_of(practice: Practice, kind: str) -> tuple[float, ...]:
    cassette = practice.cassettes.get(kind)
    if cassette:
        return cassette.outside.sides
    size = practice.room.pouch_sizes[kind]
    # Taken as thick as the shelf takes it: 8 mm through a joint and 4 mm of air, in every practice here.
    return (size.length, size.width, 12.0)


def stands_inside(packs: Sequence[tuple[Seen, tuple[float, ...]]], chamber: Chamber) -> None:
    """Hold for packs: each has true sides, is whole inside the chamber, touches none, and none is beside another nearer
    than the gap."""
    for one, sides in packs:
        ways = [sorted(sides)]
        left_over = [
            way[n]
            for way in ways
            for n in range(3)
            if sorted(way[:n] + way[n + 1 :]) == pytest.approx(sorted((one.width, one.length)), abs=2 * OFF)
        ]
        assert left_over, (one, sides)
        furthest = max(abs(one.across), abs(one.across + one.width))
        if isinstance(chamber, RoundChamber):
            assert any(math.hypot(furthest, upright / 2) <= chamber.diameter / 2 + OFF for upright in left_over)
        else:
            assert furthest <= chamber.width / 2 + OFF and min(left_over) <= chamber.height
        assert one.along >= -OFF and one.along + one.length <= chamber.depth + 2 * OFF
    for (one, _), (other, _) in combinations(packs, 2):
        beside = max(one.across, other.across) - min(one.across + one.width, other.across + other.width)
        behind = max(one.along, other.along) - min(one.along + one.length, other.along + other.length)
        assert max(beside, behind) >= -2 * OFF
        if behind < -2 * OFF:
            assert beside >= chamber.gap - 2 * OFF


class Reckoned:
    """What one load of a machine holds, reckoned from room.yaml's capacities alone: shares that add up to one."""

    def __init__(self, practice: Practice, plan: Plan, stage: str) -> None:
        self.practice, self.machine = practice, machines(practice.room.stages)[stage]
        self.packed = self.machine.area == "sterilization"
        guide = load_guide(practice, stage)
        self.capacity = {kind: self.machine.capacity[kind] for kind in guide.points}
        self.brief = Brief(practice=practice, plan=plan, words=built_in_catalog("en"))
        *chamber, self.slots = load_charts(self.brief, guide, packed=self.packed)
        self.chamber = chamber[0] if chamber else None
        self.kinds = {self.brief.say(cassette.name): kind for kind, cassette in practice.cassettes.items()}
        self.kinds |= {self.brief.say(size.name): kind for kind, size in practice.room.pouch_sizes.items()}
        assert len(self.kinds) == len(practice.cassettes) + len(practice.room.pouch_sizes)
        mixes = [{**load.cassettes, **(load.pouches if self.packed else {})} for load in plan.days.usual_loads[stage]]
        fitting = [mix for mix in mixes if mix.keys() <= self.capacity.keys() and self.share(mix) <= 1]
        self.loads = dict(zip("ABC", fitting, strict=False))

    def share(self, mix: Mapping[str, int]) -> Fraction:
        return sum((Fraction(count, self.capacity[kind]) for kind, count in mix.items()), Fraction(0))

    def counted(self, panel: Panel) -> Counter[str]:
        """What stands in a chamber, by the looks that its words give each kind; what they say is what stands there."""
        looks = {
            look: self.kinds[re.sub(r"^\d+ × ", "", said)] for look, free, said in panel.words if look and not free
        }
        loaded = Counter(looks[pack.look] for pack in panel.packs if not pack.free)
        assert loaded == {self.kinds[name]: count for name, count in told(panel.words, free=False).items()}
        free = {self.kinds[name]: count for name, count in told(panel.words, free=True).items()}
        free_packs = [pack for pack in panel.packs if pack.free]
        assert len(free) <= 1 and sum(free.values()) == len(free_packs)
        self.judge(loaded, free, said_full=(None, False, "full") in panel.words, alone=not panel.letter)
        standing = [(pack, sides_of(self.practice, looks[pack.look])) for pack in panel.packs if not pack.free]
        standing += [(pack, sides_of(self.practice, kind)) for kind in free for pack in free_packs]
        assert self.machine.chamber is not None
        stands_inside(standing, self.machine.chamber)
        return loaded

    def judge(self, loaded: Mapping[str, int], free: Mapping[str, int], *, said_full: bool, alone: bool) -> None:
        """The free places are all that are left for one kind; a load that is full takes nothing more."""
        share = self.share(loaded)
        assert share <= 1
        for kind, count in free.items():
            assert share + Fraction(count, self.capacity[kind]) <= 1 < share + Fraction(count + 1, self.capacity[kind])
        if alone:
            assert share == 1 and len(loaded) == 1 and not free
            return
        possible = [n for kind, n in self.capacity.items() if self.packed or kind in self.practice.cassettes]
        assert said_full == all(share + Fraction(1, n) > 1 for n in possible) == (not free)


def check(practice: Practice, plan: Plan, stage: str) -> Counter[str]:
    """Hold the pictures of a machine against the mixes that the plan found; return what was drawn how often."""
    reckoned = Reckoned(practice, plan, stage)
    texts = [e for e in ET.fromstring(reckoned.slots.picture.data) if e.tag == f"{SVG}text"]
    strips = {str(e.text) for e in texts if e.get("x") == "0"}
    drawn: set[str] = set()
    shown: Counter[str] = Counter(strip=len(strips))
    if reckoned.chamber:
        chamber, phone = reckoned.machine.chamber, reckoned.chamber.narrow
        assert chamber is not None and phone is not None
        for panel in panels(reckoned.chamber.picture.data, chamber):
            loaded = reckoned.counted(panel)
            if panel.letter:
                assert loaded == reckoned.loads[panel.letter]
                drawn.add(panel.letter)
            shown["drawn" if panel.letter else "alone"] += 1
        for panel in panels(phone.data, chamber):
            reckoned.counted(panel)
            shown["phone"] += 1
    assert drawn | strips == set(reckoned.loads) and not drawn & strips
    why = "no way was found" if reckoned.machine.chamber else "inside measures are not stated"
    assert (why in reckoned.slots.summary) == bool(strips)
    return +shown


def test_the_loads_of_the_example_are_drawn_in_its_sterilizer_as_the_plan_found_them(
    example: Practice, example_plan: Plan
) -> None:
    assert check(example, example_plan, "sterilize") == {"drawn": 3, "alone": 3, "phone": 6}
    assert check(example, example_plan, "wash") == {"strip": 3}


@pytest.mark.parametrize("like", get_args(Like))
def test_the_loads_of_every_starter_are_drawn_as_the_plan_found_them(like: Like, tmp_path: Path) -> None:
    start(tmp_path / "practice", like=like)
    practice = read_practice(tmp_path / "practice")
    plan = make_plan(practice, days=20)
    for stage in machines(practice.room.stages):
        assert check(practice, plan, stage)


SIDE = st.integers(15, 260).map(lambda mm: f"{mm} mm")


@st.composite
def chambers(draw: st.DrawFn) -> Chamber:
    deep, gap, wide = draw(st.integers(150, 600)), draw(st.integers(0, 15)), draw(st.integers(150, 500))
    written = {"depth": f"{deep} mm", "gap": f"{gap} mm"}
    if draw(st.booleans()):
        return RoundChamber.model_validate({"shape": "round", "diameter": f"{wide} mm", **written})
    high = f"{draw(st.integers(150, 400))} mm"
    return SquareChamber.model_validate({"shape": "square", "width": f"{wide} mm", "height": high, **written})


@given(st.data(), chambers(), st.integers(1, 6), st.booleans())
def test_drawn_loads_are_counted_in_drawn_chambers(
    example: Practice, example_plan: Plan, data: st.DataObject, chamber: Chamber, kinds: int, packed: bool
) -> None:
    """One to six sizes of cassette, round and square chambers; mixes that fit by their shares, and some that do not."""
    stage = machines(example.room.stages)["sterilize"]
    ids = [f"size-{n}" for n in range(kinds)]
    sides = st.builds(
        lambda *of: Box.model_validate(dict(zip(("length", "width", "height"), of, strict=True))), SIDE, SIDE, SIDE
    )
    cassettes = {
        id_: example.cassettes["slim"].model_copy(update={"outside": data.draw(sides), "name": Text(plain=f"Size {n}")})
        for n, id_ in enumerate(ids)
    }
    sets = {
        id_: record.model_copy(update={"cassette": ids[n % kinds]})
        for n, (id_, record) in enumerate(example.sets.items())
    }
    counts = st.integers(1, 12)
    capacity = {id_: data.draw(counts) for id_ in (*ids, *example.room.pouch_sizes)}
    changed = stage.model_copy(
        update={"chamber": chamber, "capacity": capacity, "area": "sterilization" if packed else "receiving"}
    )
    room = example.room.model_copy(update={"stages": {**example.room.stages, "sterilize": changed}})
    practice = replace(example, cassettes=cassettes, sets=sets, room=room)
    few = st.integers(1, 4)
    usual = [
        UsualLoad(
            cassettes=data.draw(st.dictionaries(st.sampled_from(ids), few, min_size=1, max_size=3)),
            pouches=data.draw(st.dictionaries(st.sampled_from(sorted(example.room.pouch_sizes)), few, max_size=2)),
            share=0.1,
        )
        for _ in range(data.draw(st.integers(0, 4)))
    ]
    plan = replace(example_plan, days=replace(example_plan.days, usual_loads={"sterilize": tuple(usual)}))
    check(practice, plan, "sterilize")
