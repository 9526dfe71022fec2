"""Practices like the example, or one in a pseudo-language, drawn at random within what kitdocs can print."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from random import Random
from typing import Literal

from kitdocs.planning.colours.looks import propose_chairs
from kitdocs.practice.model import Cassette, Chair, InstrumentSet, Practice, Procedure
from kitdocs.practice.values import text

NAMES = (
    "Behandlungsstuhl an der Fensterseite",
    "Consultation room of the annex, upstairs",
    "Kieferorthopädisches Untersuchungszimmer",
)

#: Instruments of this width lie side by side, fifteen in the largest cassette of the example.
_THIN_MM = 12


@dataclass(frozen=True, slots=True, kw_only=True)
class Drawn:
    """What a practice has: so many chairs, so many pieces in each set (None: as before), pouches or none."""

    chairs: int = 7
    pieces: int | None = None
    pouches: bool = True
    long_names: bool = True
    paper: Literal["letter", "a4"] = "letter"
    rails: int | None = None

    def practice(self, like: Practice) -> Practice:
        """Return a practice like another."""
        looks = propose_chairs((max(2, self.chairs),))
        drawer = next(iter(like.chairs.values())).drawer if self.pouches else {}

        def chair(n: int) -> Chair:
            name = f"{NAMES[n % len(NAMES)]} {n + 1}" if self.long_names else str(n + 1)
            colour = {"name": "leuchtendes Smaragdgrün" if self.long_names else "red", "hex": looks[n].colour.hex}
            return Chair.model_validate({"name": name, "colour": colour, "mark": looks[n].mark, "drawer": drawer})

        return replace(
            like,
            settings=like.settings.model_copy(update={"paper": self.paper, **self._labels(like)}),
            chairs={f"chair-{n}": chair(n) for n in range(self.chairs)},
            cassettes={id_: self._cassette(of) for id_, of in like.cassettes.items()},
            sets={id_: self._set(n, of, like) for n, (id_, of) in enumerate(like.sets.items())},
            pouches=like.pouches if self.pouches else {},
            procedures={id_: self._procedure(of) for id_, of in like.procedures.items()},
            schedule=(),
            problems=(),
        )

    def _labels(self, like: Practice) -> dict[str, None]:
        """Return no label sheet of the practice's own, where it is made for another paper."""
        return {} if self.paper == like.settings.paper else {"labels": None}

    def _cassette(self, of: Cassette) -> Cassette:
        return of.model_copy(update={"rails": self.rails}) if self.rails else of

    def _set(self, n: int, of: InstrumentSet, like: Practice) -> InstrumentSet:
        more: dict[str, object] = {}
        if self.long_names:
            more["name"] = text(f"{NAMES[n % len(NAMES)]} ({of.code})")
        if self.pieces:
            thin = [id_ for id_, each in like.instruments.items() if each.width < _THIN_MM]
            more |= {"contents": (thin * self.pieces)[: self.pieces], "cassette": "large"}
        return of.model_copy(update=more)

    def _procedure(self, of: Procedure) -> Procedure:
        more = {} if self.pouches else {"add_ons": {}, "needs": {}}
        return of.model_copy(update={"chairs": (), "per_day": round(of.per_day * self.chairs / 20, 2), **more})


def drawn_at_random(count: int, seed: int) -> Iterator[Drawn]:
    """Yield so many; the same seed yields the same ones."""
    random = Random(seed)
    for _ in range(count):
        yield Drawn(
            chairs=random.choice((1, 2, 3, 5, 8, 12, 25, 40)),
            pieces=random.choice((None, *range(1, 16))),
            pouches=random.random() < 0.7,
            long_names=random.random() < 0.7,
            paper=random.choice(("letter", "a4")),
            rails=random.choice((None, None, None, 4)),
        )
