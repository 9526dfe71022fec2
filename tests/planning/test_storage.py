import pytest
from invented_practice import practice

from kitdocs.planning.measures.standing import standings, to_build
from kitdocs.planning.measures.storage import shelf_lengths, storage_figures, storage_problems

PACKS = {"core": 6, "bends": 5}


def shelf(**other):
    return {
        "upper": {
            "name": "Upper shelf",
            "length": "1 m",
            "depth": "30 cm",
            "from_floor": "1 m",
            "from_ceiling": "50 cm",
        }
        | other
    }


def with_shelf(**other):
    return practice(room={"shelves": shelf(**other)})


def drawer(width, depth):
    described = {"name": "Sheet drawer", "holds": "sheets", "width": width, "depth": depth}
    return practice(room={"drawers": {"sheet-drawer": described}})


def test_packs_stand_upright_in_one_row():
    # 6 × (34 + 10) and 5 × (8 + 4), worked by hand
    assert {each.id: each.length_mm for each in shelf_lengths(practice(), PACKS)} == {"core": 264, "bends": 60}


def test_the_figures_add_up_and_mind_the_sprinkler():
    figures = {figure.id: figure for figure in storage_figures(with_shelf(), PACKS)}
    assert set(figures) == {"storage.core", "storage.bends", "storage.total"}
    assert figures["storage.total"].value == 324
    (without, *_) = [each for each in storage_figures(practice(), PACKS) if each.id == "storage.total"]
    assert "0 = 0 mm" in str(without.why)
    # 18 in from a sprinkler head (SOURCES: CDC 2008, storage)
    assert "Keep 18 in (457 mm) below a sprinkler head free" in str(figures["storage.total"].why)


def test_a_shelf_that_is_long_enough_is_no_problem():
    assert storage_problems(with_shelf(length="324 mm"), PACKS) == ()


def test_too_little_shelf_is_a_warning_with_what_is_missing():
    (problem,) = storage_problems(with_shelf(length="300 mm"), PACKS)
    assert (problem.rule, problem.severity) == ("shelf-too-short", "warning")
    assert str(problem.remedy).startswith("24 mm more of shelf")


@pytest.mark.parametrize(
    ("field", "enough", "short"),
    # 8 in from the floor, 5 in from the ceiling, 2 in from outside walls (SOURCES: CDC 2008, storage)
    [
        ("from_floor", "8 in", "7.9 in"),
        ("from_ceiling", "5 in", "4.9 in"),
        ("from_outside_wall", "2 in", "1.9 in"),
    ],
)
def test_clearances_are_those_of_the_guideline(field, enough, short):
    assert storage_problems(with_shelf(**{field: enough}), PACKS) == ()
    (problem,) = storage_problems(with_shelf(**{field: short}), PACKS)
    assert (problem.rule, problem.path) == ("shelf-clearance", f"room.shelves.upper.{field}")


def test_a_shelf_shallower_than_a_standing_cassette_is_a_warning():
    # The large cassette is 203 × 152 × 34 mm; standing on its end it is 152 mm deep.
    assert storage_problems(with_shelf(depth="152 mm"), PACKS) == ()
    (problem,) = storage_problems(with_shelf(depth="151 mm"), PACKS)
    assert problem.rule == "shelf-too-shallow"


def test_a_drawer_for_sheets_is_as_large_as_the_sheets_in_use():
    # Common practice, no source: the drawer must be at least as large as the sheet, here 18 in.
    assert storage_problems(drawer("18 in", "20 in"), {}) == ()
    (problem,) = storage_problems(drawer("17 in", "30 in"), {})
    assert (problem.rule, problem.path) == ("drawer-too-small", "room.drawers.sheet-drawer")
    assert "'sheet-18' of 457.2 mm" in str(problem.message)


def test_without_shelves_and_drawers_nothing_is_said():
    assert storage_problems(practice(), PACKS) == ()


def test_what_is_taken_most_stands_within_reach_and_what_has_no_room_is_told() -> None:
    """Worked by hand: a core set is 44 mm thick, a pouch 12 mm; the reach is common practice, no source."""
    low = {"name": "Low", "length": "30 cm", "depth": "30 cm", "from_floor": "25 cm", "from_ceiling": "2 m"}
    near = {"name": "Near", "length": "25 cm", "depth": "30 cm", "from_floor": "1 m", "from_ceiling": "1 m"}
    narrow = {"name": "Narrow", "length": "1 m", "depth": "5 cm", "from_floor": "1 m", "from_ceiling": "1 m"}
    described = practice(room={"shelves": {"low": low, "narrow": narrow, "near": near}})
    by_pack = {
        often: [(one.shelf, one.pack, one.packs, one.start_mm, one.end_mm) for one in found]
        for often, found in (
            ("bends", standings(described, PACKS, {"core": 2.0, "bends": 9.0})),
            ("core", standings(described, {"core": 14, "bends": 5}, {"core": 9.0, "bends": 2.0})),
        )
    }
    assert by_pack["bends"] == [("near", "bends", 5, 0.0, 60.0), ("low", "core", 6, 0.0, 264.0)]
    assert by_pack["core"] == [
        ("near", "core", 5, 0.0, 220.0),
        ("near", "bends", 2, 220.0, 244.0),
        ("low", "core", 6, 0.0, 264.0),
        ("low", "bends", 3, 264.0, 300.0),
        ("", "core", 3, 0.0, 132.0),
    ]


def test_without_a_shelf_everything_is_listed_and_what_to_build_said() -> None:
    described = practice(room={"shelves": {}})
    assert [(one.shelf, one.pack, one.packs) for one in standings(described, PACKS, {"bends": 3.0})] == [
        ("", "bends", 5),
        ("", "core", 6),
    ]
    # as long as 6 × 44 and 5 × 12; as deep as the large cassette; as tall as the pouch of 230 mm with its seal
    assert to_build(described, PACKS) == (324, 152, 234)
