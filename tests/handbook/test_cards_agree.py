"""Cards that different people read agree. Each test holds something that a reader of the whole handbook found.

What is asked for: CDC 2003, VI.F and VI.G, and the other documents of `tests/SOURCES.md`, by the records of the rules.
"""

from __future__ import annotations

import itertools
import re
from collections.abc import Iterator
from typing import get_args

import pytest
from test_rules import MARK, marked, texts

from kitdocs.document.blocks import Caution, Facts, Heading, Steps
from kitdocs.document.card import Handbook
from kitdocs.handbook.build_handbook import make_handbook
from kitdocs.handbook.rules.quote import DRAWER_ACCESS
from kitdocs.handbook.rules.rule import Group
from kitdocs.handbook.rules.triggers import TRIGGERS
from kitdocs.planning.plan import Plan
from kitdocs.practice.kinds import DrawerAccess
from kitdocs.practice.model import Practice

#: Rules by which the infection-control lead is called.
TELL_THE_LEAD = {"tell-lead", "tell-if-held", "hurt-tell"}


@pytest.fixture(scope="module")
def by_rule(example: Practice, example_plan: Plan) -> Handbook:
    """The example's handbook, each sentence of a rule replaced by its id."""
    return make_handbook(marked(example), example_plan)


def rules_of(book: Handbook, card: str) -> list[str]:
    return MARK.findall("".join(texts(book.card(card).blocks)))


@pytest.mark.parametrize(("language", "opening"), [("en", r"\bopen"), ("es", r"\bábra|\babr")])
def test_whatever_way_a_pouch_is_taken_with_used_hands_nearby_it_is_also_opened(
    example_handbooks: tuple[Handbook, ...], language: str, opening: str
) -> None:
    """With the used gloves on, nobody could follow “with clean hands”: the way out of the drawer says who opens it."""
    (book,) = (book for book in example_handbooks if book.language == language)
    assert len(DRAWER_ACCESS) == len(get_args(DrawerAccess)) > 3
    for rule in DRAWER_ACCESS:
        assert re.search(opening, book.words.sentences[f"rules.{rule}"], re.IGNORECASE), rule


def test_a_cassette_is_opened_and_looked_through_before_it_is_closed_for_the_washer(by_rule: Handbook) -> None:
    rules = rules_of(by_rule, "load/wash")
    for seen in ("hinged-open", "ratchet-released", "each-set-seen", "paper-out"):
        assert rules.index(seen) < rules.index("wash-rack"), seen


def test_a_cassette_gets_its_indicator_before_its_wrap_on_every_card_that_shows_the_fold(by_rule: Handbook) -> None:
    """CDC 2003, VI.F.3."""
    shown = 0
    for card in by_rule.cards:
        rules = MARK.findall("".join(texts(card.blocks)))
        if "envelope-1" in rules:
            shown += 1
            assert rules[rules.index("envelope-1") - 1] == "wrap-indicator", card.id
    assert shown > 6


def test_a_pack_is_looked_at_for_the_same_things_when_it_is_stored_and_when_it_is_opened(
    example_handbooks: tuple[Handbook, ...],
) -> None:
    """CDC 2003, VI.F.5 and VI.G."""
    signs = {
        "en": ("dry", "whole", "labelled", "every indicator you can see changed"),
        "es": (r"secos?\b", "enteros?", "etiquetados?", "(cada|todo) indicador visible cambiado"),
    }
    for book in example_handbooks:
        for rule in ("look-pack", "store-only"):
            for sign in signs[book.language]:
                assert re.search(sign, book.words.sentences[f"rules.{rule}"]), (book.language, rule, sign)


def test_nothing_is_put_away_before_readings_and_indicators_are_seen(by_rule: Handbook) -> None:
    """CDC 2003, VI.F.2 and VI.F.5: where a load is taken out, and where that is learnt."""
    for card in ("load/sterilize", "move/training/technician"):
        assert "release" in rules_of(by_rule, card), card


def test_a_load_is_held_in_the_same_words_and_the_lead_is_told(example_handbooks: tuple[Handbook, ...]) -> None:
    asked = {
        "en": ("Hold the whole load", "Tell the infection-control lead"),
        "es": ("Retenga toda la carga", "Avise"),
    }
    for book in example_handbooks:
        hold, tell = asked[book.language]
        for held, told in (("hold-load", "tell-lead"), ("hold-if-several", "tell-if-held")):
            assert hold in book.words.sentences[f"rules.{held}"], (book.language, held)
            assert tell in book.words.sentences[f"rules.{told}"], (book.language, told)
    for trigger, before, after in (
        ("external-unchanged", "hold-load", "tell-lead"),
        ("internal-unchanged", "hold-load", "tell-lead"),
        ("wet-load", "hold-if-several", "tell-if-held"),
        ("label-lost", "hold-if-several", "tell-if-held"),
    ):
        steps = TRIGGERS[trigger].steps
        assert steps[steps.index((before,)) + 1] == (after,), trigger


