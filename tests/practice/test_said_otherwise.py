"""What a page says against the cards is told, and what agrees with them is not: first of all the cards' sentences."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from bad_inputs import VALID

from kitdocs.practice.reading.reader import read_practice
from kitdocs.practice.sentences import shipped_sentences
from kitdocs.starter import start

AGREES = {
    "en": (
        "Never recap a needle.",
        "Recap a needle with the one-handed scoop only.",
        "Open the pouch, then look at the indicator.",
        "A dropped pack: the infection-control lead decides whether it may be used.",
        "Keep the label of each pack for 30 days.",
        "Test the eyewash every week for 3 minutes.",
        "Racks burn: let them cool for 15 min.",
        "Run a spore test every 7 days.",
        "A spore test is run every day in the second sterilizer.",
        "Take used gloves off, then open the drawer.",
        "A wet pack? Never use it, never put it back.",
        "Flush the lines for 30 seconds.",
        "May an opened pack be used?",
        "Rinse an eye for 20 minutes.",
        "Recapping a needle with two hands is forbidden.",
        "A dropped pouch may be used once it is reprocessed.",
        "Bleach burns the skin.",
        "The results of the spore test are filed monthly.",
    ),
    "es": (
        "Nunca vuelva a tapar una aguja con las dos manos.",
        "Un paquete mojado no se puede usar.",
        "Guarde la etiqueta del paquete 30 días.",
        "La prueba de esporas se hace cada 7 días.",
        "Enjuague los ojos 15 minutos.",
        "El cloro irrita la piel.",
        "Los resultados de la prueba de esporas se archivan cada mes.",
    ),
    "de": (
        "Nie eine Kappe mit zwei Händen auf eine Nadel setzen.",
        "Die Kappe einer Nadel nur einhändig wieder aufsetzen.",
        "Den Beutel öffnen, dann den Indikator ansehen.",
        "Eine heruntergefallene Packung: Die Hygieneleitung entscheidet, ob sie verwendet werden darf.",
        "Eine gefallene Kassette darf nach neuer Aufbereitung verwendet werden.",
        "Das Etikett jeder Packung 30 Tage aufheben.",
        "Die Augendusche jede Woche 3 Minuten lang spülen.",
        "Verbrennungsgefahr: Gestelle 15 min abkühlen lassen, nicht mit Wasser kühlen.",
        "Der Sporentest wird alle 7 Tage gefahren.",
        "Die Ergebnisse der Sporentests werden monatlich abgelegt.",
        "Benutzte Handschuhe ausziehen, dann die Schublade öffnen.",
        "Ein nasser Beutel? Nie verwenden, nie zurücklegen.",
        "Mit Luft und Wasser 30 Sekunden durchspülen.",
        "Darf ein offener Beutel verwendet werden?",
        "Das Auge 20 Minuten spülen.",
        "Chlorbleiche reizt die Haut.",
        "Benutzte Kassetten höchstens 2 Stunden feucht halten.",
        "Eine Verpackung, die ihr Hersteller datiert hat, bis zu diesem Datum verwenden.",
    ),
    "fr": (
        "Ne jamais recapuchonner une aiguille à deux mains.",
        "Recapuchonner une aiguille d’une seule main seulement.",
        "Ouvrir le sachet, puis regarder l’indicateur.",
        "Un paquet tombé : la personne responsable de l’hygiène décide s’il peut être utilisé.",
        "Une cassette tombée peut être utilisée une fois retraitée.",
        "Garder l’étiquette de chaque paquet pendant 30 jours.",
        "Tester le rince-œil chaque semaine pendant 3 minutes.",
        "Risque de brûlure : laisser refroidir les supports 15 min, sans eau.",
        "Le test biologique se fait tous les 7 jours.",
        "Les résultats des tests biologiques sont classés tous les mois.",
        "Ôter les gants utilisés, puis ouvrir le tiroir.",
        "Un sachet mouillé ? Ne jamais l’utiliser ni le remettre sur l’étagère.",
        "Air et eau pendant 30 secondes.",
        "Un sachet ouvert peut-il être utilisé ?",
        "Rincer l’œil pendant 20 minutes.",
        "L’eau de Javel irrite la peau.",
        "Un paquet percé est retraité, avec un emballage neuf.",
        "Un fil est tombé : le rincer, puis le jeter au collecteur.",
    ),
}
AGAINST = {
    "en": (
        ("Recap the needle with both hands.", "no-recap"),
        ("The cassette fell? Put it back on the shelf.", "dropped-local"),
        ("If a plier fell, wipe it and use it.", "fallen"),
        ("An opened pouch can still be used.", "reject"),
        ("The spore test is due monthly.", "spore-weekly"),
        ("A pouch expires after 6 months.", "keeps-event"),
    ),
    "es": (
        ("Tape la aguja con las dos manos; luego la vuelve a tapar.", "no-recap"),
        ("Una bolsa caída se puede usar.", "dropped-local"),
        ("Un instrumento se cayó: enjuáguelo y úselo.", "fallen"),
        ("Un paquete mojado se puede usar.", "reject"),
        ("El indicador no cambió: se puede usar.", "internal-stop"),
        ("Abra el cajón con guantes usados.", "drawer-never"),
        ("Exprima la herida.", "hurt-wash"),
        ("La prueba de esporas se hace cada dos semanas.", "spore-weekly"),
        ("Un paquete dura 30 días.", "keeps-event"),
        ("Aire y agua: 10 segundos.", "flush-lines"),
        ("Enjuague los ojos 5 minutos.", "spill-eye"),
        ("Una quemadura: agua fresca 10 minutos.", "burn-cool"),
    ),
    "de": (
        ("Die Kappe mit beiden Händen wieder auf die Nadel stecken.", "no-recap"),
        ("Die Kassette ist gefallen? Zurück ins Regal damit.", "dropped-local"),
        ("Eine heruntergefallene Packung darf noch benutzt werden.", "dropped-local"),
        ("Eine Zange ist gefallen: abwischen und weiterverwenden.", "fallen"),
        ("Ein nasser Beutel kann verwendet werden.", "reject"),
        ("Ist die Packung eingerissen, trotzdem verwenden.", "reject"),
        ("Der Innenindikator ist nicht umgeschlagen: Die Packung darf verwendet werden.", "internal-stop"),
        ("Die Schublade mit benutzten Handschuhen öffnen.", "drawer-never"),
        ("Die Stichwunde kräftig ausdrücken.", "hurt-wash"),
        ("Haut mit verdünntem Bleichmittel abreiben.", "hurt-wash"),
        ("Der Sporentest ist monatlich fällig.", "spore-weekly"),
        ("Sporentests laufen alle zwei Wochen.", "spore-weekly"),
        ("Eine Packung hält 30 Tage.", "keeps-event"),
        ("Verpackte Kassetten sind 6 Monate haltbar.", "keeps-event"),
        ("Mit Luft und Wasser 10 Sekunden durchspülen.", "flush-lines"),
        ("Ein Auge 5 Minuten an der Augendusche spülen.", "spill-eye"),
        ("Eine Verbrennung 10 Minuten unter Wasser halten.", "burn-cool"),
    ),
    "fr": (
        ("Recapuchonner l’aiguille des deux mains.", "no-recap"),
        ("Remettez le capuchon sur l’aiguille.", "no-recap"),
        ("La cassette est tombée ? La remettre sur l’étagère.", "dropped-local"),
        ("Un paquet tombé peut encore être utilisé.", "dropped-local"),
        ("Une pince est tombée : la rincer et l’utiliser.", "fallen"),
        ("Un sachet mouillé peut servir.", "reject"),
        ("Le paquet est déchiré : l’utiliser quand même.", "reject"),
        ("L’indicateur n’a pas viré : le sachet peut être utilisé.", "internal-stop"),
        ("Ouvrir le tiroir avec des gants utilisés.", "drawer-never"),
        ("Faire saigner la plaie.", "hurt-wash"),
        ("Nettoyer la piqûre à l'eau de Javel.", "hurt-wash"),
        ("Le test biologique est mensuel.", "spore-weekly"),
        ("Un test de spores toutes les deux semaines.", "spore-weekly"),
        ("Un sachet se conserve 30 jours.", "keeps-event"),
        ("Les kits emballés restent stériles 6 mois.", "keeps-event"),
        ("Air et eau : 10 secondes.", "flush-lines"),
        ("Rincer les yeux 5 minutes.", "spill-eye"),
        ("Une brûlure : eau fraîche, 10 minutes.", "burn-cool"),
    ),
}


def told(folder: Path, language: str, sentences: list[str], *, dated: bool = False) -> list[tuple[int, str]]:
    """The sentence and the rule of each warning about a page with these sentences, one to a paragraph."""
    start(folder)
    practice = folder / "practice.yaml"
    text = re.sub(r"^languages:.*$", "languages: [en, es, de, fr]", practice.read_text("utf-8"), flags=re.MULTILINE)
    expiration = f"expiration: {'date' if dated else 'event'}"
    practice.write_text(re.sub(r"^expiration: \w+", expiration, text, flags=re.MULTILINE), "utf-8")
    page = folder / "pages" / f"house-rules.{language}.md"
    page.write_text("# House rules\n" + "".join(f"\n{sentence}\n" for sentence in sentences), "utf-8")
    found = [problem for problem in read_practice(folder).problems if problem.rule == "said-otherwise"]
    assert all(problem.place.file == f"pages/{page.name}" for problem in found)
    said = {text: key.removeprefix("rules.") for key, text in shipped_sentences(language).items()}
    cards = (re.findall(r"“([^“]*)”$", str(problem.message))[0] for problem in found)
    return [((problem.place.line - 3) // 2, said[card]) for problem, card in zip(found, cards, strict=True)]


@pytest.mark.parametrize("language", sorted(AGREES))
def test_what_agrees_with_the_cards_is_not_told_of(tmp_path: Path, language: str) -> None:
    assert told(tmp_path, language, list(AGREES[language])) == []


@pytest.mark.parametrize("language", sorted(AGREES))
def test_no_sentence_of_the_cards_is_told_of(tmp_path: Path, language: str) -> None:
    """Whoever copies a rule onto a page, word for word, says the same."""
    rules = [text for key, text in shipped_sentences(language).items() if re.fullmatch(r"rules\.[a-z0-9-]+", key)]
    plain = [re.sub(r"\{\w+\}", "something", text) for text in rules]
    assert len(plain) > 300
    assert told(tmp_path, language, plain) == []


@pytest.mark.parametrize("language", sorted(AGAINST))
def test_what_cannot_stand_beside_the_cards_is_told_of(tmp_path: Path, language: str) -> None:
    sentences, rules = zip(*AGAINST[language], strict=True)
    assert told(tmp_path, language, list(sentences)) == list(enumerate(rules))


def test_a_warning_can_be_accepted_and_a_replaced_rule_is_the_measure_of_pages(tmp_path: Path) -> None:
    """The rule is told of once, where it stands; a page that says the same is not told of as well."""
    start(tmp_path)
    (tmp_path / "words.en.yaml").write_text("rules:\n  spore-weekly: Run a spore test once a month.\n", "utf-8")
    page = tmp_path / "pages" / "house-rules.md"
    page.write_text(page.read_text("utf-8") + "\nThe spore test is due monthly.\n", "utf-8")
    (found,) = (p for p in read_practice(tmp_path).problems if p.rule == "said-otherwise")
    assert (found.place.file, found.place.line) == ("words.en.yaml", 2)
    settings = tmp_path / "practice.yaml"
    entry = f"accepted:\n  - {{warning: said-otherwise, at: {found.path}, reason: Our authority asks for no more.}}\n"
    settings.write_text(settings.read_text("utf-8") + entry, "utf-8")
    (again,) = (p for p in read_practice(tmp_path).problems if p.rule == "said-otherwise")
    assert again.accepted


def test_packs_with_a_date_may_keep_for_days(tmp_path: Path) -> None:
    sentence = ["A pack keeps for 30 days."]
    assert told(tmp_path, "en", sentence) == [(0, "keeps-event")]
    assert told(tmp_path / "dated", "en", sentence, dated=True) == []


def test_the_valid_practice_has_no_such_warning() -> None:
    assert not [p for p in read_practice(VALID).problems if p.rule in ("said-otherwise", "chair-that-is-gone")]
