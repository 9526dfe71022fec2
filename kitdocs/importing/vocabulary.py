"""The words of the trade, by which a text is told from a person's name; and texts made comparable.

English and Spanish stand in these modules, lists.yaml and trade.yaml; what offices write in another language is one
file of the folder languages/.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Hashable, Iterable, Mapping
from functools import cache, lru_cache
from pathlib import Path
from types import MappingProxyType
from typing import Any, TypeVar, get_args

import yaml

from kitdocs.practice.kinds import DrawingKind
from kitdocs.practice.sentences import shipped_sentences
from kitdocs.shipped import shipped_languages

_Word = TypeVar("_Word", bound=Hashable)
_Meaning = TypeVar("_Meaning")
_CAMEL = re.compile(r"(?<=[a-z0-9])(?=[A-Z])|(?<=[A-Z])(?=[A-Z][a-z])")


@lru_cache(maxsize=4096)  # cells of a column repeat
def folded(text: str) -> str:
    """Return a text in small letters, without accents, with one space between its words."""
    plain = unicodedata.normalize("NFKD", text)
    return " ".join("".join(c for c in plain if not unicodedata.combining(c)).casefold().split())


def words_of(text: str) -> list[str]:
    """Return the words of a text, folded: ``["patient", "name"]`` of `PatientName`, `patient_name`."""
    return re.findall(r"[^\W_]+", folded(_CAMEL.sub(" ", text)))


#: Kinds of visits and what is done there, in English and Spanish, with their usual short forms.
_VISITS = """
hemostat hemostats forceps elevator pusher seater adj adjust adjustment adjustments aligner aligners align appliance
appliances appointment appt arch archwire archwires auxiliaries band banding bands bond bonding bonds bite bracket
brackets braces broken check checks chain chk clean cleaning close closing comfort consult consultation con deband
debanding debond debonding deliver delivery elastic elastics emergency exam exams exp expander expanders fee final
finish finishing fit fitting fixed full hygiene imp impression impressions indirect initial insert invis ipr lab
ligature loose lower maintenance new np obs observation ortho pano partial phase photos photo post power progress
prophy re rebond records recall removal remove repair reposition repositioning ret retainer retainers retie review rpe
rtn scan scans sep separator separators seps start surgery tad tads tie treatment tx update upper visit visits wire
wires x xray blocked block lunch meeting closed holiday break ajuste ajustes alineador alineadores aparato arco arcos
banda bandas bracket bucal cadena cementado cementar cita colocacion colocar consulta control corte dobleces doblez
elasticos emergencia entrega escaneo estudio examen expansor fase fijo final fotos higiene impresion impresiones
indirecto inferior inicial inicio ligadura limpieza mantenimiento microtornillo nuevo paciente parcial patient primera
profilaxis pulido recementado recementar reparacion retencion retenedor retenedores retirada retirar retiro revision
roto segunda separador separadores superior tratamiento urgencia valoracion visita bloqueado almuerzo comida junta
cerrado festivo descanso chair sillon operatory op room sala column columna team equipo
"""


@cache
def in_other_languages() -> Mapping[str, Mapping[str, Any]]:
    """Return, by language, what is written in lists of the languages beside English and Spanish."""
    files = sorted((Path(__file__).parent / "languages").glob("*.yaml"))
    return MappingProxyType({path.stem: yaml.safe_load(path.read_text("utf-8")) for path in files})


def read_languages() -> tuple[str, ...]:
    """Return the languages that lists are read in."""
    return ("en", "es", *in_other_languages())


def other_words(*keys: str) -> list[str]:
    """Return the words that the other languages have at a place of their files, one after the other, folded."""
    found: list[str] = []
    for there in in_other_languages().values():
        at: Any = there
        for key in keys:
            at = at.get(key, {})
        found += map(folded, at.split() if isinstance(at, str) else at)
    return found


def of_one_meaning(meanings: Iterable[tuple[_Word, _Meaning]]) -> dict[_Word, _Meaning]:
    """Return what each word means, without those that languages use for different things."""
    found: dict[_Word, list[_Meaning]] = {}
    for word, meaning in meanings:
        found.setdefault(word, []).append(meaning)
    return {word: each[0] for word, each in found.items() if all(one == each[0] for one in each)}


_SMALL = {"a", "de", "del", "la", "las", "los", "el", "un", "una", "y", "e", "con", "para"}


def _trade() -> frozenset[str]:
    words = {word for kind in get_args(DrawingKind) for word in kind.split("-")}
    for language in shipped_languages():
        for key, sentence in shipped_sentences(language).items():
            if key.startswith("synonyms."):
                words.update(words_of(sentence))
    words.update(_VISITS.split(), other_words("visits"))
    return frozenset(words - _SMALL - {*other_words("small"), *other_words("surnames")} | set(_VISITS.split()))


TRADE: frozenset[str] = _trade()
"""Words of instruments and visits, folded."""