def test_wherever_an_internal_indicator_is_read_the_rest_of_the_load_is_held(by_rule: Handbook) -> None:
    """CDC 2003, VI.F.5: the drawers' lists and the house rules said to take another pack, and no more."""
    read = [card.id for card in by_rule.cards if "when-internal-unchanged" in rules_of(by_rule, card.id)]
    assert {"chair-side", "pages/house-rules", "pages/phone-numbers", "move/training/assistant"} <= set(read)
    assert set(drawer_lists(by_rule)) <= set(read)
    for card in read:
        rules = rules_of(by_rule, card)
        after = rules[rules.index("when-internal-unchanged") :]
        asked = ["internal-stop", "take-other", "internal-patient", "internal-used", "internal-keep", "hold-load"]
        assert after[1:7] == asked, card


def test_no_card_leaves_off_before_a_load_is_held(by_rule: Handbook) -> None:
    """CDC 2003, VI.F.5: wherever something hints at a load, the load is held and the lead is told."""
    for trigger, held in (
        ("external-unchanged", "hold-load"),
        ("internal-unchanged", "hold-load"),
        ("wet-load", "hold-if-several"),
    ):
        met = 0
        for card in by_rule.cards:
            rules = rules_of(by_rule, card.id)
            for at in (at for at, rule in enumerate(rules) if rule == f"when-{trigger}"):
                met += 1
                following = itertools.takewhile(lambda rule: not rule.startswith("when-"), rules[at + 1 :])
                assert held in following, (card.id, trigger)
        assert met > 2, trigger


def test_what_is_kept_moist_is_closed_after_it_was_sprayed(by_rule: Handbook) -> None:
    """The card at the chair had the foam after closing, when it reaches nothing any more."""
    for card in ("chair-side", "move/training/assistant"):
        rules = rules_of(by_rule, card)
        assert rules.index("keep-moist-spray") < rules.index("carry-covered"), card
        assert rules.index("back-in-place") < rules.index("keep-moist-spray"), card


def test_needles_and_the_container_for_sharps_are_spoken_of_where_they_are_used(by_rule: Handbook) -> None:
    """29 CFR 1910.1030, (d)(2)(vii) and (d)(4)(iii)(A)."""
    for card in ("chair-side", "move/training/assistant"):
        rules = rules_of(by_rule, card)
        assert {"no-recap", "sharps-out", "sharps-container"} <= set(rules), card


def test_a_sterilizer_that_failed_twice_comes_back_only_after_its_cause_was_corrected(
    example_handbooks: tuple[Handbook, ...],
) -> None:
    """CDC 2003, VI.F.9: the cause determined and corrected, then three empty cycles."""
    asked = {
        "en": ("cause is found and corrected", "three empty cycles", "Recall everything"),
        "es": ("encuentre y corrija la causa", "tres ciclos vacíos", "Retire de uso"),
    }
    for book in example_handbooks:
        text = book.words("rules.spore-again")
        places = [text.index(step) for step in asked[book.language]]
        assert places[0] < places[1], text


@pytest.mark.parametrize(
    ("language", "torn", "punctured"), [("en", "torn", "punctured"), ("es", "rot[oa]", "perforad")]
)
def test_a_pack_with_a_hole_is_named_beside_a_torn_one(
    example_handbooks: tuple[Handbook, ...], language: str, torn: str, punctured: str
) -> None:
    """CDC 2003, VI.G, packs are looked at for their integrity: a puncture is easier to miss than a tear."""
    (book,) = (book for book in example_handbooks if book.language == language)
    named = [
        key
        for key, text in book.words.sentences.items()
        if re.search(rf"\b(pack|paquete)s?\b.*\b{torn}", text, re.IGNORECASE) or key == "rules.dropped-doubt"
    ]
    assert len(named) > 3
    for key in named:
        assert re.search(punctured, book.words.sentences[key], re.IGNORECASE), key


def test_what_is_new_is_cleaned_before_it_lies_with_the_spares(by_rule: Handbook) -> None:
    """Common practice, no source: a new instrument is neither clean nor sterile, unless its maker says so."""
    for card in ("repair", "forms/repair-log", "move/order", "move/training/technician"):
        assert "new-first" in rules_of(by_rule, card), card


def test_drawers_are_filled_for_the_first_time_with_clean_hands(by_rule: Handbook) -> None:
    """CDC 2003, III.A."""
    assert "refill-hands" in rules_of(by_rule, "move/plan")


def test_who_runs_the_washer_tests_how_it_cleans(by_rule: Handbook) -> None:
    """ANSI/AAMI ST79, from memory."""
    for card in ("forms/maintenance-log", "pages/opening-and-closing", "move/training/technician"):
        assert "wash-test" in rules_of(by_rule, card), card
    assert "when-wash-test-failed" in rules_of(by_rule, "mishaps")


def drawer_lists(book: Handbook) -> list[str]:
    lists = [card.id for card in book.cards if card.id.startswith("drawer/")]
    assert len(lists) > 5
    return lists


def test_a_torn_pack_from_the_shelf_is_not_called_a_load(by_rule: Handbook) -> None:
    """Only packs that come wet from the sterilizer together are a reason to hold their load."""
    held = 0
    for card in by_rule.cards:
        asked = ""
        for rule in rules_of(by_rule, card.id):
            asked = rule if rule.startswith("when-") else asked
            if rule == "hold-if-several" and asked:
                held += 1
                assert asked in ("when-wet-load", "when-label-lost"), card.id
    assert held > 3


