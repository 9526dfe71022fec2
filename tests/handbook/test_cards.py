"""What must stand on the cards of the example practice."""

from __future__ import annotations

import dataclasses
import io
import re
import string
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from pathlib import Path
from typing import TypeVar, get_args

import pytest
from PIL import Image

from kitdocs.document.blocks import (
    Band,
    Block,
    Caution,
    Chart,
    Code,
    Facts,
    Illustration,
    Items,
    Matrix,
    Picture,
    Steps,
)
from kitdocs.document.card import Card, Handbook, PostingLocation
from kitdocs.document.catalog import built_in_catalog
from kitdocs.drawings.codes import room_for_code
from kitdocs.handbook.book import handbook_of
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.build_handbook import make_handbook
from kitdocs.handbook.fixed_size import cards_of_fixed_size
from kitdocs.handbook.pictures import drawn_once
from kitdocs.planning.day.usual_loads import UsualLoad
from kitdocs.planning.plan import Plan
from kitdocs.practice.kinds import AREAS
from kitdocs.practice.model import Practice
from kitdocs.practice.photos import upright_photo
from kitdocs.practice.problems import KitdocsError
from kitdocs.shipped import shipped_languages

T = TypeVar("T")


def the(kind: type[T], card: Card) -> list[T]:
    return [block for block in card.blocks if isinstance(block, kind)]


def pictures(thing: object) -> Iterator[Picture]:
    if isinstance(thing, Picture):
        yield thing
    elif isinstance(thing, tuple):
        for part in thing:
            yield from pictures(part)
    elif dataclasses.is_dataclass(thing):
        for field in dataclasses.fields(thing):
            yield from pictures(getattr(thing, field.name))


def test_a_chairs_card_lists_each_pouch_of_its_drawer_with_its_par(
    english: Handbook, example: Practice, example_plan: Plan
) -> None:
    for chair, of in example.chairs.items():
        items = the(Items, english.card(f"r/{chair}"))[0]
        assert isinstance(items, Items) and items.ticks
        assert {item.id: item.count for item in items.items} == {p: example_plan.par[chair, p] for p in of.drawer}
        for item in items.items:
            assert len(item.pictures) == len(set(example.pouches[item.id].contents)), "a tip for each instrument"


def without_code(card: Card) -> Card:
    """The card with as much room for its code as that takes."""

    def emptied(block: Block) -> Block:
        if not isinstance(block, Code):
            return block
        room = room_for_code(block.picture.width_mm)
        return dataclasses.replace(block, picture=drawn_once("code", room, block.picture.alt))

    return dataclasses.replace(card, front=tuple(map(emptied, card.front)), back=tuple(map(emptied, card.back)))


def test_check_measures_the_same_cards_of_fixed_size_as_the_handbook_has(
    example: Practice, example_plan: Plan, example_handbooks: tuple[Handbook, ...]
) -> None:
    for alone, whole in zip(cards_of_fixed_size(example, example_plan), example_handbooks, strict=True):
        of_one_size = [card for card in whole.cards if card.form in ("poster", "wall", "template")]
        assert alone.cards == tuple(without_code(card) for card in of_one_size) != ()
        assert alone.labels == whole.labels
        assert (alone.language, alone.card_mm, alone.text_mm) == (whole.language, whole.card_mm, whole.text_mm)


def test_a_written_par_stands_on_the_card_as_written(english: Handbook, example: Practice) -> None:
    written = {(c, p): n for c, of in example.chairs.items() for p, n in of.drawer.items() if n != "auto"}
    assert written
    for (chair, pouch), count in written.items():
        items = the(Items, english.card(f"r/{chair}"))[0]
        assert isinstance(items, Items)
        assert next(item.count for item in items.items if item.id == pouch) == count


def test_there_is_a_refill_card_for_every_chair_add_on_and_set(english: Handbook, example: Practice) -> None:
    wall = {card.id for card in english.cards if card.form == "wall"}
    add_ons = {f"p/{p}" for p, of in example.pouches.items() if of.kind == "add-on"}
    assert wall == {f"r/{c}" for c in example.chairs} | add_ons | {f"s/{s}" for s in example.sets}
    assert Counter(card.kind for card in english.cards)["pouch-list"] == len(example.chairs)
    assert Counter(card.kind for card in english.cards)["template"] == len(example.sets)


