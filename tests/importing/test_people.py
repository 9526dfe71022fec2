"""Columns about patients are seen by heading or cells, in four languages; columns of things are not; no cell is said.

The lists are ours, invented; the habits of such lists are common practice, no source.
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from kitdocs.importing.people import is_name, looks_like_people
from kitdocs.practice.message import said
from kitdocs.practice.reading.reader import read_practice
from kitdocs.practice.sentences import shipped_sentences
from kitdocs.shipped import shipped_folder, shipped_languages

HEADINGS = {
    "name": "Patient|PatientName|patient_name|Pt.|Paciente|Nombre del paciente|First Name|LAST NAME|Apellidos|Guardian"
    "|Responsible party|Client|Nombre y apellidos|Parent/Guardian|Patient's name|Pt #"
    "|Vorname|Nachname|Patientin|Erziehungsberechtigte|Prénom|Nom de famille|Nom du patient",
    "birth-date": "DOB|D.O.B.|Date of birth|Birthdate|Fecha de nacimiento|F. Nac.|Edad|Patient age"
    "|Geburtsdatum|Geb.-Datum|Date de naissance",
    "telephone": "Phone|Home Phone|Cell|HomePhone|Teléfono|Tel.|Móvil|Patient phone|Phone 2"
    "|Telefonnummer|Handy|Portable",
    "email": "E-mail|Email|Correo electrónico|email_address|E-Mail-Adresse|Courriel",
    "address": "Address|Street|ZIP|Dirección|Domicilio|Código postal|C.P.|Anschrift|PLZ|Adresse|Code postal",
    "record-number": "Chart|Chart #|MRN|Patient ID|PatID|SSN|No. de expediente|Historia clínica|NHC|DNI|Insurance"
    "|Patienten-Nr.|Krankenkasse|Versicherten-Nr.|Numéro de dossier|N° patient|Mutuelle",
    "personal": "Sex|Gender|Sexo|Allergies|Medical alert|School|Alergias|Geschlecht|Allergien|Sexe",
    "note": "Notes|Appointment notes|Comments|Observaciones|Notas|Comentarios|Bemerkung|Notizen|Remarques|Commentaire",
}
CELLS = {
    "name": [
        "Quill, Ana",
        "Tern, Bo",
        "de la Rosa, Inés",
        "O'Dell, Cy",
        "Van der Meer, Io",
        "zur Linde, Ida",
        "Clair, Zoé",
    ],
    "birth-date": ["3/14/2009", "11/2/1988", "7/30/2013", "1/1/2011", "9/9/2016", "5/5/2004"],
    "telephone": ["(555) 010-0199", "555-0143", "+34 555 010 222", "555.010.0177"],
    "email": ["a.quill@mail.example", "", "bo@mail.example"],
    "address": [
        "12 Harbour View Road",
        "7 Elm St Apt 4",
        "Calle Mayor 14, 2º",
        "Lindenstraße 8",
        "14 bis, rue des Tilleuls",
    ],
    "record-number": [f"{100_000 + 7919 * n}" for n in range(9)],
    "note": [
        f"{who} called and will be somewhat late because of the {what}"
        for who in ("Mother", "Father")
        for what in ("bus", "rain", "game")
    ],
}


@pytest.mark.parametrize("kind", HEADINGS)
def test_a_heading_names_it(kind: str) -> None:
    found = {heading: looks_like_people(heading, ()) for heading in HEADINGS[kind].split("|")}
    assert {h: reason and (reason.kind, reason.seen_in) for h, reason in found.items()} == dict.fromkeys(
        found, (kind, "heading")
    )


@pytest.mark.parametrize("kind", CELLS)
@pytest.mark.parametrize("heading", ["", "X7"])
def test_cells_tell_it_whatever_the_heading_is(kind: str, heading: str) -> None:
    reason = looks_like_people(heading, CELLS[kind])
    assert reason and (reason.kind, reason.seen_in, reason.heading) == (kind, "cells", "")


@pytest.mark.parametrize("order", ["Ana Quill", "Quill Ana", "QUILL ANA", "Ana B. Quill", "Ana María Quill-Tern"])
def test_names_are_seen_in_any_order(order: str) -> None:
    assert is_name(order)


def test_columns_of_an_inventory_are_no_patients() -> None:
    """The names of the example practice, in both languages, by the headings that such a list has or has not."""
    practice = read_practice(shipped_folder("example_practice"))
    for language in shipped_languages():
        for table in (practice.instruments, practice.procedures, practice.sets, practice.pouches, practice.cassettes):
            names = [record.name.in_language(language).title() for record in table.values()]
            for heading in ("Name", "Instrument", "Description", "Nombre", "Artículo", ""):
                assert looks_like_people(heading, names) is None, (heading, names)


@pytest.mark.parametrize(
    ("heading", "cells"),
    [
        ("Date", ["11/26/2026", "11/27/2026"] * 20),
        ("Start", ["2026-11-26 08:30", "2026-11-26 09:00", "2026-11-26 10:15", "2026-11-27 08:00"]),
        ("Patient arrived", ["08:31", "09:02", ""]),
        ("Estado del paciente", ["Atendido", "No asistió"] * 5),
        ("Provider", ["Dr. Ana Quill", "Dr. Bo Tern"] * 20),
        ("Operatory", ["OP 1", "OP 2", "OP 3"]),
        ("Type", ["New Patient", "Full Bonding", "Wire Change", "Long Adj"]),
        ("Length", ["6 1/2 in", "140 mm", "5.5"]),
        ("Item no.", [f"{678_000 + 31 * n}" for n in range(20)]),
        ("Price", ["12999", "10450", "20100", "30750", "11111", "22222", "33333", "44444"]),
        ("Bought", ["3/14/2009", "11/2/2018", "7/30/2023", "1/1/2011", "9/9/2016"]),
        ("On hand", ["12", "", "7"]),
        ("Supplier", ["Acme Dental Supply", "Acme Dental Supply", "Bench And Co"] * 6),
        ("", []),
    ],
)
def test_columns_of_things_and_times_are_no_patients(heading: str, cells: list[str]) -> None:
    assert looks_like_people(heading, cells) is None


def sentences_about(heading: str, cells: list[str]) -> str:
    reason = looks_like_people(heading, cells)
    assert reason
    return "\n".join(said(reason.message("C"), shipped_sentences(language), language) for language in ("en", "es"))


def test_the_sentence_names_the_column_in_both_languages() -> None:
    assert sentences_about("Patient name", []) == (
        "column C (“Patient name”) is not read: by its heading, it holds names of patients\n"
        "la columna C («Patient name») no se lee: por su título, contiene nombres de pacientes"
    )
    assert "column C is not read: its cells look like e-mail addresses" in sentences_about("", CELLS["email"])


@given(
    kind=st.sampled_from(sorted(CELLS)),
    secret=st.from_regex(r"[A-Z][a-z]{6,9}", fullmatch=True),
    under=st.sampled_from(["Patient {}", "{}", "{} phone", "DOB {}", "Notes: {}"]),
)
def test_no_cell_and_no_unknown_word_of_a_heading_is_said(kind: str, secret: str, under: str) -> None:
    """Without headings, the first line is about a patient, too."""
    secret = f"Zq{secret}"
    cells = [*CELLS[kind], secret]
    assert not any(cell and cell in sentences_about(under.format(secret), cells) for cell in cells)
