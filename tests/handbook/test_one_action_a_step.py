"""Every step of an answer to a mishap is one action, by somebody named: HSG 48; CR-177549 for the last line.

What is checked, in each language whose imperatives are listed here:

- A step has exactly one imperative (*you* do it); or none, and then it forbids something or names a role that acts.
- An imperative is a listed verb where a clause begins, or after a comma or *and*, *or*, *then*. Questions, what is
  quoted and what is forbidden are left out.
- A sentence begins with a listed verb, a word that forbids, a role, or a listed word that begins a statement: a verb
  that nobody listed is seen there. In German, where the infinitive stands last, what ends a clause with -n is listed.
- A step has at most `MOST_WORDS` words, and a last line says that the answer is done.

What is not seen: a verb that is not listed and stands in the middle of a sentence; two actions in one verb (*reprocess*
is the whole round, and its card says how); an action told as a state (*who stays*, *to be used at once*); whether the
action is the right one; a practice's own sentences.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest

from kitdocs.handbook.cards.mishaps import on_the_card
from kitdocs.handbook.rules.triggers import TRIGGERS
from kitdocs.practice.sentences import shipped_sentences
from kitdocs.shipped import shipped_languages

#: The longest step with a picture, and the longest on a guide that is read in peace.
MOST_WORDS = {"en": (26, 46), "es": (33, 52), "fr": (37, 53), "de": (36, 45)}

#: Imperatives, with the first word of their object where the verb alone is also another word.
VERBS = {
    "en": r"call|carry|change|check|clean (?:it|up|everything)|close|correct|disinfect|do (?!not)|drop|find|flush|get"
    r"|go|hold|incubate|keep|lay|leave|lift|load (?:it|the|nothing)|look|open it|pack (?:it|nothing|the)|pick|pull|put"
    r"|read|recall|repeat|repack|reprocess|rinse|run|say|see|send|set|sterilize|stop|take|tell|test again|throw|tick"
    r"|tie|tag it|use|wash|wipe|write",
    "es": r"acomóde\w*|aparte|aplace|átele|abra|ábra\w*|anót\w*|anote|avise|aleje|busque|cambie|cierre|cons[eé]rv\w+"
    r"|corra|córra\w*|corrija|deje|déje\w*|depos[ií]te\w*|desinfecte|deténgase|diga|empa(?:que|qu[eé]\w*)|enju[aá]g\w+"
    r"|esteril[ií][cz]\w+|etiqu[eé]te\w*|haga|lave|láve\w*|lea|levante|limpie|límpie\w*|llame|lleve|lléve\w*|marque"
    r"|mantén\w*|ponga|póng\w+|páselo|recoja|regrese|repase|repita|repítala|retenga|reténgalo|retire|revise\w*|revísel\w+"
    r"|saque|sáque\w*|siga|tome|tómelas|use|úse\w*|vaya|vuelva|quítese",
    "fr": r"(?:(?:le|la|les|y|en|lui|tout) |l’)?(?:attacher|appeler|bloquer|chercher|changer|charger|cocher|continuer"
    r"|copier|corriger|déposer|désinfecter|dire|donner|écrire|emballer|essuyer|étiqueter|examiner|faire|fermer|garder"
    r"|incuber|jeter|lancer|laisser|laver|lire|mettre|nettoyer|noter|ôter|ouvrir|porter|poser|prendre|prévenir|ramasser"
    r"|rapporter|rappeler|rédiger|refaire|regarder|relaver|renettoyer|reporter|rester|retirer|retraiter|revoir|rincer"
    r"|sortir|tenir|traiter|trouver|utiliser|vérifier|voir)",
    # The infinitive stands last: at the end of a clause, before a comma, "und" or "oder".
    "de": r"(?:ablegen|abspülen|abwischen|anbinden|ankreuzen|ansehen|anziehen|aufbereiten|aufheben|aufwischen"
    r"|ausdrücken|auslassen|beheben|beiseitelegen|beiseitestellen|beseitigen|bringen|desinfizieren|durchgehen"
    r"|einlagern|einlegen"
    r"|fahren|finden|geben|halten|hängen|heben|herausnehmen|hineingreifen|hineinladen|informieren|lagern|lassen|legen"
    r"|lesen|mitpacken|nehmen|öffnen|packen|prüfen|reinigen|rufen|sagen|schließen|spülen|starten|suchen|testen|tragen"
    r"|trocknen|tun|verkürzen|verschieben|verwenden|waschen|wechseln|weitermachen|werfen|wiederholen|zurückhalten"
    r"|zurückrufen)(?=$|,| und | oder )",
}
#: A clause that forbids, or leaves undone.
FORBIDS = {
    "en": r"(?:never|do not|no|nobody|nothing|not)\b|\w+ (?:nothing|no)\b",
    "es": r"(?:nunca|no|nadie|ni|nada|sin)\b|a mano, solo\b",
    "fr": r"(?:ne|personne|rien|jamais|pas|ni|sans)\b|n’",
    "de": r"(?:nie|nicht|nichts|niemand|kein\w*)\b|[^,]* nicht \w+(?:$|,)|nur ansehen, nie\b",
}
ROLES = {
    "en": r"somebody trained|(?:infection-control|reprocessing) lead|the lead\b|the doctor|the office",
    "es": r"quien está capacitado|persona responsable|ortodoncista|esa persona|la oficina",
    "fr": r"(?:une )?personne formée|(?:la )?personne responsable|l’orthodontiste|le secrétariat",
    "de": r"wer eingewiesen ist|hygieneleitung|leitung der aufbereitung|die leitung\b|zahnärztin/zahnarzt|das büro",
}
#: Words that begin a statement: how it is, or what counts.
STATES = {
    "en": r"it|used or|then a|a (?:spare|negative|tip)|another|the|everything|growth|without|new|usual|or|one|"
    r"negative|sharps|then see|in (?:utility|it)|with tongs|before|at the|into|only|all|whoever|to|more|allowed",
    "es": r"puede|usad[oa]|entonces|una?|otra?|el|la|las|los|lo|adentro|todo|cuenta|si|decide|envoltura|causas|sin|"
    r"negativa|contenedor|con|en|antes|primero|después|quien|solo|sobre",
    "fr": r"une?|le|la|les|l’\w+|peut-être|utilisé|seule|tout|un autre|alors|emballage|causes|négatif|collecteur|peau"
    r"|yeux|cassettes|avec|à la|au|dans|avant|après|qui|il|encore",
    # In German, words on -n that stand where an infinitive could, and are none or nobody's action.
    "de": r"abgelesen|anfassen|aufgehalten|augen|behoben|beladen|davon|denn|etiketten|fern|flecken|gefunden|gehalten"
    r"|geladen|geschlossen|glasscherben|haben|händen|herausragen|indikatoren|kassetten|regalböden|schubladen"
    r"|schutzhandschuhen|sein|trocken|ursachen|wischen|zählen",
}
#: What joins two actions.
JOINS = {
    "en": r"(?:^|, (?:and |or |then )?|\b(?:and|or|then) )",
    "es": r"(?:^|, (?:y |o |e )?|\b(?:y|o|e|luego) )",
    "fr": r"(?:^|, (?:et |ou |puis )?|\b(?:et|ou|puis) )",
    "de": r"\b",
}
DONE = {"en": "Done when ", "es": "Listo cuando ", "fr": "Terminé quand ", "de": "Erledigt, wenn "}


def sentences(step: str) -> list[str]:
    """The sentences of a step that are no question, in small letters, without what is quoted or in brackets."""
    plain = re.sub(r"“[^”]*”|«[^»]*»|\([^)]*\)", "_", step).replace("\u00a0", " ")
    parts = re.split(r"(?<=[.?!])\s+", plain)
    return [part.strip("¿¡.! ").lower() for part in parts if not part.endswith("?")]


def clauses(sentence: str) -> list[str]:
    return [part.strip() for part in re.split(r"[:;] ", sentence)]


def actions(language: str, step: str) -> list[str]:
    """The imperatives of a step."""
    verb = re.compile(rf"{JOINS[language]}({VERBS[language]})\b")
    found = []
    for sentence in sentences(step):
        for clause in clauses(sentence):
            if not re.match(FORBIDS[language], clause):
                # What stands behind "until", "where", "unless" says when, and is nobody's action of its own.
                head = re.split(
                    r"\b(?:until|unless|where|while|hasta que|salvo que|donde|mientras|jusqu’à|sauf si|là où|comme"
                    r"|, (?:bis|bevor|wenn|während|wie|was|wo|es sei denn))\b",
                    clause,
                )[0]
                found += verb.findall(head)
    return found


def forbids(language: str, step: str) -> bool:
    return any(re.match(FORBIDS[language], clause) for sentence in sentences(step) for clause in clauses(sentence))


def begins_known(language: str, sentence: str) -> bool:
    if language == "de":
        ends = re.findall(r"\b([a-zäöüß]+n)(?=$|[,;:]| und | oder )", sentence)
        return all(re.fullmatch(f"{VERBS[language]}|{STATES[language]}", word) for word in ends)
    known = "|".join((VERBS[language], FORBIDS[language], ROLES[language], STATES[language]))
    return re.match(rf"(?:{known})\b", sentence) is not None


def told(language: str) -> Iterator[tuple[str, str]]:
    """Every step of every trigger as the cards say it, those that apply to no example too, with the trigger's id."""
    said = shipped_sentences(language)
    for trigger in TRIGGERS.values():
        if trigger.id != "opened":  # Nothing went wrong there: it says what becomes of an open pouch.
            for step in dict.fromkeys((*trigger.steps, *on_the_card(trigger).steps)):
                yield trigger.id, " ".join(said[f"rules.{rule}"] for rule in step)


