"""What Typst is given, looked at without printing: the levels of headings, and the template of every document."""

from __future__ import annotations

import json
import re

import pytest
import sample_handbook

from kitdocs.document.blocks import Heading
from kitdocs.errors import PublishError
from kitdocs.publish.print import join
from kitdocs.publish.print.copyfitting import CardFits
from kitdocs.publish.print.data import PrintData, well_set
from kitdocs.publish.print.documents import BINDER, DOCUMENTS, plan_report, sheets
from kitdocs.publish.print.render_pdf import DocumentSource, render_pdf
from kitdocs.publish.print.rendering import Rendering
from kitdocs.shipped import shipped_folder


def test_no_level_of_headings_is_skipped_and_none_is_above_the_cards_own() -> None:
    # PDF/UA-1, 7.4.2: the first heading after H1 is H2, and each is at most one level below the one before it.
    data = PrintData(sample_handbook.sample_handbook())
    headings = data.plain(tuple(Heading(text=f"h{level}", level=level) for level in (4, 4, 6, 2, 1, 3)))
    assert isinstance(headings, list)
    assert [each["level"] for each in headings] == [2, 3, 4, 2, 2, 3]


def test_every_document_is_set_by_a_template_that_is_there(monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[str] = []

    def render(_: Rendering, template: str, data: PrintData, use: object = None) -> bytes:
        assert data.said["title"]
        asked.append(template)
        return b""

    monkeypatch.setattr(Rendering, "render", render)
    for fitting in ("fit", "fit_walls", "fit_report"):
        monkeypatch.setattr(CardFits, fitting, lambda _, data: data)
    one_each = {card.id: {"cut": 1, "per_sheet": 2} for card in sample_handbook.sample_handbook().cards}
    monkeypatch.setattr(CardFits, "walls", lambda _, data: one_each)
    monkeypatch.setattr(join, "joined", lambda *_: b"")
    handbook = sample_handbook.sample_handbook()
    everywhere = [document for document in DOCUMENTS if document is not BINDER]
    for document in everywhere:
        document.render(Rendering(handbook))
    plan_report(Rendering(handbook))
    sheets(handbook, handbook.cards[:2], title="Cards")
    assert len(asked) == len(everywhere) + 2
    assert [name for name in asked if not (shipped_folder("site_templates") / "print" / name).is_file()] == []


def test_a_fault_of_a_template_names_its_cards_and_shows_nobody_the_words_of_typst() -> None:
    cards = [{"title": f"Chair {n}"} for n in range(5)]
    source = DocumentSource(template="refill-cards.typ", files={"data.json": json.dumps({"cards": cards}).encode()})
    with pytest.raises(PublishError) as refused:
        render_pdf(source)
    assert re.fullmatch(
        "kitdocs made a mistake in the layout of “Chair 0”, “Chair 1”, “Chair 2”, …. "
        r"The folder is not at fault. Please report it with “[\w-]+\.typ(:\d+:\d+)?”",
        str(refused.value),
    )


@pytest.mark.parametrize("amount", ["15 µS/cm", "3 bar", "132 °C", "20 %", "5 ppm"])
def test_no_line_ends_between_a_number_and_its_unit(amount: str) -> None:
    held = amount.replace(" ", "\N{NO-BREAK SPACE}")
    assert well_set(f"at most {amount}, as stated") == f"at most {held}, as stated"


def test_what_only_begins_like_a_unit_is_no_unit() -> None:
    assert well_set("12 barrels of 2 makers") == "12 barrels of 2 makers"
