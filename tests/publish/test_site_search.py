"""What the search knows."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest
import sample_site

from kitdocs.document.blocks import Cell, Matrix
from kitdocs.document.card import Handbook
from kitdocs.document.catalog import built_in_catalog, catalog_for
from kitdocs.handbook.rules.triggers import TRIGGERS
from kitdocs.publish.site.search import entries, folded, other_names, search_index

ENGLISH, SPANISH = sample_site.handbooks()


def index(language: str) -> dict[str, list[dict[str, object]]]:
    text = search_index(ENGLISH if language == "en" else SPANISH, (ENGLISH, SPANISH)).decode()
    assert text.startswith("self.KITDOCS_INDEX = ")
    told: dict[str, list[dict[str, object]]] = json.loads(text.removeprefix("self.KITDOCS_INDEX = ").rstrip(";\n"))
    return told


@pytest.mark.parametrize(
    ("text", "plain"),
    [("Plantilla BÁSICA", "plantilla basica"), ("sillón", "sillon"), ("Año", "ano"), ("plier", "plier")],
)
def test_accents_and_capitals_do_not_matter(text: str, plain: str) -> None:
    assert folded(text) == plain


@pytest.mark.parametrize(
    ("language", "name", "others"),
    [
        ("es", "Pinza Weingart", {"alicate", "tenaza"}),
        ("es", "Pinzas de ortodoncia", {"alicate", "tenaza"}),
        ("es", "Retractor de carrillos", {"separador", "abrebocas"}),
        ("es", "Esterilizador de vapor", {"autoclave"}),
        ("en", "Bird-beak plier", {"pincers"}),
        ("en", "Setting the table", set()),
    ],
)
def test_regional_second_names_are_known(language: str, name: str, others: set[str]) -> None:
    # From memory of what technicians in Mexico, the United States, Spain and South America call these things.
    assert other_names(built_in_catalog(language), [name]) == others


def test_a_thing_is_found_by_its_second_name_in_every_language() -> None:
    for language in ("en", "es"):
        things = {str(thing["n"]): thing["o"] for thing in index(language)["things"]}
        spare = next(others for name, others in things.items() if name in ("Spare pouch", "Bolsa de repuesto"))
        assert {"bag", "sobre", "refacción"} <= set(spare)  # type: ignore[call-overload]


def test_a_thing_on_several_cards_is_found_once_with_all_its_cards() -> None:
    things = {str(thing["n"]): thing for thing in index("en")["things"]}
    spare = things["Spare pouch"]
    cards = [ENGLISH.cards[number].id for number in spare["i"]]  # type: ignore[attr-defined]
    assert cards == [*(f"r/{chair}" for chair in sample_site.CHAIRS), "drawer/teal"]
    assert len(spare["p"]) == 4  # type: ignore[arg-type]


def test_every_card_is_known_with_its_words_and_its_colour() -> None:
    cards = {str(card["u"]): card for card in index("es")["cards"]}
    assert len(cards) == len(SPANISH.cards)
    teal = cards["es/r/teal.html"]
    assert teal["c"] == "band c-00766c-ffffff"
    assert teal["m"] == "assets/pictures/mark-circle-ffffff.svg"
    assert teal["k"] == "Tarjetas de reposición"
    assert "alicate pico de pájaro" in str(teal["x"])
    assert "reposo" not in str(teal["x"])


def test_prose_tables_and_cautions_are_searched_but_names_of_files_are_not() -> None:
    words = " ".join(str(card["x"]) for card in index("en")["cards"])
    for said in ("Nothing loose.", "Bonding pouch", "Wet, torn", "Lot of the control", "At most 9 basic sets"):
        assert said in words
    for unsaid in ("tip-", "#00766c", "https://guidance.example", "svg"):
        assert unsaid not in words


def test_other_cards_in_a_key_are_found_as_cards_only() -> None:
    assert "Chair 1" not in {thing["n"] for thing in index("en")["things"]}


def test_a_row_of_a_table_answers_by_itself() -> None:
    things = {str(thing["n"]): thing for thing in index("en")["things"]}
    assert things["Bonding"]["d"] == "Set: Basic set BAS · Add-on pouches: Bonding pouch · Minutes: 55"
    assert things["Wire change"]["d"] == "Set: Basic set BAS · Minutes: 30", "what is empty is not said"
    assert [ENGLISH.cards[number].id for number in things["Bonding"]["i"]] == ["map"]  # type: ignore[attr-defined]
    assert things["BAS"]["d"] == "Strips: 3", "in running text, too"
    assert "8:00" not in things, "figures are compared down a column"


def test_a_row_about_a_thing_with_a_picture_is_one_more_place_of_it() -> None:
    told = [thing for thing in index("en")["things"] if thing["n"] == sample_site.AWKWARD]
    assert len(told) == 1
    assert told[0]["d"] == "scissors"
    assert "map" in [ENGLISH.cards[number].id for number in told[0]["i"]]  # type: ignore[attr-defined]


def test_the_list_of_everything_is_in_the_order_of_the_alphabet() -> None:
    names = [folded(entry.name) for entry in entries(SPANISH)]
    assert names == sorted(names)
    assert len(names) > len(SPANISH.cards)


def test_what_a_thing_or_card_is_called_in_the_other_language_is_known() -> None:
    english = {str(thing["n"]): thing["o"] for thing in index("en")["things"]}
    assert "Bolsa de repuesto" in str(english["Spare pouch"])
    assert "Cambio de arco" in str(english["Wire change"]), "rows of tables, too"
    cards = {str(card["u"]): card["o"] for card in index("en")["cards"]}
    assert cards["r/teal.html"] == ["Sillón 1", "turquesa"]
    assert {str(card["u"]): card["o"] for card in index("es")["cards"]}["es/r/teal.html"] == ["Chair 1", "teal"]


def test_a_handbook_in_one_language_knows_no_other_names() -> None:
    told = json.loads(search_index(ENGLISH, (ENGLISH,)).decode().removeprefix("self.KITDOCS_INDEX = ").rstrip(";\n"))
    found = {name for entry in (*told["cards"], *told["things"]) for name in entry["o"]}
    assert found <= {name for text in ENGLISH.words.part("synonyms").values() for name in text.split(", ")}


def test_a_thing_that_has_a_page_of_its_own_is_found_there_only() -> None:
    cards = {str(card["u"]): card for card in index("en")["cards"]}
    assert cards["i/hook-crimper.html"]["t"] == "Hook-crimping plier"
    assert cards["i/hook-crimper.html"]["p"] == ["assets/pictures/tip-hook-crimping-plier.svg"]
    assert "Hook-crimping plier" not in {thing["n"] for thing in index("en")["things"]}


def test_every_answer_of_the_card_for_what_went_wrong_is_known_with_what_people_say(
    example_handbooks: tuple[Handbook, ...],
) -> None:
    told = []
    for book in example_handbooks:
        text = search_index(book, example_handbooks).decode().removeprefix("self.KITDOCS_INDEX = ").rstrip(";\n")
        told.append({str(answer["u"]).partition("#")[2]: answer for answer in json.loads(text)["answers"]})
    english, spanish = told
    assert english.keys() == spanish.keys()
    # No label of the example has a date; three others are asked at the spares or at a drawer.
    assert english.keys() == TRIGGERS.keys() - {"no-spare", "opened", "unopened"}
    words = example_handbooks[0].words
    for trigger, answer in english.items():
        assert answer["q"] == words(f"rules.when.{trigger}")
        assert answer["u"] == f"mishaps.html#{trigger}"
        assert answer["h"] == words(f"heard.{trigger}")
        assert answer["o"] == [spanish[trigger]["q"], spanish[trigger]["h"]]
        assert all(answer["a"]), trigger


def test_a_practice_has_synonyms_of_its_own() -> None:
    words = catalog_for("en", {"en": {"synonyms.splint": "bite plate, night guard", "synonyms.plier": "plier, grips"}})
    assert other_names(words, ["Bite plates"]) == {"night guard"}
    assert other_names(words, ["Weingart plier"]) == {"grips"}


def test_a_row_is_called_in_the_other_language_as_the_row_of_the_same_table() -> None:
    def book(of: Handbook, *names: str) -> Handbook:
        tables = [Matrix(head=("Way", "Code"), rows=((Cell(text=name), Cell(text="N")),)) for name in names]
        card = replace(of.card("map"), back=())
        cards = (replace(card, front=tuple(tables[:2])), replace(card, id="map2", front=tuple(tables[2:])))
        return replace(of, cards=cards)

    english, spanish = book(ENGLISH, "North", "South", "East"), book(SPANISH, "Norte", "Sur", "Este")
    told = json.loads(
        search_index(english, (english, spanish)).decode().removeprefix("self.KITDOCS_INDEX = ").rstrip(";\n")
    )
    assert {thing["n"]: thing["o"] for thing in told["things"]} == {
        "North": ["Norte"],
        "South": ["Sur"],
        "East": ["Este"],
    }
