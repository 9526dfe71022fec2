"""Statements that cannot stand beside the cards, by language: orders that can hurt somebody, numbers past a limit."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

from kitdocs.practice.draft import Draft


def _always(practice: Draft, said: re.Match[str]) -> bool:
    return True


def _keeps_by_event(practice: Draft, said: re.Match[str]) -> bool:
    """Packs carry no date in this practice."""
    return bool(practice.settings.read.get("expiration", "event") == "event")


def _below(limit: int) -> Callable[[Draft, re.Match[str]], bool]:
    return lambda practice, said: int(said["n"]) < limit


#: Days by the first letter of their unit: day, día, Tag, jour; week, semana, semaine; month, mes, Monat, mois.
_DAYS = {"d": 1, "t": 1, "j": 1, "w": 7, "s": 7, "m": 30}
_WORDS = {
    **{"other": 2, "two": 2, "three": 3, "four": 4},
    **{"dos": 2, "tres": 3, "cuatro": 4},
    **{"zwei": 2, "drei": 3, "vier": 4},
    **{"deux": 2, "trois": 3, "quatre": 4},
}


def _rarer_than_weekly(practice: Draft, said: re.Match[str]) -> bool:
    """*Monthly* has no number; *every two weeks* has one."""
    number, unit = said["n"], said["unit"]
    if unit is None:
        return True
    return _DAYS[unit[0].lower()] * int(_WORDS.get(number.lower(), number)) > 7


@dataclass(frozen=True, slots=True)
class Claim:
    """Words that together say something else than the rule does, unless the sentence holds one of `unless`.

    `wrong` is given the match of the last ones.
    """

    rule: str
    words: tuple[str, ...]
    unless: str = ""
    wrong: Callable[[Draft, re.Match[str]], bool] = _always

    def made_in(self, sentence: str, practice: Draft) -> bool:
        """Whether the sentence says so."""
        last: re.Match[str] | None = None
        for words in self.words:
            last = re.search(words, sentence, re.IGNORECASE)
            if last is None:
                return False
        excused = self.unless and re.search(self.unless, sentence, re.IGNORECASE)
        return last is not None and not excused and self.wrong(practice, last)


def _english() -> tuple[Claim, ...]:
    denied = r"\b(?:never|not|no|nobody|nothing|cannot|without|instead of|forbidden|prohibited)\b|n[’']t\b"
    redone = rf"{denied}|\breprocess|\bnew cycle\b"
    pack, fell = r"\b(?:pack|pouch|cassette)(?:s|es)?\b", r"\b(?:dropped|fell|falls?|fallen)\b"
    used = (
        r"\b(?:use (?:it|them) (?:anyway|all the same|first)|(?:may|can) (?:still )?be used"
        r"|(?:is|are) still (?:good|fine)|back (?:on|in|into|onto) (?:the|its) (?:shelf|drawer)"
        r"|put (?:it|them) back|dry (?:it|them) (?:off|with|on))\b"
    )
    bad = (
        r"\b(?:an open|opened|torn|wet|damp|punctured) (?:or \w+ )?(?:pack|pouch|cassette)"
        r"|\b(?:pack|pouch|cassette) (?:that )?(?:is|was|got|came out) (?:open|torn|wet|damp|punctured)\b"
    )
    rarely = (
        r"\b(?:every (?P<n>\d+|other|two|three|four) (?P<unit>days?|weeks?|months?)"
        r"|monthly|once a month|every month|fortnightly|quarterly)\b"
    )
    keeps = (
        r"\b(?:packs keep|keeps|(?:is|are|stays?) (?:good|sterile)|expires?|shelf life)\b"
        r".*\b\d+ (?:days|weeks|months)\b"
    )
    weekly = r"\b(?:weekly|every week|once a week|reports?|results?|order(?:ed)?|invoices?)\b"
    bleached = r"\b(?:with|in|into|use|put|pour|apply) (?:\w+ )?bleach\b"
    minutes = r"\b(?P<n>\d+) ?min"
    return (
        Claim("no-recap", (r"\bneedles?\b", r"\brecap(?:s|ped)?\b"), rf"{denied}|one[- ]hand|scoop|device"),
        Claim("dropped-local", (pack, fell, used), rf"{redone}|\blead\b"),
        Claim("fallen", (fell, r"\b(?:rinse|wipe|disinfect)\b.*\b(?:use|reuse|go on)\b"), denied),
        Claim("reject", (bad, used), redone),
        Claim(
            "internal-stop",
            (r"\bindicator\b", r"\b(?:not change|not changed|unchanged|missing)\b", used),
            r"\bnever\b|\bnobody\b|\bdo not\b",
        ),
        Claim("drawer-never", (r"\b(?:drawer|shelf)\b", r"\bwith (?:the |your )?(?:used|dirty) gloves\b"), denied),
        Claim("hurt-wash", (r"\b(?:wound|stick|puncture|cut|finger|skin)\b", rf"\bsqueeze\b|{bleached}"), denied),
        Claim("spore-weekly", (r"\bspore\b", rarely), weekly, _rarer_than_weekly),
        Claim("keeps-event", (rf"{pack}|\bsets?\b", keeps), denied, _keeps_by_event),
        Claim("flush-lines", (r"\b(?:flush|air and water)\b", r"\b(?P<n>\d+) ?(?:seconds|s)\b"), wrong=_below(20)),
        Claim(
            "spill-eye",
            (r"\beyes?\b|\beyewash\b", r"\b(?:rins|flush)", minutes),
            r"\b(?:week|month|dai|test|run)",
            _below(15),
        ),
        Claim("burn-cool", (r"\b(?:a|the|your) burn\b|\bburned\b", r"\b(?:water|cool)\b", minutes), "", _below(20)),
    )


def _spanish() -> tuple[Claim, ...]:
    denied = r"\b(?:nunca|jamás|no|ni|nadie|nada|sin|prohibid[oa]s?)\b"
    redone = rf"{denied}|\bproces|\breproces|\bciclo nuevo\b"
    pack, fell = r"\b(?:paquete|bolsa|casete)s?\b", r"\b(?:cay[óo]|caíd[oa]s?|cae)\b"
    used = (
        r"\b(?:[úu]s(?:e|ar)l[oa]s? (?:igual|de todos modos|primero)|(?:se )?pueden? (?:usar(?:se)?|utilizar(?:se)?)"
        r"|siguen? (?:bueno|estéril)\w*|regrésel[oa] al (?:estante|cajón)|séquel[oa]s? con)\b"
    )
    bad = r"\b(?:paquete|bolsa|casete)s? (?:que está )?(?:abiert|rot|mojad|húmed|perforad)[oa]s?\b"
    rarely = (
        r"\b(?:cada (?P<n>\d+|dos|tres|cuatro) (?P<unit>días?|semanas?|meses)"
        r"|mensual(?:mente)?|cada mes|una vez al mes|quincenal(?:mente)?)\b"
    )
    keeps = r"\b(?:duran?|vencen?|caducan?|siguen? estéril\w*)\b.*\b\d+ (?:días|semanas|meses)\b"
    minutes = r"\b(?P<n>\d+) ?min"
    weekly = (
        r"\b(?:semanal(?:mente)?|cada semana|una vez (?:a la|por) semana|informes?|resultados?|pedidos?|facturas?)\b"
    )
    gloves = r"\bcon (?:los )?guantes (?:usados|sucios)\b"
    return (
        Claim(
            "no-recap",
            (r"\bagujas?\b", r"\b(?:re(?:encapuch|encapsul|tap)|tapar?\b)"),
            rf"{denied}|una mano|dispositivo",
        ),
        Claim("dropped-local", (pack, fell, used), rf"{redone}|\bresponsable\b"),
        Claim("fallen", (fell, r"\b(?:enju[áa]g|l[íi]mpi|desinf[ée]ct)\w+.*\b(?:[úu]s[ea]\w*|siga)\b"), denied),
        Claim("reject", (bad, used), redone),
        Claim(
            "internal-stop",
            (r"\bindicador\b", r"\b(?:no cambió|sin cambio|falta)\b", used),
            r"\bnunca\b|\bnadie\b|\bno (?:lo|la|se) usa?e?\b",
        ),
        Claim("drawer-never", (r"\b(?:cajón|estante)\b", gloves), denied),
        Claim(
            "hurt-wash",
            (
                r"\b(?:herida|pinchazo|corte|dedo|piel)\b",
                r"\bexprim[aie]\w*|\b(?:con|en|use|ponga|eche) (?:\w+ )?cloro\b",
            ),
            denied,
        ),
        Claim("spore-weekly", (r"\besporas\b", rarely), weekly, _rarer_than_weekly),
        Claim("keeps-event", (rf"{pack}|\bjuegos?\b", keeps), denied, _keeps_by_event),
        Claim("flush-lines", (r"\baire y agua\b", r"\b(?P<n>\d+) ?(?:segundos|s)\b"), wrong=_below(20)),
        Claim(
            "spill-eye",
            (r"\bojos?\b|\blavaojos\b", r"\benju[áa]g", minutes),
            r"\b(?:seman|mens|diari|prueb)",
            _below(15),
        ),
        Claim("burn-cool", (r"\bquemadura\b", r"\bagua\b", minutes), "", _below(20)),
    )


def _german() -> tuple[Claim, ...]:
    denied = r"\b(?:nie|niemals|nicht|nichts|niemand|kein(?:e[nmrs]?)?|ohne|statt|verboten|untersagt|unzulässig)\b"
    redone = rf"{denied}|\w*aufbereit|\bneuer zyklus"
    pack = r"\b\w*(?:packung(?:en)?|beutel[ns]?|kassetten?)\b"
    fell = r"\b(?:\w*gefallen(?:e[nmrs]?)?|\w*fällt|fiel(?:en)?)\b"
    use = r"(?:weiter|wieder)?(?:verwend|benutz|gebrauch)"
    used = (
        rf"\b(?:(?:trotzdem|dennoch|weiter|weiterhin|zuerst) {use}\w+|(?:darf|dürfen|kann|können)\b.*\b{use}\w+"
        r"|(?:ist|sind|bleibt|bleiben) (?:noch|trotzdem|weiterhin) (?:gut|steril|in ordnung)"
        r"|(?:zurück )?(?:ins|in das|in die|in den|auf das|auf den) (?:regal|schublade|schrank|lager)"
        r"|zurück(?:zu)?leg\w+|zurückgelegt|abtrock\w+|abgetrocknet|trocken(?:wisch|reib|tupf)\w+)\b"
    )
    state = r"(?:offen|geöffnet|eingerissen|gerissen|zerrissen|nass|feucht|durchstochen)"
    bad = (
        rf"\b{state}e[nmrs]? (?:(?:oder|und) \w+ )?\w*(?:packung|beutel|kassette)"
        rf"|\b\w*(?:packung(?:en)?|beuteln?|kassetten?) (?:(?:ist|sind|war|waren|kommt|kam|noch) )*{state}\b"
    )
    rarely = (
        r"\b(?:alle (?P<n>\d+|zwei|drei|vier) (?P<unit>tage|wochen|monate)|monatlich|jeden monat"
        r"|einmal (?:im|pro) monat|jede zweite woche|zweiwöchentlich|vierteljährlich|quartalsweise)\b"
    )
    weekly = r"\b(?:wöchentlich|jede woche|einmal (?:in der|pro) woche|berichte?|ergebnisse?|bestell\w*|rechnung\w*)\b"
    keeps = (
        r"\b(?:(?<!feucht )(?:hält|halten)|haltbar\w*|(?:ist|sind|bleibt|bleiben)\b.*\bsteril|verf[aä]ll\w+"
        r"|läuft\b.*\bab)\b.*\b\d+ (?:tagen?|wochen|monaten?)\b"
        r"|\b\d+ (?:tage|wochen|monate) (?:lang )?(?:haltbar|steril|gut)\b"
    )
    cap = (
        r"\brecapp\w+|\b(?:kappe|hülle|schutzkappe|schutzhülle)\b.*"
        r"\b(?:auf(?:zu)?(?:setz|steck|schieb)\w*|aufge(?:setzt|steckt)|zurück\w*|wieder (?:auf|drauf))\b"
    )
    squeezed = r"\baus(?:zu)?(?:drück|press|quetsch)\w*|\bausge(?:drückt|presst|quetscht)|\b(?:mit|in) (?:\w+ )?bleich"
    minutes = r"\b(?P<n>\d+) ?min"
    return (
        Claim(
            "no-recap", (r"\b\w*(?:nadeln?|kanülen?)\b", cap), rf"{denied}|einhändig|eine[mr]? hand|vorrichtung|halter"
        ),
        Claim("dropped-local", (pack, fell, used), rf"{redone}|leitung"),
        Claim(
            "fallen", (fell, rf"\b(?:ab)?(?:ge)?(?:spül|wisch|desinfizier)\w*\b.*\b{use}"), rf"{denied}|\w*aufbereit"
        ),
        Claim("reject", (bad, used), redone),
        Claim(
            "internal-stop",
            (r"\b\w*indikator(?:en|s)?\b", r"\b(?:nicht umgeschlagen|nicht verfärbt|unverändert|fehlt|fehlen)\b", used),
            rf"\b(?:nie|niemals|niemand|nichts|keine?)\b|\bnicht (?:mehr )?{use}",
        ),
        Claim(
            "drawer-never",
            (r"\b\w*(?:schublade|regal)", r"\bmit (?:den |ihren )?(?:benutzten|gebrauchten|schmutzigen) handschuhen\b"),
            denied,
        ),
        Claim("hurt-wash", (r"\b\w*(?:wunde|stich|schnitt|verletzung|finger|haut)\b", squeezed), denied),
        Claim("spore-weekly", (r"\b\w*sporen", rarely), weekly, _rarer_than_weekly),
        Claim("keeps-event", (rf"{pack}|\bsets?\b", keeps), denied, _keeps_by_event),
        Claim(
            "flush-lines",
            (r"\bdurch(?:zu|ge)?spül|\b(?:luft und wasser|wasser und luft)\b", r"\b(?P<n>\d+) ?(?:sekunden|sek|s)\b"),
            wrong=_below(20),
        ),
        Claim(
            "spill-eye",
            (r"\baugen?(?:dusche)?\b", r"spül", minutes),
            r"woche|wöchentlich|monat|täglich|test|prüf|probe",
            _below(15),
        ),
        Claim(
            "burn-cool",
            (r"\b(?:verbrennung(?:en)?|verbrannt\w*|verbrüh\w+)\b", r"wasser|kühl", minutes),
            "",
            _below(20),
        ),
    )


def _french() -> tuple[Claim, ...]:
    """French advice on wounds names diluted bleach (from memory): whoever follows it replaces the rule of the cards."""
    denied = r"\b(?:jamais|ne|pas|ni|personne|rien|aucune?|sans|au lieu|interdit\w*|proscri\w+)\b|\bn[’']"
    redone = rf"{denied}|\bretrait|\brestérilis|\bcycle (?:neuf|complet)"
    pack = r"\b(?:paquet|sachet|pochette|cassette)s?\b"
    fell = r"\btomb(?:ée?s?|ent?|er)\b"
    still = r"(?:quand même|tout de même|encore|toujours|d[’']abord)"
    shelf = r"\b(?:étagère|tiroir|armoire)"
    used = (
        rf"\b(?:peu(?:t|vent)|pouvez) (?:{still} )?(?:être |s[’']|se |l[’']|les? |la )?"
        r"(?:ré)?(?:utilis|serv|emplo)\w+"
        rf"|(?:l[’']|\bles )(?:ré)?utiliser {still}|\butilisez-l(?:es?|a) {still}"
        rf"|\b(?:est|sont|restent?) (?:{still} )?(?:bon(?:ne)?s?|stériles?)\b"
        rf"|\b(?:rem(?:ettre|ettez)|ranger|rangez)\b.*{shelf}|\b(?:séch|essuy)(?:er|ez)\b"
    )
    bad = (
        r"\b(?:paquet|sachet|pochette|cassette)s? (?:(?:qui|est|sont|était|sort|encore) )*"
        r"(?:ouvert|déchiré|mouillé|humide|percé|troué)e?s?\b"
    )
    rarely = (
        r"\b(?:tou(?:s|tes) les (?P<n>\d+|deux|trois|quatre) (?P<unit>jours|semaines|mois)|mensuel\w*|tous les mois"
        r"|chaque mois|(?:une|deux) fois par mois|trimestriel\w*)\b"
    )
    weekly = (
        r"\b(?:hebdomadaires?|chaque semaine|toutes les semaines|une fois par semaine"
        r"|rapports?|résultats?|command\w+|factures?)\b"
    )
    keeps = (
        r"\b(?:se (?:gard|conserv)\w+|dur(?:e|ent)|(?:est|sont|restent?) (?:\w+ )?stériles?"
        r"|(?:périm|expir)\w+|valables?)\b.*\b\d+ (?:jours|semaines|mois)\b"
    )
    gloves = r"\bavec (?:les |des |ses |vos )?gants (?:utilisés|usagés|sales|souillés)\b"
    squeezed = r"\b(?:press(?:er|ez)|fai(?:re|tes) saigner)\b|\b(?:à|avec|dans) (?:de )?l[’'](?:eau de )?javel\b"
    minutes = r"\b(?P<n>\d+) ?min"
    return (
        Claim(
            "no-recap",
            (r"\baiguilles?\b", r"\brecapuchonn(?:er|ez)\b|\bremet(?:tre|tez)\b.*\bcapuchon\b"),
            rf"{denied}|\bd[’']une (?:seule )?main\b|dispositif",
        ),
        Claim("dropped-local", (pack, fell, used), rf"{redone}|\bresponsable\b"),
        Claim(
            "fallen",
            (
                fell,
                r"\b(?:rinc|essuy|désinfect)(?:er|ez|é)\b.*\b(?:ré)?(?:utilis|continu|emplo)\w+",
            ),
            rf"{denied}|\bretrait",
        ),
        Claim("reject", (bad, used), redone),
        Claim(
            "internal-stop",
            (r"\bindicateurs?\b", r"\bn[’']a pas (?:viré|changé)|\b(?:non viré|inchangé|manqu(?:e|ant)|absent)", used),
            r"\b(?:jamais|personne|rien)\b|\bne (?:l[’']|les? |la )?(?:ré)?(?:utilis|peu|pas|doi)|\bn[’']utilis",
        ),
        Claim("drawer-never", (r"\b(?:tiroir|étagère)", gloves), denied),
        Claim("hurt-wash", (r"\b(?:plaie|piqûre|coupure|blessure|doigt|peau)s?\b", squeezed), denied),
        Claim("spore-weekly", (r"\b(?:spores?|tests? biologiques?)\b", rarely), weekly, _rarer_than_weekly),
        Claim("keeps-event", (rf"{pack}|\bkits?\b", keeps), denied, _keeps_by_event),
        Claim(
            "flush-lines",
            (r"\b(?:air et eau|eau et air)\b|\bpurg", r"\b(?P<n>\d+) ?(?:secondes|s)\b"),
            wrong=_below(20),
        ),
        Claim(
            "spill-eye",
            (r"\b(?:œil|oeil|yeux)\b", r"\brinc", minutes),
            r"semaine|hebdo|mois|mensuel|jour\b|quotidien|\btest|vérif|essa",
            _below(15),
        ),
        Claim(
            "burn-cool",
            (r"\bbrûl(?:ures?|ée?s?)\b", r"\beau\b|refroidi", minutes),
            r"risque|danger|support|chambre",
            _below(20),
        ),
    )


#: By language: what cannot stand beside the cards.
CLAIMS: Mapping[str, tuple[Claim, ...]] = MappingProxyType(
    {"en": _english(), "es": _spanish(), "de": _german(), "fr": _french()}
)
