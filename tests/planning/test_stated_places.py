"""Stated places: kept where they can be, warned of where not; the layout held against widths summed another way."""

from __future__ import annotations

from collections import defaultdict
from math import ceil
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from invented_practice import POUCHES, SETS, practice

from kitdocs import Practice
from kitdocs.planning.measures.standing import Standing, pack_size, standings
from kitdocs.planning.measures.stated_places import stated_place_problems
from kitdocs.planning.measures.storage import storage_figures, storage_problems
from kitdocs.planning.measures.store import in_store
from kitdocs.practice.store_places import find_place, store_places

PACKS = {"core": 6, "bends": 5}
# By hand: a core set is 34 + 10 = 44 mm thick and 152 mm deep, a bending pouch 8 + 4 = 12 mm and 90 mm deep.
CORE_MM, BENDS_MM = 44, 12


def shelf(length: str = "1 m", depth: str = "30 cm", floor: str = "1 m", **other: str) -> dict[str, str]:
    return {"name": "Shelf", "length": length, "depth": depth, "from_floor": floor, "from_ceiling": "1 m", **other}


def drawer(holds: str, width: str = "300 mm", depth: str = "400 mm", **other: str) -> dict[str, str]:
    return {"name": "Drawer", "holds": holds, "width": width, "depth": depth, **other}


def described(core: str = "", bends: str = "", **room: Any) -> Practice:
    sets = {"core": {**SETS["core"], **({"place": core} if core else {})}}
    pouches = {"bends": {**POUCHES["bends"], **({"place": bends} if bends else {})}}
    return practice(sets=sets, pouches=pouches, room=room)


def stood(found: tuple[Standing, ...]) -> list[tuple[str, int, str, int, float]]:
    return [(one.shelf, one.position, one.pack, one.packs, one.start_mm) for one in found]


@pytest.mark.parametrize(
    ("written", "place"),
    [
        ("B2", ("shelf", "low", 2)),
        ("b2", ("shelf", "low", 2)),
        ("shelf B2", ("shelf", "low", 2)),
        ("low 2", ("shelf", "low", 2)),
        ("B", ("shelf", "low", 0)),
        ("shelf low", ("shelf", "low", 0)),
        ("D1", ("drawer", "low", 0)),
        ("drawer low", ("drawer", "low", 0)),
        ("T", ("hook", "tape", 0)),
        ("tape", ("hook", "tape", 0)),
        ("hook B2", None),
        ("B0", None),
        ("D2", None),
        ("D1 2", None),
        ("C1", None),
    ],
)
def test_a_place_is_named_by_its_code_or_its_id(written: str, place: tuple[str, str, int] | None) -> None:
    room = described(
        shelves={"high": shelf(), "low": shelf()},
        drawers={"low": drawer("supplies")},
        hooks={"tape": {"name": "Tape", "code": "T"}},
    ).room
    found = find_place(store_places(room), written)
    assert (found and (found[0].kind, found[0].id, found[1])) == place


def test_a_shelf_keeps_its_own_code_and_the_others_take_what_is_left() -> None:
    room = described(shelves={"new": shelf(), "old": shelf(code="A"), "low": shelf()}).room
    assert [place.code for place in store_places(room)] == ["B", "A", "C"]


def test_what_is_stated_stands_there_and_the_rest_takes_the_positions_that_are_left() -> None:
    """By hand: `bends` is taken most, but the first place is `core`'s."""
    found = standings(described(core="A1", shelves={"one": shelf()}), PACKS, {"bends": 9.0, "core": 1.0})
    assert stood(found) == [("one", 1, "core", 6, 0.0), ("one", 2, "bends", 5, 6 * CORE_MM)]
    third = standings(described(core="A3", shelves={"one": shelf()}), PACKS, {"core": 9.0})
    assert stood(third) == [("one", 1, "bends", 5, 0.0), ("one", 3, "core", 6, 5 * BENDS_MM)]
    low = described(core="B", shelves={"one": shelf(), "two": shelf(floor="25 cm")})
    assert [one[:3] for one in stood(standings(low, PACKS, {"core": 9.0}))] == [("one", 1, "bends"), ("two", 1, "core")]