def test_a_chairs_band_has_its_colour_its_mark_and_both_names(english: Handbook, example: Practice) -> None:
    for chair, of in example.chairs.items():
        (band,) = the(Band, english.card(f"r/{chair}"))
        assert isinstance(band, Band)
        assert band.colour == of.colour.hex and band.name == of.name.in_language("en")
        assert band.word.lower() == of.colour.name.in_language("en").lower()
        assert band.mark is not None and band.mark.alt == of.mark


@pytest.mark.parametrize("kind", ["refill-chair", "refill-set", "refill-add-on"])
def test_the_next_card_leads_round_all_of_its_kind(english: Handbook, kind: str) -> None:
    pages = [card.id for card in english.cards if card.kind == kind]
    walked, here = pages[:1], english.card(pages[0]).next
    while here != pages[0]:
        walked.append(here)
        here = english.card(here).next
    assert walked == pages and len(pages) > 1


def test_a_template_numbers_its_places_in_the_order_of_sets_yaml(english: Handbook, example: Practice) -> None:
    for set_id, of in example.sets.items():
        card = english.card(f"t/{set_id}")
        items = the(Items, card)[0]
        assert isinstance(items, Items)
        assert [item.number for item in items.items] == list(range(1, len(of.contents) + 1))
        assert [item.id.split("-", 1)[1] for item in items.items] == list(of.contents)
        (drawing,) = the(Illustration, card)
        assert isinstance(drawing, Illustration) and drawing.true_size
        assert drawing.picture.width_mm >= example.cassettes[of.cassette].inside.length


def test_every_code_holds_its_pages_address_and_its_cards_edition(example_handbooks: tuple[Handbook, ...]) -> None:
    for handbook in example_handbooks:
        coded = [(card, code) for card in handbook.cards for code in the(Code, card)]
        assert sorted(card.id for card, _ in coded) == sorted(card.id for card in handbook.cards if card.is_kept)
        assert len(coded) > 50
        for card, code in coded:
            assert isinstance(code, Code)
            assert code.encoded == f"https://handbook.example/{handbook.folder}{card.id}.html#{card.edition}"
            assert code.encoded == f"https://{code.address}#{code.edition}"
            # At least 25 mm, common practice; what hangs, or has a coloured band, has 28 mm (ours).
            assert code.picture.data and code.picture.width_mm >= 25
            if card.form in ("wall", "template", "poster") or card.place == "drawer":
                assert code.picture.width_mm >= 28


def test_ticks_begin_anew_at_each_restocking_or_when_the_practice_says(example: Practice, example_plan: Plan) -> None:
    def rounds(**stated: tuple[int, ...]) -> tuple[int, ...]:
        practice = dataclasses.replace(example, room=example.room.model_copy(update=stated))
        return handbook_of(Brief(practice=practice, plan=example_plan, words=built_in_catalog("en")), ()).rounds

    assert rounds() == (8 * 60, 12 * 60 + 30, 16 * 60 + 30)
    assert rounds(rounds=(13 * 60, 7 * 60)) == (7 * 60, 13 * 60)


def test_the_pages_name_everybody_to_ask_in_their_language(english: Handbook, spanish: Handbook) -> None:
    assert english.ask[0] == ("Reprocessing lead", "reprocessing room, extension 14")
    assert [who for who, _ in spanish.ask] == [
        "Responsable de esterilización",
        "Coordinación clínica",
        "Responsable de control de infecciones",
    ]


@pytest.mark.usefixtures("codes_alike")
def test_a_code_that_is_scanned_from_further_away_is_printed_larger(example: Practice, example_plan: Plan) -> None:
    # Side ≥ scanning distance ÷ 10: common practice, no source.
    far = dataclasses.replace(example, settings=example.settings.model_copy(update={"scanning_distance": 450.0}))
    handbook = make_handbook(far, example_plan)
    assert {code.picture.width_mm for card in handbook.cards for code in the(Code, card)} == {45.0}


@pytest.mark.whole
def test_without_a_site_the_code_holds_the_card_itself_and_the_card_says_so(
    example: Practice, example_plan: Plan
) -> None:
    alone = dataclasses.replace(example, settings=example.settings.model_copy(update={"site": None}))
    handbook = make_handbook(alone, example_plan)
    (code,) = the(Code, handbook.card("r/chair-1"))
    assert isinstance(code, Code)
    assert code.encoded.splitlines()[0] == "Chair 1 · Teal"
    assert code.encoded.splitlines()[-1] == handbook.card("r/chair-1").edition
    assert "no site" in code.note and not code.address
    for card in handbook.cards:
        for block in the(Code, card):
            assert isinstance(block, Code)
            assert block.picture.width_mm <= 40, card.id


