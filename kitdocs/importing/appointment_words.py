"""Words that offices write in an appointment book: what became of a visit, and what is no visit at all.

English and Spanish here, other languages in the folder languages/; common practice, no source.
"""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable, Mapping

from kitdocs.importing.askable import Phrase, phrase
from kitdocs.importing.visits import Standing
from kitdocs.importing.vocabulary import folded, in_other_languages, of_one_meaning, other_words

_OUTCOMES: Mapping[Standing, str] = {
    "kept": "complete|completed|done|finished|kept|arrived|checked in|checked out|seated|in chair|in progress|ready"
    "|dismissed|walked out|seen|attended|here|completa|completada|completado|realizada|realizado|atendido|atendida"
    "|asistio|finalizada|finalizado|cumplida|terminada|llego|en sillon|en curso|presente|salio",
    "absent": "no show|noshow|ns|fail|failed|fta|failed to appear|missed|dna|did not attend|did not arrive|absent"
    "|broken|broken appointment|no asistio|no se presento|no acudio|no vino|fallo|fallada|ausente|falto|inasistencia"
    "|falta|no presentado",
    "cancelled": "cancelled|canceled|cancel|cxl|canx|rescheduled|moved|deleted|void|late cancel|late cancellation"
    "|cancelada|cancelado|anulada|anulado|reprogramada|reprogramado|cambiada|aplazada|eliminada",
    "booked": "scheduled|booked|confirmed|unconfirmed|not confirmed|pending|tentative|reminded|left message|active|open"
    "|programada|programado|confirmada|confirmado|sin confirmar|no confirmada|pendiente|agendada|reservada|activa",
}
OUTCOMES: Mapping[Phrase, Standing] = of_one_meaning(
    (phrase(words), standing)
    for standing, listed in _OUTCOMES.items()
    for words in (*listed.split("|"), *other_words("outcomes", standing))
)
"""What each word says of a visit, by its words, folded."""

_CLOSED = {*phrase("closed holiday vacation off cerrado festivo feriado vacaciones libre"), *other_words("closed")}
_NO_VISIT = _CLOSED | {
    *phrase("lunch block blocked meeting break huddle admin hold almuerzo comida bloqueo bloqueado junta reunion"),
    "descanso",
    *other_words("no-visit"),
}
#: How offices shorten the words that procedures are named by.
_SHORT = {
    **{short: folded(long) for there in in_other_languages().values() for short, long in there["short"].items()},
    "adj": "adjustment",
    "aw": "archwire",
    "bnd": "bonding",
    "bond": "bonding",
    "chk": "check",
    "cons": "consultation",
    "consult": "consultation",
    "db": "debond",
    "deband": "debond",
    "debonding": "debond",
    "debanding": "debond",
    "del": "delivery",
    "em": "emergency",
    "emerg": "emergency",
    "ex": "exam",
    "imp": "impression",
    "np": "new patient",
    "obs": "observation",
    "rec": "records",
    "rep": "repair",
    "repo": "reposition",
    "ret": "retainer",
    "retie": "ligature",
    "rtn": "retainer",
    "sep": "separator",
    "seps": "separator",
    "wc": "wire change",
}


def is_no_visit(label: Phrase) -> bool:
    """Whether a label says that nobody comes: lunch, a meeting, a holiday."""
    return not _NO_VISIT.isdisjoint(label)


def is_closed(label: Phrase) -> bool:
    """Whether a label says that the practice is closed."""
    return not _CLOSED.isdisjoint(label)


def likest(label: Phrase, named: Mapping[str, Iterable[Phrase]]) -> tuple[str, float]:
    """Return the id whose name is likest to a label, short forms spelled out, and how sure that is; '' for none."""
    best = ("", 0.0)
    ours = spelled_out(label)
    for id_, names in named.items():
        for name in names:
            theirs = spelled_out(name)
            common = len(set(ours) & set(theirs)) / max(1, min(len(set(ours)), len(set(theirs))))
            alike = difflib.SequenceMatcher(None, " ".join(ours), " ".join(theirs)).ratio()
            best = max(best, (id_, round(0.9 * max(alike, 0.85 * common), 2)), key=lambda each: each[1])
    return best if best[1] >= 0.5 else ("", 0.0)


def spelled_out(label: Phrase) -> list[str]:
    """Return the words of a label, the trade's short forms written out."""
    return [word for short in label for word in _SHORT.get(short, short).split()]


#: What a chair is called beside its number, in lists of any office.
_CHAIR = {
    *("op", "ops", "operatory", "opr", "chair", "ch", "chr", "room", "rm", "bay", "unit", "no", "nr", "n", "box"),
    *("sillon", "sill", "unidad", "consultorio", "gabinete", "sala"),
    *other_words("beside-number"),
}


def is_chair(label: Phrase, names: Iterable[Phrase]) -> bool:
    """Whether the words of a label beside its number name a chair in general, or one with these names."""
    usual = _CHAIR.union(*(_beside_numbers(name) for name in names))
    return _beside_numbers(label) <= usual


def _beside_numbers(label: Phrase) -> set[str]:
    return set(re.findall(r"[^\W\d_]+", " ".join(label)))


def numbered(label: Phrase) -> str:
    """Return the last number in a label, as `3` of `OP 3`, `OP3`; '' where there is none."""
    found = re.findall(r"\d+", " ".join(label))
    return str(int(found[-1])) if found else ""
