import pytest
from invented_practice import CHAIRS, SETS, practice

from kitdocs.planning.colours import MOST_CHAIRS
from kitdocs.planning.colours.check import colour_figures, colour_problems
from kitdocs.planning.colours.looks import propose_chairs


def chairs(*colours):
    return practice(chairs={f"chair-{n}": CHAIRS["chair-1"] | {"colour": c} for n, c in enumerate(colours, start=1)})


def own(name, hex_):
    return {"name": name, "hex": hex_}


def test_two_colours_alike_to_green_blind_eyes_are_named_with_the_vision_and_a_way_out():
    # A green and a brown: ΔE00 42 for usual vision, 14 protan, 4.5 deutan, 45 tritan.
    (problem,) = colour_problems(chairs(own("Fern", "#287850"), own("Clay", "#785050")))
    assert (problem.rule, problem.severity, problem.path) == (
        "colours-too-close",
        "warning",
        "chairs.chair-2.colour",
    )
    assert "Clay and Fern of 'chair-1' look alike to green-blind eyes (deutan)" in str(problem.message)
    assert str(problem.remedy).startswith("the nearest colour that would do is {name: ")


def test_colours_that_stay_apart_are_no_problem():
    assert colour_problems(chairs("teal", "pink", "navy", "lime")) == ()


def test_a_chair_in_safety_yellow_is_a_warning():
    (problem,) = colour_problems(chairs("teal", own("Sun", "#f9a800")))
    assert problem.rule == "colour-near-safety-colour"
    assert "safety yellow #f9a800 (ISO 3864-4)" in str(problem.message)


def test_the_colour_of_the_remedy_is_no_problem_any_more():
    (problem,) = colour_problems(chairs("teal", own("Sea", "#007a78")))
    name, hex_ = str(problem.remedy).split("{name: ")[1].rstrip("}").split(", hex: ")
    assert colour_problems(chairs("teal", own(name, hex_.strip("'")))) == ()


def test_the_remedy_may_keep_the_name_of_the_colour_that_goes():
    def offered(name):
        (problem,) = colour_problems(chairs("teal", own(name, "#007a78")))
        return str(problem.remedy)

    name = offered("Sea").split("{name: ")[1].split(",")[0]
    assert offered(name) == offered("Sea")


def test_tapes_of_sets_are_looked_at_too_and_black_tape_is_no_colour():
    def sets(*colours):
        return practice(sets={f"set-{n}": SETS["core"] | {"colour": c} for n, c in enumerate(colours, start=1)})

    (problem,) = colour_problems(sets("teal", own("Sea", "#007a78")))
    assert problem.path == "sets.set-2.colour"
    assert colour_problems(sets(None, None)) == ()
    assert colour_problems(sets("teal", "teal")) == ()


def test_the_figure_is_the_closest_pair():
    (figure,) = colour_figures(chairs("black", own("Orange", "#e69f00"), own("Purple", "#cc79a7")))
    # Okabe and Ito: 10.87 between these two for tritan eyes (SOURCES: Okabe and Ito).
    assert (figure.id, figure.value, figure.unit) == ("colours.chairs", 10.9, "ΔE00")
    assert "Orange (Chair 1) and Purple (Chair 1) are the hardest" in str(
        figure.why
    )  # every chair of the sample has one name
    assert "tritan" in str(figure.why)


def test_one_chair_alone_has_no_closest_pair():
    assert colour_figures(chairs("teal")) == ()


def large(count, **changed):
    """As many chairs as are proposed, one of them changed: `chair_3={"mark": "star"}`."""
    looks = propose_chairs((count,))
    tables = {
        f"chair-{look.number}": CHAIRS["chair-1"]
        | {"name": f"Chair {look.number}", "colour": own(str(look.colour.name), look.colour.hex), "mark": look.mark}
        | changed.get(f"chair_{look.number}", {})
        for look in looks
    }
    return practice(chairs=tables)


def test_a_large_practice_with_the_looks_that_are_proposed_has_no_problem():
    for count in (13, 25, MOST_CHAIRS):
        assert colour_problems(large(count)) == ()
        (figure,) = [figure for figure in colour_figures(large(count)) if figure.id == "colours.chairs"]
        assert isinstance(figure.value, float) and figure.value >= 10, (
            "one colour twice is no pair that is hard to tell apart"
        )


@pytest.mark.parametrize("field", ["colour", "mark"])
def test_chairs_beside_each_other_that_share_one_of_the_two_are_warned_of(field):
    before = propose_chairs((20,))[4]
    shared = own(str(before.colour.name), before.colour.hex) if field == "colour" else before.mark
    found = [problem for problem in colour_problems(large(20, chair_6={field: shared})) if "chair-6" in problem.path]
    assert [(problem.rule, problem.path) for problem in found] == [(f"one-{field}-beside", f"chairs.chair-6.{field}")]
    assert f"'chair-5', the chair before it, has the same {field}" in str(found[0].message)