def test_the_first_day_goes_through_the_room_from_dirty_to_clean(english: Handbook) -> None:
    # CDC, Guidelines for Infection Control in Dental Health-Care Settings 2003, MMWR 52(RR-17), part VI:
    # receiving, cleaning and decontamination; preparation and packaging; sterilization; storage.
    assert AREAS == ("receiving", "packaging", "sterilization", "storage")
    stations, nevers = (block for block in english.card("first-day").blocks if isinstance(block, Steps))
    order = ["Receiving and cleaning", "Preparation and packaging", "Sterilization", "Storage"]
    assert [step.text.split(".")[0] for step in stations.steps] == order
    assert len(nevers.steps) == 5 and not nevers.numbered


def test_the_procedure_map_goes_both_ways(english: Handbook, example: Practice) -> None:
    forward, back, _ = the(Matrix, english.card("map"))
    assert isinstance(forward, Matrix) and isinstance(back, Matrix)
    assert len(forward.rows) == len(example.procedures)
    for procedure, row in zip(example.procedures.values(), forward.rows, strict=True):
        name, set_name = row[0].text, row[1].text
        assert name == procedure.name.in_language("en")
        (of_set,) = (r for r in back.rows if r[0].text == set_name)
        assert name in of_set[1].text.split(" · ")


def test_what_is_in_no_set_and_no_pouch_stands_on_the_procedures_line(english: Handbook) -> None:
    by_procedure = next(block for block in english.card("map").blocks if isinstance(block, Matrix))
    told = {row[0].text: row[2].detail for row in by_procedure.rows if row[2].detail}
    assert told == {"Debonding": "single-use: Adhesive-finishing bur"}


def test_every_card_but_the_list_itself_stands_among_the_current_cards(english: Handbook) -> None:
    """Common practice, no source: whoever checks a manual walks from place to place, and ticks and initials each."""
    tables = the(Matrix, english.card("current"))
    listed = []
    for table in tables:
        assert isinstance(table, Matrix)
        assert [cell.tick for cell in table.rows[0][-2:]] == [True, False]
        for row in table.rows:
            listed.append((row[0].link, row[table.head.index("Edition")].text))
            exact = table.head.index("Location") if "Location" in table.head else -1
            assert english.card(row[0].link).hangs == (row[exact].text if exact > 0 else table.title)
    printed = [card for card in english.cards if card.id != "current" and card.form not in ("page", "paper")]
    assert sorted(listed) == sorted((card.id, card.edition) for card in printed)
    assert [english.card(table.rows[0][0].link).place for table in tables] == [
        place for place in get_args(PostingLocation) if any(card.place == place for card in printed)
    ]


def test_a_load_guide_never_reads_as_if_all_sizes_of_pouch_went_in_together(
    english: Handbook, example_plan: Plan
) -> None:
    """A row has room for one size. 8 large and 12 medium and 16 small pouches would be three loads in one."""
    for guide in example_plan.load_guides:
        slots = the(Chart, english.card(f"load/{guide.stage}"))[-1]
        assert isinstance(slots, Chart) and "of one kind are still free" in slots.summary
        told = slots.picture.alt.split(". ")
        assert told[0].startswith("One kind alone fills a load: ")
        assert [part.split(",")[0] for part in told[1:]] == ["Beside A", "Beside B", "Beside C"]
        assert all(", still one of: " in part for part in told[1:])