@pytest.mark.parametrize("language", sorted(VERBS))
def test_each_step_is_one_action_or_forbids_or_names_who_acts(language: str) -> None:
    seen = 0
    for trigger, step in told(language):
        seen += 1
        found = actions(language, step)
        assert len(found) <= 1, (language, trigger, step, found)
        named = re.search(ROLES[language], step, re.IGNORECASE)
        assert found or forbids(language, step) or named, (language, trigger, step)
    assert seen > 130


@pytest.mark.parametrize("language", sorted(VERBS))
def test_each_sentence_of_a_step_begins_with_a_word_that_is_known(language: str) -> None:
    """Otherwise a verb that nobody listed would not be counted."""
    for trigger, step in told(language):
        for sentence in sentences(step):
            assert begins_known(language, sentence), (language, trigger, sentence)


@pytest.mark.parametrize("language", sorted(VERBS))
def test_each_step_is_short_and_each_answer_says_when_it_is_done(language: str) -> None:
    said = shipped_sentences(language)
    pictured, longest = MOST_WORDS[language]
    for trigger, step in told(language):
        assert len(step.split()) <= longest, (trigger, step)
    for answer in TRIGGERS.values():
        if answer.done:
            for rules in on_the_card(answer).steps:
                assert len(" ".join(said[f"rules.{rule}"] for rule in rules).split()) <= pictured, (answer.id, rules)
            done = said[f"rules.{answer.done}"]
            assert done.startswith(DONE[language]), answer.id
            assert actions(language, done) == [], done


