"""The guard at the door: which columns look as if they were about patients, and are never read.

A column is judged by its heading and by its cells: names, birth dates, telephone numbers, e-mail, addresses, record
numbers, notes. What is said of it names its letter, and its heading where that consists of known words alone (in a
table without headings, the first line is about a patient too). No cell is ever said.

Habits of the trade's lists: common practice, no source.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

from kitdocs.importing.vocabulary import TRADE, folded, in_other_languages, other_words, words_of
from kitdocs.practice.message import Message, message

Kind = Literal["name", "birth-date", "telephone", "email", "address", "record-number", "personal", "note"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Reason:
    """Why a column is not read: what it looks like, and whether its heading or its cells say so.

    `heading` is '' unless it may be shown.
    """

    kind: Kind
    seen_in: Literal["heading", "cells"]
    heading: str = ""

    def message(self, column: str) -> Message:
        """Return the sentence about the column with this letter."""
        what = message(f"people.kind.{self.kind}")
        if self.heading:
            return message("people.by-heading", column=column, heading=self.heading, what=what)
        return message("people.by-cells" if self.seen_in == "cells" else "people.unnamed", column=column, what=what)


def _words(text: str, elsewhere: str) -> frozenset[str]:
    """The words of a text, and what other languages have under a name."""
    return frozenset((*text.split(), *other_words("people", elsewhere)))


PATIENT = _words(
    "patient patients pt pts patname ptname px pac paciente pacientes client clients cliente clientes", "patient"
)
#: What is said of a visit, not of who comes: “Patient seated”, “Estado del paciente”.
_OF_THE_VISIT = _words(
    "arrived arrival arrive seated seat dismissed dismissal checked check checkin checkout in out time times wait "
    "waiting status minutes duration length hora horas llegada llegado sentado salida entrada estado estatus espera "
    "minutos duracion start end inicio fin type procedure tipo procedimiento",
    "of-the-visit",
)
#: Phrases in a heading, in this order: the first that is found says what the column is about.
_HEADINGS: tuple[tuple[Kind, str], ...] = (
    (
        "birth-date",
        r"dob|d o b|birth\w*|born|bday|nacimiento|nac|fecnac|f nac|cumpleanos|age|ages|edad|edades|date of birth",
    ),
    (
        "telephone",
        r"\w*phones?|telephones?|tel|tels|mobile|cell|cel|fax|sms|whatsapp|telefonos?|tlf|tfno|celular|moviles|movil",
    ),
    ("email", r"emails?|e mails?|mail|correos?|correo electronico"),
    (
        "address",
        r"address\w*|street|city|town|zip|zipcode|postcode|postal|county|direccion|direcciones|domicilio|calle|ciudad"
        r"|colonia|cp|c p|poblacion|municipio|localidad|residence",
    ),
    (
        "record-number",
        r"chart|charts|mrn|ssn|social security|(?:medical )?records? (?:no|num|number|id)|record|acct|account\w*"
        r"|(?:patient|pt|client|member|subscriber|guarantor|policy|group|insurance|pac|paciente|cliente) ?"
        r"(?:id|no|num|nr|number|code|key|numero|codigo)|(?:id|no|num|numero|codigo|n) (?:del? )?(?:paciente|cliente)"
        r"|policy|insurance|insurer|expediente|expedientes|historia|historial|historia clinica|nhc|dni|nie|nif|curp|rfc"
        r"|nss|cedula|poliza|seguro|seguros|aseguradora|ficha|medicaid|passport|pasaporte|pat ?(?:id|num)|ptid",
    ),
    (
        "name",
        r"(?:first|last|given|family|middle|full|maiden|preferred|legal|nick) ?names?|surnames?|forenames?|nickname"
        r"|fname|lname|mname|firstname|lastname|fullname|middle initial|apellidos?"
        r"|nombres? (?:completo|y apellidos?|de pila)|nombres|guardians?|parents?|mother|father|mom|dad"
        r"|guarantor|responsible party|subscriber|insured"
        r"|policy holder|contacts?|emergency contact|spouse|padre|madre|padres|tutora?|tutores|titular|acompanante"
        r"|responsable economico|responsable de pago|asegurado|contactos?|attendees?|asistentes?|invitados?|salutation"
        r"|siblings?|hermanos?",
    ),
    (
        "personal",
        r"sex|gender|sexo|genero|race|ethnicity|allerg\w*|alergias?|alerts?|alertas?|medical|medications?|diagnosis"
        r"|diagnosticos?|medicacion|school|escuela|colegio|occupation|ocupacion|employer|empleador|balance|saldo",
    ),
    (
        "note",
        r"notes?|comments?|memos?|remarks?|notas?|comentarios?|observacion|observaciones|anotacion|anotaciones|obs",
    ),
)
_ELSEWHERE = [there["people"] for there in in_other_languages().values()]
_EVERY_HEADING = tuple(
    (kind, "|".join((phrase, *(re.sub(r"\s*\|\s*", "|", each["headings"][kind]) for each in _ELSEWHERE))))
    for kind, phrase in _HEADINGS
)
_HEADING_RULES = tuple((kind, re.compile(rf"(?<!\w)(?:{phrase})(?!\w)")) for kind, phrase in _EVERY_HEADING)
_PLAIN = _words(
    "of de del la el y and the no num number numero nr id n s d f code codigo name nombre date fecha home", "plain"
)
_SPELLED = " ".join(phrase for _, phrase in _EVERY_HEADING)
_HEADING_WORDS = (
    frozenset(re.findall(r"[a-z]{2,}", _SPELLED) + re.findall(r"([a-z]+)[a-z]\?", _SPELLED)) | PATIENT | _PLAIN
)

#: Columns of things: what stands in them is no person, however it is written.
_OF_THINGS = _words(
    "instrument instruments instrumento instrumentos item items articulo articulos product producto equipment "
    "material procedure procedures procedimiento type types tipo service servicio treatment tratamiento appointment "
    "cassette set tray kit pouch bolsa drawing manufacturer maker supplier vendor fabricante proveedor brand "
    "marca size medida length",
    "things",
)
_ITEM_NUMBERS = _words(
    "sku part item items catalog catalogue cat ref reference article articulo referencia serial serie lot lote barcode "
    "gtin ean upc price precio cost costo coste time hora start end inicio fin date fecha minutes minutos units amount",
    "item-numbers",
)
_STAFF = _words(
    "provider providers doctor doctors dr assistant assistants staff column columns chair chairs operatory op resource "
    "dentist orthodontist clinician hygienist tech doctora asistente auxiliar sillon columna recurso proveedor "
    "gabinete profesional especialista odontologo ortodoncista responsable dentista operador user usuario",
    "staff",
)
_BOUGHT = _words(
    "bought purchased purchase acquired service serviced expiry expires compra comprado adquirido vence", "bought"
)

#: More different names than this are no staff.
_MOST_STAFF = 20

_EMAIL = re.compile(r"[^\s@<>]+@[^\s@<>]+\.[a-z]{2,}", re.IGNORECASE)
_PHONE = re.compile(r"(?:\+|\b00)?\(?\d[\d ().\-]{5,17}\d(?:\s*(?:x|ext\.?)\s*\d+)?")
_DATE = re.compile(
    r"(?:(?P<first>\d{4})[-/.]\d{1,2}[-/.]\d{1,2}|\d{1,2}[-/. ](?:\d{1,2}|[a-z]{3,10})\.?[-/. ](?P<last>\d{4}|\d{2})"
    r"|[a-z]{3,10}\.? \d{1,2},? (?P<after>\d{4}))(?:[t ].*)?",
    re.IGNORECASE,
)
_ADDRESS = re.compile(
    r"\b\d{1,5}\w? +(?:\w+\.? +){1,4}(?:st|street|ave|avenue|rd|road|blvd|ln|lane|dr|drive|ct|court|way|pl|hwy)\b"
    r"|\b(?:calle|c/|av|avda|avenida|paseo|plaza|carrer|camino|carretera|blvd|colonia)\b.*\d|\bp\.? ?o\.? box\b|"
    + "|".join(each["address"] for each in _ELSEWHERE),
    re.IGNORECASE,
)
_RECORD_NUMBER = re.compile(r"[A-Za-z]{0,3}[-# ]?\d{5,10}|[A-Za-z]{1,3}[-#]?\d{3,10}(?:-\d{1,3})?")
_DAY_IN_DIGITS = re.compile(r"(?:19|20)\d\d(?:0[1-9]|1[0-2])(?:0[1-9]|[12]\d|3[01])")
_LETTERS = r"[^\W\d_]"
_PARTICLE = "d[ei]|del|la|las|los|van|von|der|da|do|dos|y|e|zu|zum|zur|du|des|le"
_NAME_WORD = rf"(?:{_PARTICLE}|{_LETTERS}['’]?{_LETTERS}*(?:-{_LETTERS}+)*\.?)"
_NAMED = re.compile(rf"{_NAME_WORD}(?: {_NAME_WORD}){{1,4}}")
_SURNAME_FIRST = re.compile(rf"{_NAME_WORD}(?: {_NAME_WORD}){{0,3}}, ?{_NAME_WORD}(?: {_NAME_WORD}){{0,2}}")
_PARTICLES = _words("de di del la las los van von der da do dos y e", "particles")


def looks_like_people(heading: str, cells: Iterable[str]) -> Reason | None:
    """Return why a column is not to be read; None where nothing says that it is about patients.

    `cells` are the texts below the heading. A column of things (`Instrument`, `Procedure`) may hold words that are
    written as names are, and a column of staff a few names that come again and again.
    """
    if reason := _by_heading(heading):
        return reason
    texts = [text for cell in cells if (text := " ".join(cell.split()))]
    kind = _by_cells(frozenset(words_of(heading)), texts) if texts else None
    return Reason(kind=kind, seen_in="cells") if kind else None


def _by_heading(heading: str) -> Reason | None:
    words = words_of(heading)
    line = " ".join(words)
    kind: Kind | None = next((kind for kind, rule in _HEADING_RULES if rule.search(line)), None)
    if kind is None and PATIENT & set(words) and not _OF_THE_VISIT & set(words):
        kind = "name"
    if kind is None:
        return None
    known = set(words) <= _HEADING_WORDS | _OF_THE_VISIT
    return Reason(kind=kind, seen_in="heading", heading=" ".join(heading.split()) if known else "")


def _by_cells(heading: frozenset[str], texts: Sequence[str]) -> Kind | None:
    count = len(texts)
    distinct = len({folded(text) for text in texts}) / count
    numbered = bool(heading & _ITEM_NUMBERS)
    few = 12 if heading & _STAFF else 2
    looks: dict[Kind, Callable[[], bool]] = {
        "email": lambda: _share(texts, _EMAIL.search) >= 0.1,
        "telephone": lambda: not numbered and _share(texts, _telephone) >= 0.2,
        "address": lambda: _share(texts, _ADDRESS.search) >= 0.3,
        "birth-date": lambda: not heading & _BOUGHT and count >= 4 and distinct >= 0.7 and _are_birth_dates(texts),
        "record-number": lambda: not numbered and count >= 8 and distinct >= 0.6 and _are_record_numbers(texts),
    }
    many = distinct > 0.5 or distinct * count >= _MOST_STAFF
    if heading & _OF_THINGS:
        looks["name"] = lambda: count >= 12 and many and _are_names(texts, False, most=0.8, trade=0.1)
    else:
        alone = bool(heading & {"name", "nombre"})
        looks["name"] = lambda: count >= few and many and _are_names(texts, alone, most=0.5, trade=0.2)
        looks["note"] = lambda: count >= 4 and distinct > 0.6 and _are_notes(texts)
    return next((kind for kind, is_so in looks.items() if is_so()), None)


def _share(texts: Sequence[str], finds: Callable[[str], object]) -> float:
    return sum(bool(finds(text)) for text in texts) / len(texts)


def _telephone(text: str) -> bool:
    digits = len(re.sub(r"\D", "", text))
    like = not _DATE.fullmatch(text) and _PHONE.fullmatch(text) is not None and 7 <= digits <= 15
    return like and (digits < len(text) or digits in (9, 10))


def _are_birth_dates(texts: Sequence[str]) -> bool:
    """Whether most are dates, and the middle four fifths of their years lie more than five years apart."""
    years = sorted(int(year) for text in texts if (year := _year(text)))
    if len(years) < 0.6 * len(texts):
        return False
    cut = len(years) // 10
    return years[-1 - cut] - years[cut] > 5


def _year(text: str) -> str | None:
    """The year of a date; one of two digits is of the past hundred years up to 2029, for want of more."""
    found = _DATE.fullmatch(text)
    year = next(filter(None, found.groups()), None) if found else None
    if year and len(year) == 2:
        return f"20{year}" if int(year) < 30 else f"19{year}"
    return year


def _are_record_numbers(texts: Sequence[str]) -> bool:
    like = [text for text in texts if _RECORD_NUMBER.fullmatch(text) and not _DAY_IN_DIGITS.fullmatch(text)]
    return len(like) >= 0.8 * len(texts)


def _are_names(texts: Sequence[str], alone: bool, *, most: float, trade: float) -> bool:
    """Whether at least the share `most` are names of people and less than `trade` speak of the trade."""
    return _share(texts, _of_trade) < trade and _share(texts, lambda text: is_name(text, alone=alone)) >= most


def _are_notes(texts: Sequence[str]) -> bool:
    """Whether they are sentences of at least five words, most without a word of the trade."""
    return sum(len(text.split()) for text in texts) >= 5 * len(texts) and _share(texts, _of_trade) < 0.5


def _of_trade(text: str) -> bool:
    return not TRADE.isdisjoint(words_of(text))


def is_name(text: str, *, alone: bool = False) -> bool:
    """Whether a text is written as a person's name is: `Ana López`, `López, Ana`, `SMITH J.`; `alone`: also `Ana`.

    Not where half of its words are of the trade.
    """
    words = words_of(text)
    if 2 * len(TRADE.intersection(words)) >= len(words):
        return False
    if _SURNAME_FIRST.fullmatch(text):
        return True
    capital = all(word[:1].isupper() for word in text.split() if word not in _PARTICLES)
    return capital and bool(_NAMED.fullmatch(text) or (alone and re.fullmatch(_NAME_WORD, text)))