def test_who_is_to_tell_the_lead_finds_the_leads_number_on_that_line(by_rule: Handbook, example: Practice) -> None:
    """The page “Whom to call” gave another number than the one whom the cards send for."""
    lines = "".join(texts(by_rule.card("pages/phone-numbers").blocks)).split("⟦when-")
    told = [line for line in lines if TELL_THE_LEAD & set(MARK.findall(line))]
    assert len(told) > 4
    (number,) = (
        re.findall(r"\d+", contact.where.in_language("en"))[-1]
        for contact in example.settings.ask
        if contact.who.in_language("en") == "Infection-control lead"
    )
    for line in told:
        assert re.search(rf"Call .*\b{number}\b", line), line


def test_every_pack_that_needs_a_spore_test_is_named_where_loads_are_written_down(
    example_handbooks: tuple[Handbook, ...], example: Practice
) -> None:
    """CDC 2003, VI.F.7; which packs are meant is the practice's to say, and the same that the plan counts."""
    codes = [record.code for id_, record in example.pouches.items() if example.is_implant_related(id_)]
    assert codes
    for book in example_handbooks:
        said = " ".join(texts(book.card("forms/load-log").blocks))
        assert f"({', '.join(codes)})" in said


def test_the_sign_off_has_a_topic_for_every_card_that_somebody_works_by(english: Handbook) -> None:
    """CDC training: people are trained on what they do, so every guide, log and list of mishaps is on the sheet."""
    kinds = {"load-guide", "wrap-guide", "pouch-guide", "spore-test", "storage-map", "repair", "mishaps", "chair-side"}
    work = {card.id for card in english.cards if card.kind in kinds or re.fullmatch(r"forms/.*-log", card.id)}
    assert len(work) > 10
    assert work <= set(_links(english.card("forms/training").blocks))


def _links(blocks: object) -> Iterator[str]:
    for block in blocks if isinstance(blocks, tuple) else ():
        for row in getattr(block, "given", ()):
            yield from (cell.link for cell in row)


def test_whoever_is_new_is_trained_before_used_instruments(by_rule: Handbook) -> None:
    """29 CFR 1910.1030, (g)(2)(ii): the page for the first hour sent a newcomer to the dirty side at once."""
    rules = rules_of(by_rule, "pages/welcome")
    assert rules.index("trained-first") < rules.index("protect")


def test_what_was_held_is_released_by_the_lead_and_by_nobody_else(example_handbooks: tuple[Handbook, ...]) -> None:
    """CDC 2003, VI.F.8: the card said what is held back, and never what becomes of it."""
    held = {"en": "what was held", "es": "lo retenido"}
    lead = {"en": "infection-control lead", "es": "responsable de control de infecciones"}
    for book in example_handbooks:
        text = book.words("rules.spore-back")
        assert held[book.language] in text and lead[book.language] in text


def test_who_loads_and_unloads_is_trained_on_what_the_sterilizers_card_says(by_rule: Handbook) -> None:
    """CDC 2003, VI.F.5: a load that did not reach its readings, a wet pack, an indicator that did not change."""
    for card in ("load/sterilize", "move/training/technician"):
        assert {"when-reading-missed", "when-wet-load", "when-external-unchanged"} <= set(rules_of(by_rule, card)), card


def test_whoever_fills_a_drawer_is_told_of_clean_hands(by_rule: Handbook) -> None:
    """CDC 2003, III.A: on the wall, in the plan for the first day, and where it is learnt."""
    told = {"refill-hands", "refill-by-card"}
    for card in ("r/chair-1", "first-day", "move/plan", "move/training/technician", "move/training/temporary"):
        assert told & set(rules_of(by_rule, card)), card
    assert told <= set(rules_of(by_rule, "move/plan"))


def test_jobs_are_named_for_women_and_men_alike_in_spanish(example_handbooks: tuple[Handbook, ...]) -> None:
    """Who does what is said by the work (*personal técnico*) or by a word for both (*asistente*)."""
    (book,) = (book for book in example_handbooks if book.language == "es")
    one_only = re.compile(
        r"(?<!personal )\btécnicos?\b|\b(?:al|del|el) (?:doctor|médico|ortodoncista)\b", re.IGNORECASE
    )
    said = {key: text for key, text in book.words.sentences.items() if "o el ortodoncista" not in text}
    assert [key for key, text in said.items() if one_only.search(text)] == []


def test_what_the_rules_ask_for_is_on_the_list_of_what_to_have(english: Handbook) -> None:
    """A rule that sends for tongs or an eyewash is followed only where there are some."""
    had = " ".join(texts(english.card("stock").blocks))
    rules = " ".join(text for key, text in english.words.sentences.items() if key.startswith("rules."))
    things = {
        *("tongs", "eyewash", "sharps container", "overglove", "utility gloves", "heat-resistant gloves", "mask"),
        *("gown", "eyewear", "pen", "covered container", "closed basket"),
    }
    for thing in things:
        assert re.search(rf"\b{thing}", rules, re.IGNORECASE), thing
        assert re.search(rf"\b{thing}", had, re.IGNORECASE), thing