def test_a_load_guide_shows_the_loads_that_are_most_frequent_and_fit_in_each_of_its_machines(
    example: Practice, example_plan: Plan
) -> None:
    def shown(loads: Iterable[Mapping[str, int]]) -> list[str]:
        usual = tuple(UsualLoad(cassettes=mix, share=0.1) for mix in loads)
        days = dataclasses.replace(example_plan.days, usual_loads={**example_plan.days.usual_loads, "sterilize": usual})
        book = make_handbook(example, dataclasses.replace(example_plan, days=days))
        slots = the(Chart, book.card("load/sterilize"))[-1]
        assert isinstance(slots, Chart)
        return slots.picture.alt.split("Beside ")[1:]

    # Four large fill a load; a machine that is larger than another of its stage may have had a fifth.
    told = shown([{"large": 5}, {"slim": 2, "large": 3}, {"medium": 1}, {"slim": 1}, {"large": 1}])
    assert [part.split(", still")[0] for part in told] == [
        "A, 3 × Large cassette + 2 × Slim cassette",
        "B, 1 × Medium cassette",
        "C, 1 × Slim cassette",
    ]
    # 1 - 1/6 of a load: three of 1/4, five of 1/6, six of 1/8 and so on.
    assert told[1].split("of: ")[1].strip() == (
        "Large cassette 3 · Medium cassette 5 · Slim cassette 6 · Large pouch 6 · Medium pouch 10 · Small pouch 13."
    )
    assert shown([]) == []


def test_no_step_speaks_of_hinges_or_shows_one_where_a_pouch_has_none(
    example_handbooks: tuple[Handbook, ...],
) -> None:
    # By hand: of the example's pouches, those with nothing that has a joint.
    straight = {"retractors", "photo", "handpiece-pouch", "strips", "screws"}
    for book in example_handbooks:
        rule = book.words("rules.hinged-open")
        for pouch in (card.id[2:] for card in book.cards if card.id.startswith("p/")):
            title = book.words("card.pouch-step.title")
            steps = next(block for block in the(Steps, book.card(f"p/{pouch}")) if block.title == title)
            names = [step.picture.name for step in steps.steps if step.picture]
            assert len(names) == 6
            assert any(rule in step.text for step in steps.steps) == (pouch not in straight), pouch
            assert ("pouch-step-1" in names) == (pouch not in straight), pouch
            assert ("pouch-step-1-straight" in names) == (pouch in straight), pouch


@pytest.mark.usefixtures("codes_alike")
def test_instruments_with_the_same_picture_are_told_apart_by_their_length(
    english: Handbook, example: Practice, example_plan: Plan
) -> None:
    def told(handbook: Handbook) -> dict[str, str]:
        items = the(Items, handbook.card("s/full-bonding"))[0]
        assert isinstance(items, Items)
        return {item.name: item.detail for item in items.items if item.detail}

    assert not told(english), "every piece of this set has a picture of its own"
    holder = example.instruments["tube-holder"].model_copy(update={"drawing": "bracket-holder"})
    alike = dataclasses.replace(example, instruments={**example.instruments, "tube-holder": holder})
    assert told(make_handbook(alike, example_plan)) == {
        "Bracket holder": "5½ in (140 mm)",
        "Molar tube holder": "6 in (152 mm)",
    }


def test_the_first_sheet_of_each_section_says_whose_word_counts_and_no_other_does(english: Handbook) -> None:
    for section, cards in english.sections:
        saying = [card.id for card in cards if any(block.title == "Whose word counts" for block in cautions(card))]
        sheets = [card.id for card in cards if card.form not in ("wall", "poster", "page")]
        assert saying == sheets[:1] or section == "Current cards", section
    said = " ".join(block.text for block in cautions(english.card("first-day")))
    assert "makers' instructions" in said and re.search(r"No card .*says that a load is sterile", said)


def cautions(card: Card) -> list[Caution]:
    return [block for block in card.blocks if isinstance(block, Caution)]


def test_cautions_on_heat_sharps_and_chemicals_are_where_the_hand_is(english: Handbook) -> None:
    for stage in ("wash", "sterilize"):
        assert isinstance(english.card(f"load/{stage}").front[0], Caution)  # above everything else
    sterilizer = cautions(english.card("load/sterilize"))[-1].text
    washer = " ".join(caution.text for caution in cautions(english.card("load/wash")))
    for word in ("utility gloves", "sharp", "Steam", "burns eyes and skin", "safety data sheet"):
        assert word in washer
    for word in ("burn", "steam", "heat-resistant gloves"):
        assert word in sterilizer


def test_every_language_has_the_same_cards_in_its_own_words(english: Handbook, spanish: Handbook) -> None:
    assert [card.id for card in english.cards] == [card.id for card in spanish.cards]
    for one, other in zip(english.cards, spanish.cards, strict=True):
        assert one.title != other.title, one.id
        assert one.edition != other.edition


