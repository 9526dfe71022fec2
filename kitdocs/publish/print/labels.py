"""Labels and tags on paper: every kind on sheets of its own, to the millimetre on the stated grid."""

from __future__ import annotations

from kitdocs.document.card import Handbook
from kitdocs.publish.print.data import PrintData
from kitdocs.publish.print.render_pdf import render_pdf


def labels(handbook: Handbook) -> bytes:
    """All labels of the handbook. Raises `PublishError` for what cannot be printed."""
    data = PrintData(handbook)
    data.add(
        (),
        handbook.words("labels.document"),
        sheets=[data.plain(sheet) for sheet in handbook.labels],
        said=dict(handbook.words.part("labels")),
    )
    return render_pdf("labels.typ", data)