def test_a_shelf_too_short_for_what_is_stated_is_told_with_the_lengths_and_the_rest_stands_elsewhere() -> None:
    short = described(core="A1", bends="A2", shelves={"one": shelf("300 mm"), "two": shelf()})
    (problem,) = stated_place_problems(short, PACKS)
    assert (problem.rule, problem.path, problem.severity) == ("place-too-short", "room.shelves.one", "warning")
    assert (
        str(problem.message) == "at 'A' are to stand 'core' (264 mm) + 'bends' (60 mm) = 324 mm, and there are 300 mm"
    )
    assert str(problem.remedy).startswith("24 mm more")
    assert stood(standings(short, PACKS, {"core": 9.0})) == [
        ("one", 1, "core", 6, 0.0),
        ("one", 2, "bends", 3, 264.0),
        ("two", 1, "bends", 2, 0.0),
    ]
    enough = described(core="A1", bends="A2", shelves={"one": shelf("324 mm"), "two": shelf()})
    assert stated_place_problems(enough, PACKS) == ()


@pytest.mark.parametrize(("depth", "told"), [("152 mm", 0), ("151 mm", 1)])
def test_a_shelf_too_shallow_for_a_stated_pack_is_told(depth: str, told: int) -> None:
    shallow = described(core="A1", shelves={"one": shelf(depth=depth)})
    problems = stated_place_problems(shallow, PACKS)
    assert [(p.rule, p.path, str(p.message)) for p in problems] == [
        ("place-too-small", "sets.core.place", "'core' is 152 mm, and 'A' has 151 mm")
    ] * told


def test_packs_in_a_drawer_take_no_shelf_and_the_figures_say_why() -> None:
    """By hand: without the core sets, 5 × 12 mm of shelf are left to need."""
    kept = described(core="D1", shelves={"one": shelf("60 mm")}, drawers={"deep": drawer("packs")})
    figures = {figure.id: figure for figure in storage_figures(kept, PACKS)}
    assert (figures["storage.core"].value, figures["storage.bends"].value, figures["storage.total"].value) == (
        0,
        60,
        60,
    )
    assert "stand in the drawer 'Drawer' (D1), as stated, 264 mm side by side; they take no shelf" in str(
        figures["storage.core"].why
    )
    assert "all packs but Core set, which stand in a drawer, as stated" in str(figures["storage.total"].why)
    assert storage_problems(kept, PACKS) == () and stated_place_problems(kept, PACKS) == ()
    store = in_store(kept, PACKS, {}, {}, [])
    assert [(one.code, one.id, one.count) for one in store] == [("A1", "bends", 5), ("D1", "core", 6)]


@pytest.mark.parametrize(
    ("width", "depth", "rule"),
    [
        ("264 mm", "152 mm", None),  # six times 44 mm in one row
        ("263 mm", "152 mm", "place-too-short"),
        ("132 mm", "304 mm", None),  # two rows of three, each 152 mm deep
        ("132 mm", "303 mm", "place-too-short"),
    ],
)
def test_packs_in_a_drawer_stand_in_as_many_rows_as_it_is_deep(width: str, depth: str, rule: str | None) -> None:
    kept = described(core="D1", drawers={"deep": drawer("packs", width, depth)})
    assert [problem.rule for problem in stated_place_problems(kept, PACKS)] == ([rule] if rule else [])


def test_what_lies_flat_or_along_a_side_is_measured_against_its_own_drawer() -> None:
    sheets = {"sheet-18": {"name": "18 in sheet", "side": "18 in", "pack": 100, "place": "D1"}}
    sizes = {"small-pouch": {"name": "Small pouch", "width": "90 mm", "length": "230 mm", "pack": 9, "place": "D1"}}
    large = {"wide": drawer("supplies", "458 mm", "458 mm"), "rest": drawer("sheets", "1 cm", "1 cm")}
    fitting = practice(room={"sheets": sheets, "pouch_sizes": {**sizes}, "drawers": large})
    assert stated_place_problems(fitting, {}) == () and storage_problems(fitting, {}) == ()
    small = practice(room={"sheets": sheets, "pouch_sizes": sizes, "drawers": {"wide": drawer("supplies", "229 mm")}})
    said = {problem.path: str(problem.message) for problem in stated_place_problems(small, {})}
    assert said == {"room.sheets.sheet-18.place": "'sheet-18' is 457 × 457 mm, and 'D1' has 229 × 400 mm"}