#: What a rule has to say, in each language. The documents are named where its record names them (`tests/SOURCES.md`).
SAID = {
    "bur-out": (
        r"stands still, take it out; only then.*handpiece off",
        r"fresa quieta, sáquela antes de quitar la pieza de mano",
    ),
    "container-back": (
        r"in receiving, in utility gloves.*wash and disinfect the gloves",
        r"en el lado sucio, con guantes gruesos.*lave y desinfecte los guantes",
    ),
    "control-repeat": (r"negative test does not count", r"prueba negativa no cuenta"),
    "count-all": (r"Open no pack: .*label", r"No abra paquetes: .*etiqueta"),
    "count-opened": (r"open a pack.* before it is closed", r"abrir un paquete.* antes de cerrarlo"),
    "each-set-seen": (r"missing.* wire or ligature", r"falte.* alambre ni ligadura"),
    "external-decided": (r"label.*indicators.*lead has decided", r"etiqueta.*indicadores.*decisión"),
    "flush-lines": (
        r"20 to 30 seconds.*handpiece, air-water syringe",
        r"20 a 30 segundos.*pieza de mano, jeringa triple",
    ),
    "growth-counts": (r"[Gg]rowth in the test always counts", r"crecimiento en la prueba, siempre cuenta"),
    "hands-after": (
        r"gloves off.*hands clean.*clean gloves on to carry",
        r"llevarlo.*límpiese las manos, póngase guantes limpios",
    ),
    "hold-means": (r"shelves.*drawers.*“Hold”.*Nobody", r"estantes y cajones.*«Retenido».*Nadie"),
    "hurt-note": (
        r"by mouth.*whose blood or saliva.*no patient's name",
        r"de palabra.*qué paciente.*ningún nombre de paciente",
    ),
    "implant-load": (
        r"spore test.*hold.*read and negative",
        r"[Cc]arga.*[Aa]gregue una prueba de esporas.*retenga.*se lea y sea negativa",
    ),
    "implant-sooner": (r"infection-control lead decides.*write down why", r"Decide la persona.*anote por qué"),
    "implant-store": (r"only when its spore test is read and negative", r"solo cuando su prueba de esporas .*negativa"),
    "load-stop": (r"no pack of this load", r"nada de esta carga"),
    "load-open": (
        r"Only somebody trained opens it, as its maker says.*hot",
        r"abre solo quien está capacitado, según su",
    ),
    "load-wait": (r"sterilizer unused until.*lead knows why", r"sin usar.*hasta que la persona.*sepa la causa"),
    "missing-look": (
        r"[Ss]harps container.*never reach in, not even with tongs",
        r"punzocortantes.*nunca meta la mano, ni con tenazas",
    ),
    "moist-handpiece": (r"only if their maker", r"solo si su fabricante"),
    "never-unpacked": (r"pack shelves or in a chair's drawer", r"estantes de paquetes ni en un cajón de sillón"),
    "no-food": (r"eat, drink", r"coma, beba"),
    "none-unwrapped": (
        r"nothing unwrapped unless the infection-control lead.*nothing implantable.*never as routine",
        r"nada sin envolver, salvo que lo permita.*nada implantable.*nunca por rutina",
    ),
    "none-cycle": (
        r"clean, dry.*internal indicator.*cycle made for",
        r"limpio, seco.*indicador interno.*ciclo hecho para",
    ),
    "none-check": (r"readings and the indicator", r"lecturas y el indicador"),
    "none-carry": (r"cooled and covered, to be used at once", r"frío y tapado, para usarlo de inmediato"),
    "packing-hands": (r"clean gloves on", r"guantes limpios"),
    "pouch-indicator": (r"New internal indicator", r"Indicador interno nuevo adentro"),
    "pouch-label": (r"[Ll]abel .*film only", r"Etiqueta .*solo sobre la película"),
    "read-external": (
        r"every external.*through the film at every internal",
        r"cada indicador externo y cada interno.*película",
    ),
    "release": (
        r"time, temperature and pressure.*every indicator you can see has changed",
        r"tiempo, temperatura y presión.*cambió cada indicador visible",
    ),
    "repair-log-send": (r"sterilize it if.*label it as contaminated", r"esterilícelo si.*etiquételo como contaminado"),
    "repair-tests": (r"installation, moving", r"instalarlo, moverlo"),
    "sterilizer-burns": (r"burn.*stopped cycle too", r"queman.*ciclo detenido"),
    "unload-clean": (
        r"when cool.*hands clean.*clean gloves and eyewear",
        r"en frío.*límpiese las manos.*guantes limpios y lentes",
    ),
    "wet-leave": (r"until cool", r"enfriar"),
    "wipe-cement": (
        r"one hand, on a pad.*never between your fingers",
        r"una mano, contra una gasa.*nunca entre los dedos",
    ),
    "leave-closed": (r"[Ll]eave it closed", r"[Dd]éjelo cerrado"),
    "when.external-unchanged": (r"or internal one through the film, not changed", r"o el interno tras la película, no"),
    "internal-patient": (
        r"bad pack used already\? Tell the doctor at once",
        r"¿Ya se usó algo del paquete malo\? Avise ya a la o el ortodoncista",
    ),
    "missing-doctor": (r"patient, who stays.*doctor at once", r"paciente: no lo deje ir.*ortodoncista"),
    "missing-close": (r"Not found.*Close the set.*“missing …”", r"¿No aparece.*Cierre el juego.*«falta…»"),
    "broken-parts": (r"both parts with tongs", r"las dos partes con tenazas"),
    "hurt-doctor": (r"medical evaluation now", r"atención médica: urge"),
    "tell-lead": (r"infection-control lead at once, who decides", r"Avise ya a la persona.*infecciones, que decide"),
    "spore-hold": (
        r"back to the last negative test, on shelves and in drawers.*“Hold”.*Nobody",
        r"desde la última prueba negativa.*estantes y cajones.*«Retenido».*Nadie",
    ),
    "broken-basket": (
        r"closed basket of their own, marked “broken”, never in the set",
        r"propia canastilla cerrada, con nota «roto», nunca en el juego",
    ),
    "spore-retest-hold": (
        r"no pack of this load until.*read and negative, and the infection-control lead says so",
        r"ningún paquete de esa carga.*leído, sea negativa y lo diga la persona responsable",
    ),
    "spill-eye": (r"eyewash at once for 15 minutes", r"ya en el lavaojos 15 minutos"),
    "spill-doctor": (r"see a doctor, with the safety data sheet", r"atención médica, con la hoja de datos"),
    "spill-skin": (r"Rinse at once, wet clothes off", r"Enjuague ya.*sin la ropa mojada"),
    "gloves-on": (r"[Gg]loves and eyewear on", r"guantes gruesos y lentes"),
    "spill-glass": (r"first, with tongs, never with your hands", r"primero.*con tenazas, nunca con las manos"),
    "spill-blood": (
        r"HIV and hepatitis B, or for tuberculosis.*wet time",
        r"VIH y hepatitis B, o tuberculosis.*mojado",
    ),
    "no-feel": (r"never reach in with your fingers.*with tongs", r"nunca meta los dedos.*con tenazas"),
    "sharps-out": (
        r"never with your fingers, into the sharps",
        r"nunca con los dedos, al contenedor de punzocortantes",
    ),
    "rack-out": (
        r"heat-resistant gloves: lift out the whole rack",
        r"guantes resistentes al calor, saque la rejilla entera",
    ),
    "cool-first": (r"stay on their rack until cool", r"[Dd]eje los paquetes en su rejilla hasta que se enfríen"),
    "drawer-never": (r"onto a shelf with used gloves", r"estante con guantes usados"),
    "store-hands": (r"only with clean hands", r"solo con manos o guantes limpios"),
    "gloves-look": (r"torn, cracked or punctured\? Throw", r"rotos, agrietados o perforados\? Tírelos"),
    "washer-down": (r"Tell the reprocessing lead", r"[Aa]vise a la persona responsable de esterilización"),
    "washer-by-hand": (r"unless the reprocessing lead says so.*long-handled", r"solo si lo pide.*mango largo"),
    "just-out": (r"Just out of the sterilizer\? Do only what", r"salir del esterilizador\? Haga solo"),
    "when.label-lost": (
        r"Label or external indicator off, or tape open",
        r"etiqueta o el indicador externo, o se abrió",
    ),
    "when.hurt": (r"cut \(even by a clean tip\) or splashed", r"corte \(aun limpio\) o salpicadura"),
    "internal-used": (r"Used or not, all of it counts as used and goes", r"Usado o no, todo va a limpieza"),
    "dirty-back": (r"the whole set or pouch.*nothing dirty is packed", r"todo el juego o bolsa.*nada sucio se empaca"),
    "dirty-again": (r"again.*spray reaches every side", r"otra vez.*agua llegue a todos"),
    "patient-gone": (r"doctor all the same", r"[Aa]vise igual a la o el ortodoncista"),
    "locked": (r"utility gloves.*with tongs, tips away", r"guantes gruesos.*con tenazas, puntas lejos"),
    "locked-open": (r"by its handles only", r"solo por los mangos"),
    "cool-and-off": (r"only when it is cool and switched off", r"va fría y apagada"),
    "spill-gloves": (r"^Before you clean up, or touch.*utility gloves and eyewear", r"^Antes de limpiar, o.*lentes"),
    "hold-load": (r"whole load: nobody uses it", r"toda la carga: nadie la usa"),
    "keep-records-for": (r"or longer where local law asks", r"o más si lo pide la ley local"),
    "keeps-event": (r"House rule.*maker sets a date.*lead decides", r"Regla de la casa.*fabricante fije.*Decide la"),
    "maker-date": (
        r"indicator or spore test past its maker's date: do not",
        r"indicador o prueba de esporas.*no se usa",
    ),
    "water-limit": (r"More\? Do not use it; tell", r"¿Más\? No la use; avise"),
    "unopened-local": (r"You do not know it\? Take it to receiving", r"¿No la conoce\? Llévelo al lado sucio"),
    "gown-stays": (r"out of the area or take one home", r"del área con ella ni la lleve a casa"),
}


