"""The road of a new user: from an untidy inventory and two weeks of appointments to the first own card on paper.

What is counted is what a person does: the commands, and the lines that are typed or filled in. The limit of sixty
lines is that of the request; how long a person takes is not for a test to say.
"""

from __future__ import annotations

import csv
import io
from pathlib import Path

import pypdfium2 as pdfium
import pytest
from appointment_book import CANARY, csv_text
from asking import Ask
from test_no_patient_in_sight import assert_nobody
from untidy_office import appointments, inventory

#: What a person who looks at the questions answers otherwise than suggested.
OTHERWISE = {
    '["names", "blue thing"]': "-",
    '["names", "wieldable hooks"]': "-",
    '["names", "elastomeric chain clear"]': "-",
    '["practice", "name"]': "Harbour Street",
}


def answered(sheet: Path) -> int:
    """Fill in the sheet of questions; return how many there were. Every one has a suggestion, or is in `OTHERWISE`."""
    rows = list(csv.reader(io.StringIO(sheet.read_text("utf-8-sig"))))
    for row in rows[1:]:
        assert row[4] or row[0] in OTHERWISE, row
        row[-1] = OTHERWISE.get(row[0], "y")
    sheet.write_text(csv_text(rows), "utf-8")
    return len(rows) - 1


def words_of(pdf: Path) -> str:
    """All words of a PDF; three letters in its packed bytes would mean nothing."""
    return " ".join(" ".join(page.get_textpage().get_text_bounded() for page in pdfium.PdfDocument(pdf)).split())


@pytest.mark.whole
def test_four_commands_and_one_round_of_questions_lead_to_the_first_card(ask: Ask, tmp_path: Path) -> None:
    files = (inventory(tmp_path / "inventory.xlsx"), appointments(tmp_path / "appts.csv"))
    ours, new, sheet = tmp_path / "ours", tmp_path / "ours-with-sets", tmp_path / "questions.csv"

    first = ask("import", *files, ours, "--ask", sheet)
    assert first.status == 5 and not ours.exists() and "Nothing is written" in first.out
    lines = answered(sheet)
    second = ask("import", *files, ours, "--ask", sheet)
    assert second.status == 0, second.out
    assert " open" not in second.out and "name: Harbour Street" in (ours / "practice.yaml").read_text("utf-8")
    third = ask("propose", ours, "--to", new)
    assert third.status == 0, third.err
    fourth = ask("handbook", new, "--to", tmp_path / "out")
    assert fourth.status == 0, fourth.err

    assert 4 + lines <= 60
    assert "price" not in (new / "instruments.yaml").read_text("utf-8").partition("weingart-plier:")[2]
    said = {path.name: words_of(path) for path in (tmp_path / "out" / "print").glob("*.pdf")}
    assert "Refill: OP 1" in said["refill-cards.pdf"] and "Refill: OP 9" in said["refill-cards.pdf"]
    for folder in (ours, new):
        assert_nobody(folder, first, second, third, fourth)
    pages = {path.name: path.read_text("utf-8") for path in (tmp_path / "out").rglob("*.html")}
    assert pages and not [name for name, text in {**said, **pages}.items() if CANARY in text.lower()]


def test_a_question_that_only_an_answer_raises_is_asked_in_the_same_round(ask: Ask, tmp_path: Path) -> None:
    files = (inventory(tmp_path / "inventory.xlsx"), appointments(tmp_path / "appts.csv"))
    ask("import", *files, tmp_path / "ours", "--ask", tmp_path / "questions.csv")
    rows = list(csv.reader(io.StringIO((tmp_path / "questions.csv").read_text("utf-8-sig"))))
    about = [row[0] for row in rows[1:]]
    assert '["types", "adj l"]' in about and '["needs", "adj-l"]' in about and '["days", "schedule"]' in about
    assert len(set(about)) == len(about)
