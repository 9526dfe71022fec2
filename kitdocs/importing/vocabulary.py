"""The words of the trade, by which a text is told from a person's name; and texts made comparable."""

from __future__ import annotations

import re
import unicodedata
from functools import lru_cache
from typing import get_args

from kitdocs.practice.kinds import DrawingKind
from kitdocs.practice.sentences import shipped_sentences

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


_SMALL = {"a", "de", "del", "la", "las", "los", "el", "un", "una", "y", "e", "con", "para"}


def _trade() -> frozenset[str]:
    words = {word for kind in get_args(DrawingKind) for word in kind.split("-")}
    for language in ("en", "es"):
        for key, sentence in shipped_sentences(language).items():
            if key.startswith("synonyms."):
                words.update(words_of(sentence))
    words.update(_VISITS.split())
    return frozenset(words - _SMALL)


TRADE: frozenset[str] = _trade()
"""Words of instruments and visits, folded."""
