"""What the figures are and are not: what an adviser must say beside them."""

from __future__ import annotations

from kitdocs.document.blocks import Caution, Heading, Listing, Paragraph, Prose, ProsePart, Span
from kitdocs.document.card import Card
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.cards.packing import makers_caution
from kitdocs.practice.numbers import percent
from kitdocs.report.telling import report_card

_ARE = (
    "A busy day is drawn many times from the visits that the practice states: how many of each procedure, in which "
    "order, at which chair. Every set and pouch is followed from the store through the chair and the reprocessing "
    "room and back.",
    "Within a day nothing else is left to chance: a visit takes the minutes that are booked, a machine its cycle, a "
    "person the minutes stated for one cassette or pouch.",
    "Every day starts with everything clean in the store. A day on which that cannot be is reported as an error.",
    "All random numbers come from the seed. The same folder and seed give the same figures on every machine.",
)
_ARE_NOT = (
    "They are no forecast of an ordinary day, and they know no day that is worse than the busy day described: no "
    "machine that breaks down, no cycle that is repeated, nobody who is ill, no load held back for a test.",
    "They are as good as the counts, minutes and capacities in the folder. Tally two weeks; do not guess.",
    "A number to own that just fits the service level is short on the other days: somebody then waits, or a set of "
    "another kind is opened.",
    "Spares and reorder points use the Poisson distribution. Where visits come by appointment, demand is steadier than "
    "that, so these numbers are an upper bound rather than an average.",
    "Prices are the practice's own, without tax and delivery.",
)


def method_card(brief: Brief, section: str) -> Card:
    service = percent(brief.plan.days.service, 1)
    short = percent(1 - brief.plan.days.service, 1)
    return report_card(
        "method",
        "How to read these figures",
        section,
        (
            _list("What they are", _ARE),
            _list(
                "What they are not",
                (*_ARE_NOT, f"Service level {service}: on {short} of busy days something runs short."),
            ),
            makers_caution(brief),
            Caution(
                title="Not a validation.",
                text="kitdocs checks for slips of the pen and works numbers out. It does not validate a cycle, and "
                "nothing here says that a load is sterile.",
            ),
        ),
    )


def _list(title: str, sentences: tuple[str, ...]) -> Prose:
    entries: tuple[tuple[ProsePart, ...], ...] = tuple(
        (Paragraph(spans=(Span(text=sentence),)),) for sentence in sentences
    )
    return Prose(parts=(Heading(text=title), Listing(items=entries)))