@pytest.mark.parametrize("rule", SAID)
def test_a_rule_says_the_same_to_hands_in_either_language(example_handbooks: tuple[Handbook, ...], rule: str) -> None:
    """Each was said in one language only, or in neither, where it can hurt somebody."""
    for book, wanted in zip(example_handbooks, SAID[rule], strict=True):
        assert re.search(wanted, book.words.sentences[f"rules.{rule}"]), book.language


@pytest.mark.parametrize(
    ("rule", "cards"),
    [
        ("implant-load", {"load/sterilize", "forms/load-log", "p/screws"}),
        ("implant-sooner", {"forms/load-log", "p/screws"}),
        ("implant-store", {"storage-map"}),
        ("flush-lines", {"chair-side", "move/training/assistant"}),
        ("bur-out", {"chair-side", "move/training/assistant"}),
        ("container-back", {"pages/opening-and-closing", "move/training/technician"}),
        ("unload-clean", {"load/wash", "move/training/technician"}),
        ("each-set-seen", {"load/wash"}),
        ("no-food", {"pages/house-rules", "move/training/technician"}),
        ("hold-means", {"mishaps"}),
        ("spore-hold", {"mishaps", "spore-test"}),
        ("repair-log-send", {"forms/repair-log"}),
        ("load-stop", {"load/sterilize", "forms/load-log", "mishaps"}),
        ("leave-closed", {"load/sterilize", "forms/load-log", "mishaps", "chair-side", "pages/phone-numbers"}),
        ("internal-patient", {"mishaps", "chair-side", "drawer/chair-1"}),
        ("missing-close", {"mishaps", "chair-side"}),
        ("broken-parts", {"mishaps", "chair-side", "repair", "move/training/temporary"}),
        ("broken-basket", {"mishaps", "chair-side", "repair"}),
        ("spore-retest-hold", {"spore-test"}),
        ("spill-eye", {"mishaps", "load/wash"}),
        ("gloves-look", {"load/wash"}),
        ("no-feel", {"first-day", "load/wash"}),
        ("rack-out", {"load/sterilize", "move/training/technician"}),
        ("store-hands", {"storage-map"}),
        ("stopped-unwashed", {"load/wash", "mishaps"}),
        ("washer-down", {"mishaps"}),
        ("mishaps-by-card", {"chair-side"}),
        ("just-out", {"mishaps"}),
        ("locked", {"mishaps"}),
        ("tip-out", {"mishaps"}),
        ("spill-gloves", {"mishaps"}),
        ("container-too", {"load/wash"}),
        ("keeps-event", {"storage-map"}),
        ("maker-date", {"storage-map", "spore-test"}),
        ("cool-and-off", {"forms/maintenance-log"}),
        ("gown-stays", {"pages/opening-and-closing"}),
    ],
)
def test_a_rule_stands_where_the_hand_is(by_rule: Handbook, rule: str, cards: set[str]) -> None:
    for card in cards:
        assert rule in rules_of(by_rule, card), card


