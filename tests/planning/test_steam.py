import pytest
from invented_practice import ROOM, practice

from kitdocs.planning.measures.steam import least_times, steam_figures, steam_problems
from kitdocs.practice.room import Steam


def steam(type_, temperature, exposure, drying):
    return {
        "type": type_,
        "temperature": temperature,
        "exposure": f"{exposure} min",
        "drying": f"{drying} min",
    }


def sterilizing(*cycle, takes=60, margin=None, cooling=30):
    stated = steam(*cycle) | ({"margin": f"{margin} min"} if margin is not None else {})
    stage = ROOM["stages"]["sterilize"] | {"steam": stated, "cycle": f"{takes} min"}
    rest = {"name": "Cool", "area": "sterilization", "kind": "rest", "takes": f"{cooling} min"}
    return practice(room={"stages": {"sterilize": stage} | ({"cool": rest} if cooling else {})})


@pytest.mark.parametrize(("temperature", "known"), [("131.5 C", True), ("132.5 C", True), ("132.6 C", False)])
def test_half_a_degree_beside_the_table_is_still_its_temperature(temperature, known):
    cycle = Steam.model_validate(steam("gravity", temperature, 15, 15))
    assert (least_times(cycle) is not None) is known


# SOURCES: CDC 2008, table 7, rows 'wrapped instruments': exposure and the lower end of drying.
@pytest.mark.parametrize(
    ("type_", "temperature", "exposure", "drying"),
    [
        ("gravity", "121 C", 30, 15),
        ("gravity", "250 F", 30, 15),
        ("gravity", "132 C", 15, 15),
        ("gravity", "270 F", 15, 15),
        ("dynamic-air-removal", "132 C", 4, 20),
        ("dynamic-air-removal", "270 F", 4, 20),
    ],
)
def test_the_least_times_are_those_of_table_7_and_a_minute_less_is_a_warning(type_, temperature, exposure, drying):
    assert steam_problems(sterilizing(type_, temperature, exposure, drying)) == ()
    short = steam_problems(sterilizing(type_, temperature, exposure - 1, drying - 1))
    assert [problem.rule for problem in short] == ["steam-exposure-short", "steam-drying-short"]
    assert {problem.severity for problem in short} == {"warning"}


def test_the_warning_quotes_table_and_row():
    problem, _ = steam_problems(sterilizing("dynamic-air-removal", "132 C", 3, 16))
    assert problem.path == "room.stages.sterilize.steam.exposure"
    assert str(problem.message) == (
        "3 min of exposure is less than the 4 min of CDC 2008, table 7, row 'dynamic air removal, wrapped "
        "instruments', at 132 °C"
    )


@pytest.mark.parametrize(
    ("type_", "temperature"),
    # The table ends at 132 °C, and has no times for dynamic air removal at 121 °C (SOURCES: CDC 2008).
    [("gravity", "135 C"), ("dynamic-air-removal", "134 C"), ("dynamic-air-removal", "121 C")],
)
def test_a_cycle_that_table_7_does_not_know_is_said_not_to_be_in_it(type_, temperature):
    assert least_times(Steam.model_validate(steam(type_, temperature, 10, 30))) is None
    (problem,) = steam_problems(sterilizing(type_, temperature, 10, 30))
    assert problem.rule == "steam-not-in-the-table"
    assert "CDC 2008, table 7 gives no times for" in str(problem.message)


def test_a_cycle_shorter_than_its_parts_is_a_warning():
    (problem,) = steam_problems(sterilizing("gravity", "132 C", 15, 15, takes=29))
    assert (problem.rule, problem.path) == ("cycle-shorter-than-its-parts", "room.stages.sterilize.cycle")


def test_a_cycle_that_leaves_less_than_15_min_for_the_rest_of_it_is_a_warning():
    # 15 min for heating, air removal, exhaust, loading and unloading: our estimate, common practice, no source.
    (problem,) = steam_problems(sterilizing("dynamic-air-removal", "132 C", 4, 30, takes=42))
    assert (problem.rule, problem.path) == ("cycle-leaves-too-little", "room.stages.sterilize.cycle")
    assert "that leaves 8 min for heating" in str(problem.message) and "at least 49 min" in str(problem.remedy)
    assert steam_problems(sterilizing("dynamic-air-removal", "132 C", 4, 30, takes=49)) == ()
    assert steam_problems(sterilizing("dynamic-air-removal", "132 C", 4, 30, takes=42, margin=8)) == ()


def test_packs_that_cool_for_less_than_30_min_are_a_warning():
    # SOURCES: ANSI/AAMI ST79. At least 30 minutes.
    (problem,) = steam_problems(sterilizing("dynamic-air-removal", "132 C", 4, 30, cooling=29))
    assert (problem.rule, problem.path) == ("cooling-short", "room.stages.cool.takes")
    (problem,) = steam_problems(sterilizing("dynamic-air-removal", "132 C", 4, 30, cooling=0))
    assert (problem.rule, problem.path) == ("no-cooling", "room.stages.sterilize")


def test_the_figure_adds_exposure_and_drying_beside_the_table():
    (figure,) = steam_figures(sterilizing("dynamic-air-removal", "132 C", 4, 30))
    assert (figure.id, figure.value, figure.unit) == ("steam.sterilize", 34, "min")
    assert "at least 4 + 20 min" in str(figure.why)


def test_a_sterilizer_without_stated_steam_is_not_judged():
    assert (steam_problems(practice()), steam_figures(practice())) == ((), ())