def test_the_languages_say_the_same_things_with_the_same_placeholders() -> None:
    def placeholders(sentence: str) -> set[str]:
        return {name for _, name, _, _ in string.Formatter().parse(sentence) if name is not None}

    english = built_in_catalog("en").sentences
    assert set(shipped_languages()) >= {"en", "es"}
    for language in shipped_languages():
        sentences = built_in_catalog(language).sentences
        assert set(sentences) == set(english), language
        for key, sentence in sentences.items():
            assert placeholders(sentence) == placeholders(english[key]), (language, key)
            assert sentence.strip() == sentence and sentence


def test_a_language_without_words_is_refused_by_name(example: Practice, example_plan: Plan) -> None:
    there = ", ".join(shipped_languages())
    with pytest.raises(KitdocsError, match=f"no words for the language 'it'; it has {there}"):
        make_handbook(example, example_plan, "it")


def test_pictures_of_one_name_are_one_picture(example_handbooks: tuple[Handbook, ...]) -> None:
    found: dict[str, bytes] = {}
    for handbook in example_handbooks:
        for picture in pictures(handbook.cards):
            assert found.setdefault(picture.name, picture.data) == picture.data, picture.name
    assert len(found) > 80


@pytest.mark.usefixtures("codes_alike")
def test_a_photo_takes_the_place_of_a_drawing_without_what_the_camera_added(
    example: Practice, example_plan: Plan, tmp_path: Path
) -> None:
    path = tmp_path / "mirror.jpg"
    exif = Image.Exif()
    exif[0x0112] = 6  # Orientation: the camera lay on its side (Exif 2.3, tag 274)
    exif[0x010E] = "where it was taken"  # ImageDescription
    Image.new("RGB", (2000, 1000), "red").save(path, exif=exif)
    handbook = make_handbook(dataclasses.replace(example, photos={"mirror": path}), example_plan)
    photos = {p.name: p for p in pictures(handbook.cards) if p.format == "jpeg"}
    (photo,) = photos.values()
    image = Image.open(io.BytesIO(photo.data))
    assert image.size == (600, 1200), "turned upright, and no larger than a phone shows"
    assert not image.getexif() and b"where it was taken" not in photo.data
    assert photo.height_mm == pytest.approx(2 * photo.width_mm)


def test_a_photo_that_is_changed_is_read_again(tmp_path: Path) -> None:
    path = tmp_path / "mirror.png"
    Image.new("RGB", (40, 20), "red").save(path)
    before = upright_photo(path)
    assert upright_photo(path) is before
    Image.new("RGB", (40, 30), "blue").save(path)
    assert upright_photo(path).height_px == 30


def test_the_wrap_facts_come_from_the_plan(english: Handbook, example: Practice, example_plan: Plan) -> None:
    for set_id in example.sets:
        (facts,) = the(Facts, english.card(f"t/{set_id}"))
        assert isinstance(facts, Facts)
        sheet = example_plan.sheets[set_id].sheet
        assert sheet is not None
        assert example.room.sheets[sheet].name.in_language("en") in [fact.value for fact in facts.facts]


def test_stock_and_reorder_points_stand_on_a_card_as_planned(
    english: Handbook, example: Practice, example_plan: Plan
) -> None:
    sets, pouches, _spares, supplies = the(Matrix, english.card("stock"))
    assert isinstance(sets, Matrix) and isinstance(pouches, Matrix) and isinstance(supplies, Matrix)
    assert [int(row[1].text) for row in sets.rows] == [example_plan.days.stock[s] for s in example.sets]
    assert [int(row[1].text) for row in pouches.rows] == [example_plan.days.pouch_stock[p] for p in example.pouches]
    used = [use for use in example_plan.supplies if use.per_day]
    assert [row[1].text for row in supplies.rows] == [f"{use.reorder_at:,}" for use in used]
    assert len(used) >= 8


def test_every_page_has_a_name_that_every_system_can_store(example_handbooks: tuple[Handbook, ...]) -> None:
    """POSIX: portable filename character set (IEEE 1003.1, 3.282; from memory), here in lower case only."""
    names = [f"{handbook.folder}{card.id}.html" for handbook in example_handbooks for card in handbook.cards]
    assert len(names) > 100
    assert [name for name in names if not re.fullmatch(r"[a-z0-9._/-]{1,150}", name)] == []
    assert len({name.casefold() for name in names}) == len(names)
