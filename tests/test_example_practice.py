"""The invented practice that travels with kitdocs: whole, plausible, and free of unexplained warnings."""

from __future__ import annotations

import re
from collections import Counter
from itertools import combinations

import numpy as np
import pytest
from references import colour_science

from kitdocs.planning.measures.wrap import sheets_for_cassettes
from kitdocs.planning.plan import make_plan
from kitdocs.practice.model import Practice
from kitdocs.practice.reading.reader import read_practice
from kitdocs.practice.values import Text
from kitdocs.shipped import shipped_folder
from kitdocs.starter import schema_files

FOLDER = shipped_folder("example_practice")


@pytest.fixture(scope="module")
def practice() -> Practice:
    return read_practice(FOLDER)


def kept(practice: Practice) -> set[str]:
    """The instruments that are used again: single-use ones are in no set, no pouch and no stock list."""
    return {id_ for id_, instrument in practice.instruments.items() if not instrument.single_use}


def test_its_only_warnings_are_those_that_somebody_accepted(practice: Practice) -> None:
    assert [str(problem) for problem in practice.problems if not problem.accepted] == []
    assert len(practice.problems) == len(practice.settings.accepted) >= 1


def test_it_is_as_large_as_a_practice_that_needs_a_handbook(practice: Practice) -> None:
    kinds = Counter(pouch.kind for pouch in practice.pouches.values())
    sizes = Counter(kit.cassette for kit in practice.sets.values())
    assert len(practice.chairs) >= 6
    assert len(practice.procedures) >= 10
    assert len(practice.instruments) >= 24
    assert len(practice.sets) >= 5
    assert len(sizes) == 3
    assert max(sizes.values()) >= 2
    assert kinds["add-on"] >= 4
    assert kinds["drawer"] >= 4
    assert practice.stock.keys() == kept(practice)


def test_its_busy_day_is_a_usual_one_and_fits_the_chairs(practice: Practice) -> None:
    # Common practice, no source: 40 to 120 patients a day is the usual range.
    assert 40 <= sum(p.per_day for p in practice.procedures.values()) <= 120
    day = practice.settings.day
    assert day.pause
    open_minutes = day.closes - day.opens - (day.pause.end - day.pause.start)
    booked = sum(p.per_day * p.minutes for p in practice.procedures.values())
    assert 0.7 <= booked / (open_minutes * len(practice.chairs)) <= 0.85


def test_its_plan_holds_and_adds_no_warning(practice: Practice) -> None:
    plan = make_plan(practice, days=20)
    assert [str(problem) for problem in plan.problems if not problem.accepted] == []
    # Its own claim in room.yaml: the last load is out in the evening, well before opening the next day.
    assert 18 * 3600 < plan.days.ends.high < 21 * 3600


def test_it_is_halfway_through_the_change(practice: Practice) -> None:
    needed = Counter(
        i for id_, n in make_plan(practice, days=20).days.stock.items() for i in practice.sets[id_].contents * n
    )
    short = [i for i, n in needed.items() if practice.stock[i].on_hand < n]
    assert 0 < len(short) < len(needed)
    assert all(practice.stock[i].on_hand >= n / 3 for i, n in needed.items())


def test_every_instrument_set_and_pouch_is_used(practice: Practice) -> None:
    carried = {i for kit in practice.sets.values() for i in kit.contents}
    carried |= {i for pouch in practice.pouches.values() for i in pouch.contents}
    assert carried == kept(practice)
    needed = {i for procedure in practice.procedures.values() for i in procedure.needs}
    once = practice.instruments.keys() - kept(practice)
    assert once and once <= needed
    assert {p.set for p in practice.procedures.values()} == practice.sets.keys()
    laid_on = {pouch for p in practice.procedures.values() for pouch in p.add_ons}
    in_drawers = {pouch for chair in practice.chairs.values() for pouch in chair.drawer}
    assert laid_on | in_drawers == practice.pouches.keys()


def test_its_drawers_mix_counts_of_its_own_with_computed_ones(practice: Practice) -> None:
    pars = [par for chair in practice.chairs.values() for par in chair.drawer.values()]
    assert "auto" in pars
    assert any(isinstance(par, int) for par in pars)


def test_a_slim_cassette_takes_an_18_inch_sheet_and_a_large_one_20_inches(practice: Practice) -> None:
    # Common practice, no source: a slim cassette is wrapped in an 18 in sheet, a large one in 20 in.
    sides = {c: choice.side_mm for c, choice in sheets_for_cassettes(practice).items()}
    assert sides["slim"] == pytest.approx(18 * 25.4)
    assert sides["large"] == pytest.approx(20 * 25.4)


def test_its_sterilizers_hold_what_such_chambers_usually_hold(practice: Practice) -> None:
    # Common practice, no source: a chamber of 11 in holds about 4 large or 8 slim cassettes.
    sterilize = practice.room.stages["sterilize"]
    assert sterilize.kind == "machine"
    assert sterilize.chamber
    assert sterilize.chamber.shape == "round"
    assert sterilize.chamber.diameter == pytest.approx(11 * 25.4)
    assert (sterilize.capacity["large"], sterilize.capacity["slim"]) == (4, 8)