@st.composite
def stores(draw: st.DrawFn) -> tuple[Practice, dict[str, int], dict[str, float]]:
    """Shelves of any length, packs with or without a stated place, some on no shelf that is long enough."""
    letters = "ABC"[: draw(st.integers(1, 3))]
    shelves = {
        letter.lower(): shelf(f"{draw(st.integers(50, 900))} mm", f"{draw(st.sampled_from([80, 100, 300]))} mm",
                              f"{draw(st.integers(200, 1900))} mm")
        for letter in letters
    }  # fmt: skip
    free = [f"{letter}{n}" for letter in letters for n in range(1, 10)]
    ids = [f"pack-{n}" for n in range(draw(st.integers(1, 9)))]
    places = dict(zip(ids, draw(st.permutations(free)), strict=False))
    stated = {id_: places[id_] for id_ in ids if draw(st.booleans())}
    sets = {
        id_: {**SETS["core"], "cassette": draw(st.sampled_from(["slim", "large"])),
              **({"place": stated[id_]} if id_ in stated else {})}
        for id_ in ids
    }  # fmt: skip
    packs = {id_: draw(st.integers(0, 12)) for id_ in ids}
    return (
        practice(sets=sets, pouches={}, room={"shelves": shelves}),
        packs,
        {id_: draw(st.floats(0, 9)) for id_ in ids},
    )


@given(stores())
def test_on_drawn_stores_nothing_is_lost_nothing_overlaps_and_what_is_stated_is_kept(
    store: tuple[Practice, dict[str, int], dict[str, float]],
) -> None:
    """Summed pack by pack, in whole tenths of a millimetre, from the written sizes and not from the plan's lengths."""
    described, packs, taken = store
    thick = {id_: {"slim": 300, "large": 440}[kit.cassette] for id_, kit in described.sets.items()}
    found = standings(described, packs, taken)
    for id_, number in packs.items():
        assert sum(one.packs for one in found if one.pack == id_) == number
    on: dict[str, list[Standing]] = defaultdict(list)
    for one in found:
        on[one.shelf].append(one)
    nowhere = {one.pack for one in on.pop("", [])}
    for shelf_id, here in on.items():
        end = 0
        for one in here:
            assert round(one.start_mm * 10) == end, "each kind begins where the one before it ends"
            for _ in range(one.packs):
                end += thick[one.pack]
            assert round(one.end_mm * 10) == end
        assert end <= described.room.shelves[shelf_id].length * 10
        positions = [one.position for one in here]
        assert positions == sorted(set(positions)) and positions[0] >= 1
    letters = {id_: place.code for place in store_places(described.room) for id_ in [place.id]}
    for id_, kit in described.sets.items():
        if kit.place and packs[id_]:
            first = [one for one in found if one.pack == id_ and letters.get(one.shelf, "") == kit.place[0]]
            if first:
                assert f"{letters[first[0].shelf]}{first[0].position}" == kit.place
    for id_ in nowhere:  # there is really no room: on each shelf that is deep enough less is free than one pack takes
        for shelf_id, record in described.room.shelves.items():
            if record.depth >= pack_size(described, id_)[0]:
                used = sum(one.packs * thick[one.pack] for one in on.get(shelf_id, []))
                assert ceil(record.length * 10) - used < thick[id_]


@given(stores())
def test_a_place_is_told_to_be_too_short_just_where_something_stated_for_it_stands_elsewhere(
    store: tuple[Practice, dict[str, int], dict[str, float]],
) -> None:
    described, packs, taken = store
    letters = {place.id: place.code for place in store_places(described.room)}
    found = standings(described, packs, taken)
    elsewhere = {
        described.sets[one.pack].place[0]  # type: ignore[index]
        for one in found
        if described.sets[one.pack].place and letters.get(one.shelf, "") != described.sets[one.pack].place[0]  # type: ignore[index]
    }
    short = {p.path.rpartition(".")[2] for p in stated_place_problems(described, packs) if p.rule == "place-too-short"}
    assert {letters[id_] for id_ in short} == elsewhere
