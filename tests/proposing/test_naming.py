"""Names of proposed sets and pouches: what a technician would say, short enough for a label, in each language."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest
from editing import edit
from small_practices import demand_of, written

from kitdocs.practice.codes import look_alike
from kitdocs.practice.shelves import Drawer
from kitdocs.practice.values import Text
from kitdocs.proposing.demand import Demand
from kitdocs.proposing.design import Design, PouchKind, SetKind
from kitdocs.proposing.naming import LONGEST, named
from kitdocs.proposing.packing import Packing

ALWAYS = "always"
DESIGN = Design(
    sets=(SetKind(("mirror", "explorer"), ("check", "adjust")), SetKind(("mirror", "director"), ("long",))),
    pouches=(
        PouchKind("add-on", ("bird-beak",), ("adjust",)),
        PouchKind("add-on", ("holder", "remover"), ("adjust",)),
        PouchKind("add-on", ("three-prong", "gauge"), ("adjust",)),
        PouchKind("add-on", ("gauge", "scaler", "cutter"), ("adjust", "check")),
    ),
)


@pytest.fixture
def demand(tmp_path: Path) -> Demand:
    needs = {i for kit in DESIGN.sets for i in kit.contents} | {i for pouch in DESIGN.pouches for i in pouch.contents}
    folder = written(
        tmp_path / "ours",
        {
            "adjust": (9, dict.fromkeys(sorted(needs), ALWAYS)),
            "check": (3, dict.fromkeys(sorted(needs), ALWAYS)),
            "long": (1, {"mirror": ALWAYS, "director": ALWAYS}),
        },
    )
    edit(folder / "practice.yaml", "languages: [en]", "languages: [en, es]")
    for id_, en, es in (
        ("adjust", "Archwire change", "Cambio de arco"),
        ("check", "Check", "Control"),
        ("long", "Fitting and cementing bands or an expander", "Ajuste y cementado de bandas o de un expansor"),
    ):
        edit(folder / "procedures.yaml", f"  name: {id_}\n", f"  name: {{en: {en}, es: {es}}}\n")
    return demand_of(folder)


def names_of(demand: Demand, design: Design = DESIGN) -> list[tuple[str, str]]:
    made = named(Packing(demand), design)
    names = [kit.name for kit in made.sets.values()] + [pouch.name for pouch in made.pouches.values()]
    return [(name.in_language("en"), name.in_language("es")) for name in names]


def test_sets_are_named_after_whom_they_are_for_and_pouches_after_what_is_in_them_or_for_whom(demand: Demand) -> None:
    """The names that a technician would say; a long name of a procedure gives way to what only its set holds."""
    assert names_of(demand) == [
        ("Archwire change set", "Juego de cambio de arco"),
        ("Director set", "Juego de director"),
        ("Bird-beak pouch", "Bolsa de bird-beak"),
        ("Archwire change pouch", "Bolsa de cambio de arco"),
        ("Three-prong pouch, with 1 more", "Bolsa de three-prong, con 1 más"),
        ("Scaler pouch, with 2 more", "Bolsa de scaler, con 2 más"),
    ]


def test_a_german_noun_keeps_its_capital_letter_in_a_name(demand: Demand) -> None:
    # SOURCES: official German spelling, § 55: nouns begin with a capital letter, wherever they stand.
    practice = demand.practice
    record = replace(practice, settings=practice.settings.model_copy(update={"languages": ("de",)}))
    german = {p: r.model_copy(update={"name": Text(plain="Bogenwechsel")}) for p, r in record.procedures.items()}
    made = named(Packing(replace(demand, practice=replace(record, procedures=german))), DESIGN)
    assert next(iter(made.sets.values())).name.in_language("de") == "Set Bogenwechsel"


def test_a_pouch_in_drawers_with_the_same_in_it_as_an_add_on_says_where_it_is(demand: Demand) -> None:
    design = replace(DESIGN, pouches=(DESIGN.pouches[0], PouchKind("drawer", ("bird-beak",), ("check",))))
    assert names_of(demand, design)[-2:] == [
        ("Bird-beak pouch", "Bolsa de bird-beak"),
        ("Bird-beak pouch for the drawer", "Bolsa de bird-beak para el cajón"),
    ]


def test_a_pouch_for_several_is_named_after_the_busiest_that_wants_all_of_it(demand: Demand) -> None:
    """And what tells it from others stands for what is in it, where no procedure does."""
    shared = PouchKind("add-on", ("holder", "remover", "mirror"), ("long", "check"))
    assert names_of(demand, replace(DESIGN, pouches=(shared,)))[-1] == ("Check pouch", "Bolsa de control")
    drawer = replace(shared, role="drawer")
    assert names_of(demand, replace(DESIGN, pouches=(drawer,)))[-1][0] == "Holder pouch, with 2 more"


def test_names_are_short_and_no_two_are_alike(demand: Demand) -> None:
    long = Text(plain="An instrument whose name is a sentence by itself")
    practice = demand.practice
    instruments = {
        i: record.model_copy(update={"name": long} if i in ("director", "bird-beak") else {})
        for i, record in practice.instruments.items()
    }
    names = names_of(Demand(practice=replace(practice, instruments=instruments)))
    assert max(len(name) for both in names for name in both) <= LONGEST
    assert len({english for english, _ in names}) == len({spanish for _, spanish in names}) == len(names)
    assert ("Set 1", "Juego 1") in names and ("Pouch 1", "Bolsa 1") in names


def test_a_name_that_is_a_little_long_is_better_than_a_number(demand: Demand) -> None:
    practice = demand.practice
    cutter = practice.instruments["bird-beak"].model_copy(
        update={"name": Text(plain="Alicate de corte de ligaduras fino")}
    )
    held = replace(practice, instruments={**practice.instruments, "bird-beak": cutter})
    assert ("Alicate de corte de ligaduras fino pouch", "Bolsa de alicate de corte de ligaduras fino") in names_of(
        Demand(practice=held)
    )


def test_codes_are_letters_of_what_is_named_and_no_two_sets_have_one_mark(demand: Demand) -> None:
    made = named(Packing(demand), DESIGN)
    codes = [kit.code for kit in made.sets.values()] + [pouch.code for pouch in made.pouches.values()]
    assert codes == ["AR", "DR", "BI", "AC", "TH", "SC"]  # "DI" reads as drawer D1
    marks = [kit.mark for kit in made.sets.values()]
    assert len(set(marks)) == len(marks)


def test_an_abbreviation_keeps_its_capitals(demand: Demand) -> None:
    practice = demand.practice
    procedures = {
        p: record.model_copy(update={"name": Text(plain="TADs")} if p == "adjust" else {})
        for p, record in practice.procedures.items()
    }
    assert names_of(Demand(practice=replace(practice, procedures=procedures)))[0] == ("TADs set", "Juego de TADs")


def test_no_pack_gets_the_code_of_a_place_in_the_store_or_one_that_looks_like_it(demand: Demand) -> None:
    before = [pouch.code for pouch in named(Packing(demand), DESIGN).pouches.values()]
    drawers = {
        f"drawer-{n}": Drawer(name=Text(plain=f"Drawer {n}"), code=code, holds="spares", width="300 mm", depth="300 mm")
        for n, code in enumerate(before)
    }
    room = demand.practice.room.model_copy(update={"drawers": drawers})
    elsewhere = replace(demand, practice=replace(demand.practice, room=room))
    after = [pouch.code for pouch in named(Packing(elsewhere), DESIGN).pouches.values()]
    assert not [(code, other) for code in after for other in before if code == other or look_alike(code, other)]