def test_its_steam_cycle_is_no_shorter_than_the_published_minimum(practice: Practice) -> None:
    # CDC, Guideline for Disinfection and Sterilization in Healthcare Facilities, 2008, table 7:
    # dynamic-air-removal, wrapped instruments, 132 C: 4 min exposure, 20 to 30 min drying.
    sterilize = practice.room.stages["sterilize"]
    assert sterilize.kind == "machine"
    assert sterilize.steam
    assert (sterilize.steam.type, sterilize.steam.temperature) == ("dynamic-air-removal", 132)
    assert sterilize.steam.exposure >= 4
    assert sterilize.steam.drying >= 20
    assert sterilize.cycle >= sterilize.steam.exposure + sterilize.steam.drying


def test_its_stages_stand_in_the_published_order(practice: Practice) -> None:
    # CDC, Guidelines for Infection Control in Dental Health-Care Settings 2003, MMWR 52(RR-17), part VI:
    # receiving and cleaning; preparation and packaging; sterilization; storage.
    areas = list(dict.fromkeys(stage.area for stage in practice.room.stages.values()))
    assert areas == ["receiving", "packaging", "sterilization", "storage"]


@pytest.mark.parametrize("vision", ["normal", "Protanomaly", "Deuteranomaly", "Tritanomaly"])
def test_its_chair_colours_stay_apart_for_every_eye(practice: Practice, vision: str) -> None:
    # The matrices of Machado, Oliveira and Fernandes (2009), severity 1, and CIEDE2000, both as
    # colour-science has them; 10 is kitdocs' own limit, 18 is what chairs.yaml says of itself.
    seen = np.eye(3) if vision == "normal" else colour_science().CVD_MATRICES_MACHADO2010[vision][1.0]
    labs = {id_: _lab(chair.colour.hex, seen) for id_, chair in practice.chairs.items()}
    distances = {
        pair: float(colour_science().difference.delta_E_CIE2000(labs[pair[0]], labs[pair[1]]))
        for pair in combinations(labs, 2)
    }
    assert min(distances.values()) >= 18, min(distances, key=lambda pair: distances[pair])


def test_no_chair_wears_a_safety_colour(practice: Practice) -> None:
    # ISO 3864-4 by way of RAL 1003 and RAL 3001, approximate sRGB.
    for chair in practice.chairs.values():
        for safety in ("#f9a800", "#9b2423"):
            apart = colour_science().difference.delta_E_CIE2000(_lab(chair.colour.hex), _lab(safety))
            assert apart >= 10, f"{chair.name} is too near {safety}"


def test_everything_a_person_reads_is_there_in_both_languages(practice: Practice) -> None:
    room = practice.room
    named = [
        *practice.chairs.values(),
        *practice.instruments.values(),
        *practice.cassettes.values(),
        *practice.sets.values(),
        *practice.pouches.values(),
        *practice.procedures.values(),
        *room.stages.values(),
        *room.sheets.values(),
        *room.pouch_sizes.values(),
        *room.drawers.values(),
        *room.shelves.values(),
    ]
    words = [record.name for record in named] + [chair.colour.name for chair in practice.chairs.values()]
    words += [text for contact in practice.settings.ask for text in (contact.who, contact.where)]
    assert practice.settings.languages == ("en", "es")
    assert [str(text) for text in words if _lacks_a_language(text)] == []


def test_its_pages_say_the_same_in_both_languages(practice: Practice) -> None:
    assert {"house-rules", "phone-numbers", "welcome"} <= {page.id for page in practice.pages}
    for page in practice.pages:
        english, spanish = page.in_language("en", "en"), page.in_language("es", "en")
        assert english != spanish
        assert english.startswith("# ")
        assert _shape(english) == _shape(spanish), page.id
        assert re.findall(r"\b\d\d\b", english) == re.findall(r"\b\d\d\b", spanish), page.id


def test_every_yaml_file_names_its_schema_and_the_schema_is_the_current_one() -> None:
    files = sorted(FOLDER.glob("*.yaml"))
    assert len(files) == 8
    for file in files:
        schema = f"schemas/{file.stem}.schema.json"
        first = file.read_text(encoding="utf-8").splitlines()[0]
        assert first == f"# yaml-language-server: $schema={schema}"
    written = {f"schemas/{p.name}": p.read_text(encoding="utf-8") for p in (FOLDER / "schemas").iterdir()}
    assert written == schema_files(), "run `kitdocs schema` and keep what it writes"


def _lab(hex_: str, seen: np.ndarray | None = None) -> np.ndarray:
    light = colour_science().cctf_decoding(np.array([int(hex_[i : i + 2], 16) for i in (1, 3, 5)]) / 255)
    light = np.clip((np.eye(3) if seen is None else seen) @ light, 0, 1)
    xyz = colour_science().RGB_to_XYZ(light, "sRGB", apply_cctf_decoding=False)
    return colour_science().XYZ_to_Lab(
        xyz, colour_science().CCS_ILLUMINANTS["CIE 1931 2 Degree Standard Observer"]["D65"]
    )


def _lacks_a_language(text: Text) -> bool:
    return bool(text.plain) or text.lacks("en") or text.lacks("es")


def _shape(markdown: str) -> list[str]:
    """What begins the lines that begin something: headings, list items, table rows."""
    return re.findall(r"^(#+ |- |\d+\. |\|)", markdown, flags=re.MULTILINE)