def test_growth_in_the_test_is_never_waved_away_with_its_control(by_rule: Handbook) -> None:
    """Common practice, no source: a control that did not grow says nothing against growth in the test."""
    spoken_of = 0
    for card in by_rule.cards:
        rules = rules_of(by_rule, card.id)
        for at in (at for at, rule in enumerate(rules) if rule == "when-no-growth"):
            spoken_of += 1
            assert rules[at + 1 : at + 3] == ["control-repeat", "growth-counts"], card.id
    assert spoken_of == 3


@pytest.mark.parametrize(
    ("trigger", "first", "then"),
    [
        ("external-unchanged", "hold-means", "read-record"),
        ("external-unchanged", "external-decided", "decided-redo"),
        ("wet-load", "wet-leave", "to-receiving"),
        ("wet-load", "hold-if-several", "wet-one"),
        ("wet-load", "wet-one", "to-receiving"),
        ("chemical-spill", "spill-eye", "spill-chemical"),
        ("blood-spill", "spill-glass", "spill-blood"),
        ("missing", "missing-doctor", "missing-look"),
        ("missing", "missing-look", "missing-close"),
        ("spore-positive", "spore-retest", "spore-retest-hold"),
    ],
)
def test_a_pack_is_moved_only_when_it_may_be(trigger: str, first: str, then: str) -> None:
    """A hot pack was to be carried, and what is held was to be washed before the lead had decided."""
    rules = [*(rule for step in TRIGGERS[trigger].steps for rule in step), *TRIGGERS[trigger].also]
    assert rules.index(first) < rules.index(then)


def test_at_the_chair_the_container_is_closed_before_clean_gloves_go_on_to_carry_it(by_rule: Handbook) -> None:
    for card in ("chair-side", "move/training/assistant"):
        rules = rules_of(by_rule, card)
        order = ["flush-lines", "bur-out", "wipe-cement", "keep-moist-spray", "moist-handpiece", "carry-covered"]
        assert [rule for rule in rules if rule in (*order, "hands-after")] == [*order, "hands-after"], card


def test_at_the_chair_another_pack_comes_from_another_load_whichever_indicator_did_not_change(
    by_rule: Handbook,
) -> None:
    """CDC 2003, VI.F.5: the next pack on the shelf may be of the same load."""
    for card in ("chair-side", "move/training/assistant", *drawer_lists(by_rule)):
        asked = "".join(texts(by_rule.card(card).blocks)).split("⟦when-")
        for trigger in ("external-unchanged", "internal-unchanged"):
            (part,) = (part for part in asked if part.startswith(f"{trigger}⟧"))
            assert "⟦take-other⟧" in part, (card, trigger)


