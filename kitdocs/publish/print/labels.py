"""Labels and tags on paper: every kind on sheets of its own, to the millimetre on the stated grid."""

from __future__ import annotations

from kitdocs.publish.print.rendering import Rendering


def labels(rendering: Rendering) -> bytes:
    """Render all labels of the handbook. Raises `PublishError` for what cannot be printed."""
    handbook, data = rendering.handbook, rendering.data()
    data.add(
        (),
        handbook.words("labels.document"),
        sheets=[data.plain(sheet) for sheet in handbook.labels],
        said=dict(handbook.words.part("labels")),
    )
    return rendering.render("labels.typ", data)
