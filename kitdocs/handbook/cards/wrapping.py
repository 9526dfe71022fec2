"""Pictured steps of wrapping a cassette, in its own proportions."""

from __future__ import annotations

from collections import Counter

from kitdocs.document.blocks import Steps
from kitdocs.drawings.fold import TAPE_MM, Pack
from kitdocs.drawings.wrap import envelope_fold_steps, parcel_fold_steps
from kitdocs.handbook.brief import Brief
from kitdocs.handbook.pictures import drawn
from kitdocs.handbook.rules.quote import pictured_step

#: How a wrapped cassette is closed, whatever its fold.
_CLOSED = ("second-wrap", "tape-strips", "end-label", "tape-up")


def fold_steps(brief: Brief, set_id: str, title: str = "") -> Steps:
    """Return the practice's fold, step by step, of this set's cassette on the sheet that it takes."""
    pack = pack_of(brief, set_id)
    fold = brief.practice.room.wrap.fold
    pictures = envelope_fold_steps(pack) if fold == "envelope" else parcel_fold_steps(pack)
    last = len(pictures)
    steps = tuple(
        pictured_step(
            brief,
            drawn(f"fold-{fold}-{_measures(pack, taped=number == last)}-{number}", picture),
            *((f"{fold}-{number}",) if number < last else _CLOSED),
        )
        for number, picture in enumerate(pictures, 1)
    )
    return Steps(title=title or brief.words("card.fold.title"), steps=steps)


def pack_of(brief: Brief, set_id: str) -> Pack:
    """Return a set's closed cassette, the sheet that it takes, and the tape that closes it."""
    practice = brief.practice
    outside = practice.cassettes[practice.sets[set_id].cassette].outside
    length, width, height = sorted((outside.length, outside.width, outside.height), reverse=True)
    sheet, tape = brief.plan.sheets[set_id], practice.room.supplies.tape
    return Pack(
        length=length,
        width=width,
        height=height,
        side=sheet.side_mm or sheet.side_needed_mm,
        strips=practice.room.wrap.strips,
        strip=tape.strip if tape else TAPE_MM,
    )


def usual_set(brief: Brief) -> str:
    """Return the first set in the cassette that most sets have: its fold stands for the others' on the guide."""
    sets = brief.practice.sets
    cassettes = Counter(record.cassette for record in sets.values())
    return next(set_id for set_id, record in sets.items() if cassettes[record.cassette] == max(cassettes.values()))


def _measures(pack: Pack, taped: bool) -> str:
    """Return what tells one pack's pictures from another's, as part of their name; tape is on the last only."""
    box = "x".join(f"{mm:g}" for mm in (pack.length, pack.width, pack.height))
    tape = f"-{pack.strips}x{pack.strip:g}" if taped else ""
    return f"{box}-{pack.side:g}{tape}"