@pytest.mark.parametrize("key", ["card.storage.holds.spares", "move.mark.spares-label"])
def test_a_spare_is_called_clean_and_not_sterile_where_it_lies(
    example_handbooks: tuple[Handbook, ...], key: str
) -> None:
    asked = (
        (r"clean, not sterilized", r"[Nn]ever to a chair"),
        (r"limpios, no estériles", r"[Nn]unca directo al sillón"),
    )
    for book, wanted in zip(example_handbooks, asked, strict=True):
        assert all(re.search(words, book.words(key)) for words in wanted), book.language


def test_the_report_asks_of_a_wet_pack_what_the_cards_ask(example_handbooks: tuple[Handbook, ...]) -> None:
    """The report had it opened, dried and packed, and left out that it is cleaned again and sterilized."""
    asked = (
        r"wet pack: it is cleaned, packed with new material and sterilized",
        r"se limpia, se empaca .*se esteriliza",
    )
    for book, wanted in zip(example_handbooks, asked, strict=True):
        assert re.search(wanted, book.words("report.night.caution")), book.language


def test_broken_is_asked_by_one_question_alone(example_handbooks: tuple[Handbook, ...]) -> None:
    """“Dull, bent, loose or broken?” sent a broken tip to the repair bin before anybody had looked for both parts."""
    for book, broken in zip(example_handbooks, (r"\bbroken\b", r"\brot[oa]\b"), strict=True):
        asked = {t for t in ("damaged", "broken") if re.search(broken, book.words(f"rules.when.{t}"), re.IGNORECASE)}
        assert asked == {"broken"}, book.language


def test_the_plan_leaves_a_broken_machine_closed_and_tells_the_lead(example_handbooks: tuple[Handbook, ...]) -> None:
    """The plan had its service called first, and nobody in the house told."""
    asked = (r"door closed.*tell the reprocessing lead.*service", r"puerta cerrada.*avise a la persona.*servicio")
    for book, wanted in zip(example_handbooks, asked, strict=True):
        (text,) = (text for key, text in book.words.sentences.items() if key.endswith(".do.machine"))
        assert re.search(wanted, text, re.DOTALL), book.language


def test_receiving_is_never_called_by_the_name_of_the_front_desk(example_handbooks: tuple[Handbook, ...]) -> None:
    (book,) = (book for book in example_handbooks if book.language == "es")
    assert [key for key, text in book.words.sentences.items() if "recepción" in text.lower()] == []


def test_a_stopped_washer_and_a_dirty_load_are_told_apart_as_the_cards_do(
    example_handbooks: tuple[Handbook, ...],
) -> None:
    """The plan let a person go on alone with a stopped washer, and kept a dirty load inside, which is already out."""
    for book in example_handbooks:
        said = " ".join(book.words("report.breakdown.do.load").split())
        rules = [
            "when.washer-stopped",
            "stopped-leave",
            "stopped-manual",
            "stopped-unwashed",
            "when.dirty",
            "dirty-back",
        ]
        places = [said.index(book.words(f"rules.{rule}")) for rule in rules]
        assert places == sorted(places), book.language
        assert said.endswith(book.words("rules.dirty-again")), book.language
        stopped = " ".join(book.words("report.breakdown.do.load-sterilizer").split())
        assert stopped.startswith(book.words("rules.load-stop")), book.language


def test_on_the_card_of_mishaps_every_question_is_a_heading(english: Handbook) -> None:
    """A question in the middle of a list was not found in time."""
    heads = [block.title for block in english.card("mishaps").front if isinstance(block, Steps)]
    asked = {english.words(f"rules.when.{t}") for t in TRIGGERS} - {
        english.words(f"rules.when.{t}") for t in ("no-spare", "opened", "unopened")
    }
    assert set(heads) == asked and len(heads) == len(asked)


def test_what_is_done_with_a_dull_instrument_is_not_read_for_a_broken_one(english: Handbook) -> None:
    """Below “Broken?” stood, without a head of its own: leave it with its set."""
    heads = {block.title: block for block in english.card("repair").front if isinstance(block, Steps)}
    assert set(heads) == {english.words("rules.when.broken"), english.words("rules.when.damaged")}
    broken = " ".join(step.text for step in heads[english.words("rules.when.broken")].steps)
    assert english.words("rules.damaged-note") not in broken


def test_a_hot_wet_pack_is_sent_to_the_stricter_question_first(example_handbooks: tuple[Handbook, ...]) -> None:
    """A hot wet pack was carried to receiving, while it was to cool, and its load perhaps to be held."""
    for book in example_handbooks:
        heads = {block.title: block for block in book.card("mishaps").front if isinstance(block, Steps)}
        first = heads[book.words("rules.when.bad-pack")].steps[0].text
        asked = book.words("rules.when.wet-load")
        assert asked in first and asked in heads, book.language
        assert book.words("rules.just-out", wet_load=asked) in first
        assert book.words("rules.to-receiving") not in first


def test_a_pack_without_tape_is_open_and_asked_about_once(example_handbooks: tuple[Handbook, ...]) -> None:
    """It was an open pack, to be repacked, and one whose external indicator is missing, whose load is held.

    Now only an indicator that is there and did not change holds the load; one that came off counts as the tape does,
    and more than one holds the load all the same.
    """
    for book in example_handbooks:
        outside = book.words("rules.when.external-unchanged").partition("?")[0]
        assert not re.search(r"missing|falta|off\b|cayó", outside)
        heads = {block.title: block for block in book.card("mishaps").front if isinstance(block, Steps)}
        lost = [step.text for step in heads[book.words("rules.when.label-lost")].steps]
        assert lost[0] == book.words("rules.reject") and lost[1] == book.words("rules.hold-if-several")
        assert book.words("rules.to-receiving") in lost[3]