#: Steps as they stood on the cards once, each with more than one action.
ONCE = {
    "en": (
        "Use no pack of this load. Only somebody trained on the sterilizer opens it. Write it down and tell the lead.",
        "After cleaning, tag it, put a spare in its place, and put it into the repair bin.",
        "Leave its door closed and put a sign on it. Tell the reprocessing lead, who calls its service.",
        "Utility gloves on. Take the aluminium piece out with tongs. Rinse it, and what lay beside it, with water.",
        "Run it in the next load, write down the gap, tell the infection-control lead.",
        "Not found at the chair? Close the set, note “missing …” on it, tell the reprocessing room.",
        "Look for both parts and pick them up with tongs. One missing? Tell the doctor at once; the patient stays.",
        "Read all records since the last negative test. Tell everybody.",
        "Correct what you found. Test again at once in the same cycle.",
        "Put it in its place; it is sterilized with the set. Tick “spare put in” on the tag.",
        "Wash skin with soap and water. Rinse eyes, nose or mouth with water.",
    ),
    "es": (
        "No use nada de esta carga. Anótelo y avise a la persona responsable de control de infecciones.",
        "Ya limpio, etiquételo, ponga un repuesto y lleve el dañado a la caja de reparación.",
        "Deje la puerta cerrada y ponga un aviso. Use otra lavadora si la hay.",
        "Saque la pieza de aluminio con tenazas. Enjuáguela con agua.",
        "Córrala en la siguiente carga, anótelo y avise a la persona responsable de control de infecciones.",
        "¿No aparece en el sillón? Cierre el juego; avise al área de esterilización.",
        "Deténgase. Busque las dos partes y tómelas con tenazas.",
        "Corrija lo que encontró. Repita la prueba de inmediato.",
    ),
    "fr": (
        "N’utiliser aucun paquet de cette charge. Le noter et prévenir la personne responsable de l’hygiène.",
        "Après le nettoyage, l’étiqueter, mettre une pièce de rechange à sa place et le mettre au bac de réparation.",
        "Laisser sa porte fermée et y mettre un panneau. Prévenir la personne responsable de la stérilisation.",
        "Sortir la pièce en aluminium à la pince longue. La rincer à l’eau.",
        "Corriger ce qui a été trouvé. Refaire tout de suite un test.",
    ),
    "de": (
        "Keine Packung dieser Charge verwenden. Das Etikett aufheben und die Hygieneleitung informieren.",
        "Seine Tür geschlossen lassen und ein Schild daran hängen. Leitung der Aufbereitung informieren.",
        "Das Aluminiumteil mit der Greifzange herausnehmen. Es mit Wasser abspülen.",
        "Öffnen, dabei nur an den Griffen halten.",
        "Sofort 15 Minuten an der Augendusche spülen und Hilfe rufen.",
    ),
}


@pytest.mark.parametrize(("language", "step"), [(one, step) for one, steps in ONCE.items() for step in steps])
def test_a_step_with_several_actions_is_seen(language: str, step: str) -> None:
    assert len(actions(language, step)) > 1, actions(language, step)


@pytest.mark.parametrize(
    ("language", "sentence"),
    [("en", "grab the tongs"), ("en", "squeeze it"), ("de", "die greifzange packen und drehen")],
)
def test_a_verb_that_nobody_listed_is_seen_where_a_sentence_begins_or_ends(language: str, sentence: str) -> None:
    assert not begins_known(language, sentence)


def test_each_language_that_is_shipped_is_read() -> None:
    """A language without a list of imperatives is not silently passed over."""
    assert set(VERBS) == set(MOST_WORDS) == set(DONE) == set(shipped_languages())