def test_a_card_names_what_is_of_plastic_and_says_nothing_of_steel(english: Handbook, example: Practice) -> None:
    """No card said which piece must not get too hot, or pits beside steel; the folder states it."""
    named = set()
    packs = {f"s/{id_}": record.contents for id_, record in example.sets.items()}
    packs |= {f"p/{id_}": record.contents for id_, record in example.pouches.items()}
    for page, contents in packs.items():
        if page not in english.by_id:  # A pouch of a drawer has no card of its own.
            continue
        made = {i for i in contents if example.instruments[i].material in ("plastic", "aluminium")}
        blocks = english.card(page).blocks
        said = {fact.label: fact.value for block in blocks if isinstance(block, Facts) for fact in block.facts}
        names = [name for label in ("Plastic", "Aluminium") for name in said.get(label, "").split(" · ") if name]
        assert len(names) == len(made), page
        named.update(names)
    assert named == {"Cheek retractor", "Band seater"}


#: Rules among the steps that say who decides.
SAY_WHO = {"tell-lead", "wash-test-stop"}
#: The forms of "never" and of the line that ends an answer.
NEVER = {
    "en": r"\b([Nn]ever|[Nn]obody (uses|takes)|[Dd]o not|[Nn]o (pack|bleach|ice|aluminium)"
    r"|[Nn]othing (from|out|into|dirty|but))\b",
    "es": r"\b([Nn]unca|[Nn]adie (la usa|toma)|[Nn]o (lo|la|use|empaque|cargue|saque|exprima)|[Nn]i hielo|[Ss]olo quien"
    r"|[Nn]ada (de|sucio)|[Aa] mano, solo)\b",
}
DONE = {"en": "Done when ", "es": "Listo cuando "}


def test_whatever_went_wrong_its_answer_says_who_decides_and_what_is_written_where(by_rule: Handbook) -> None:
    """The form is that of quick-reference handbooks: who does what, and a last line that says done (CAP 676)."""
    answers = [block for block in by_rule.card("mishaps").front if isinstance(block, Steps)]
    assert len(answers) > 25
    for answer in answers:
        steps, beside = MARK.findall(" ".join(step.text for step in answer.steps)), MARK.findall(answer.also)
        who = [rule for rule in beside if rule.startswith("decides-")]
        where = [rule for rule in beside if rule.startswith("writes-")]
        assert len(who) == 1 or (not who and SAY_WHO & set(steps)), answer.title
        assert len(where) == 1, answer.title
        assert len(MARK.findall(answer.done)) == 1 and answer.done.startswith("⟦done-"), answer.title


def test_whatever_went_wrong_its_answer_says_what_never_to_do_and_when_it_is_done(
    example_handbooks: tuple[Handbook, ...],
) -> None:
    for book in example_handbooks:
        answers = [block for block in book.card("mishaps").front if isinstance(block, Steps)]
        for answer in answers:
            said = " ".join([*(step.text for step in answer.steps), answer.also])
            assert re.search(NEVER[book.language], said), (book.language, answer.title)
            assert answer.done.startswith(DONE[book.language]), answer.title


def test_no_answer_has_more_than_five_steps_and_each_has_its_symbol(example_handbooks: tuple[Handbook, ...]) -> None:
    for book in example_handbooks:
        answers = [block for block in book.card("mishaps").front if isinstance(block, Steps)]
        for answer in answers:
            assert 1 <= len(answer.steps) <= 5, answer.title
            assert all(step.picture and step.picture.name.startswith("symbol-") for step in answer.steps), answer.title


def test_what_went_wrong_is_grouped_and_defers_to_whoever_decides(example_handbooks: tuple[Handbook, ...]) -> None:
    """Exposure plan, makers and infection-control lead come first, and the card says so before all steps."""
    for book in example_handbooks:
        card = book.card("mishaps")
        first, second, *_ = card.front
        assert isinstance(first, Caution) and first.text == book.words("rules.mishaps-defer")
        assert isinstance(second, Heading) and second.level == 1
        groups = [block.text for block in card.front if isinstance(block, Heading)]
        assert groups == [book.words(f"card.mishaps.group.{group}") for group in get_args(Group)]
        assert [c.id for c in book.cards if c.section == card.section] == ["mishaps"]  # a tab of its own


#: The things that go wrong that a practice most often has to answer, each with the triggers that answer it.
NAMED = (
    {"dropped"},
    {"wet-load"},
    {"bad-pack"},
    {"external-unchanged", "internal-unchanged"},
    {"reading-missed"},
    {"spore-positive"},
    {"hurt"},
    {"chemical-spill", "blood-spill"},
    {"missing"},
    {"extra"},
    {"broken"},
    {"aluminium"},
    {"down", "washer-down"},
    {"out-of-date"},
)


def test_everything_that_was_named_has_its_answer(by_rule: Handbook) -> None:
    answered = {block.trigger for block in by_rule.card("mishaps").front if isinstance(block, Steps)}
    assert len(NAMED) == 14
    assert set().union(*NAMED) <= answered
