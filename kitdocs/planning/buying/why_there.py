"""Why each instrument of a proposed design lies where it lies, in sentences.

Who wants it how often is read from the practice as it is; what another place comes to was worked out with the proposal
and is kept with it (`practice/proposal.py`).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from decimal import Decimal
from functools import cached_property
from math import fsum

from kitdocs.planning.day.items import Takings
from kitdocs.planning.day.kept_visits import visits_per_day
from kitdocs.planning.measures.fit import smallest_cassette
from kitdocs.practice.message import Fixed, Joined, Message, Share, Value, counted, message
from kitdocs.practice.model import Practice
from kitdocs.practice.proposal import Elsewhere, WhyThere

#: So much of all visits is all of them, as rounding goes.
_ALL = 0.9995
#: So much of the visits is most of them.
_MOST = 0.5


class Explained:
    """The sentences for one practice with a design. `bought_in` is the currency; None where pieces are counted."""

    def __init__(self, practice: Practice, why: Mapping[str, WhyThere], bought_in: str | None) -> None:
        self._practice, self._why, self._bought_in = practice, why, bought_in
        self._visits = visits_per_day(practice)

    def in_order(self) -> tuple[str, ...]:
        """Return the sets, then the pouches, what is for most visits first."""
        packs = (self._practice.sets, self._practice.pouches)
        return tuple(id_ for ids in packs for id_ in sorted(ids, key=lambda id_: -self._rate(self._users(id_))))

    def of_pack(self, id_: str) -> Iterator[Message]:
        """Yield whom a set or pouch is for, and where a pouch could lie as a whole."""
        practice = self._practice
        if id_ in practice.sets:
            yield from self._of_set(id_)
            return
        role = "pouch-kept" if self._is_kept(id_) else practice.pouches[id_].kind
        procedures = (self._taken_by(p, share) for p, share in self._takers[id_].items())
        if self._takers[id_]:
            yield message(f"propose.why.{role}", procedures=Joined(tuple(procedures)))
        laid_out = (
            () if self._is_kept(id_) else tuple(p for p in self._takers[id_] if self._is_for_want_of_room(id_, p))
        )
        if laid_out:
            yield message("propose.why.no-room", procedures=self._named(laid_out))
        if others := self._why_of(id_).pack:
            yield message("propose.why.otherwise", otherwise=self._otherwise(others))

    def of_instruments(self, id_: str) -> Iterator[tuple[str, Message]]:
        """Yield each instrument of a set or pouch, once, with why it lies there; nothing of what stays as it was."""
        if self._is_kept(id_):
            return
        of = self._in_set if id_ in self._practice.sets else self._in_pouch
        for instrument in dict.fromkeys(self._practice.contents(id_)):
            yield instrument, of(id_, instrument)

    # sets and pouches -------------------------------------------------------------------------

    def _of_set(self, id_: str) -> Iterator[Message]:
        practice, users = self._practice, self._users(id_)
        if not users:
            return
        values: dict[str, Value] = {
            "procedures": Joined(tuple(practice.procedures[p].name for p in users)),
            "visits": counted("propose.visits", round(self._rate(users), 1)),
        }
        kit = practice.sets[id_]
        key = "set-kept" if self._is_kept(id_) else "set"
        yield counted(f"propose.why.{key}", len(users), **values)
        if not self._is_kept(id_) and smallest_cassette(practice, kit.contents) == kit.cassette:
            yield message("propose.why.smallest", cassette=practice.cassettes[kit.cassette].name)

    def _in_set(self, id_: str, instrument: str) -> Message:
        wanted = self._wanted(id_, instrument)
        if wanted >= _ALL:
            return message("propose.why.always")
        if self._practice.instruments[instrument].drawing == "mouth-mirror":
            return message("propose.why.mirror")
        key = "in-set" if wanted >= _MOST else "in-set-seldom"
        return self._with_otherwise(message(f"propose.why.{key}", share=Share(wanted, 0)), id_, instrument)

    def _in_pouch(self, id_: str, instrument: str) -> Message:
        practice = self._practice
        wanting = {
            p: practice.procedures[p].needs[instrument].share
            for p in self._takers[id_]
            if instrument in practice.procedures[p].needs
            and instrument not in practice.sets[practice.procedures[p].set].contents
        }
        procedures = Joined(tuple(self._taken_by(p, share) for p, share in wanting.items()))
        why = message("propose.why.wanted-by" if wanting else "propose.why.wanted-by-none", procedures=procedures)
        return self._with_otherwise(why, id_, instrument)

    def _with_otherwise(self, why: Message, id_: str, instrument: str) -> Message:
        others = self._why_of(id_).instruments.get(instrument, ())
        if not others:
            return why
        return message("propose.why.and-otherwise", why=why, otherwise=self._otherwise(others))

    def _taken_by(self, procedure: str, share: float) -> Message:
        name = self._practice.procedures[procedure].name
        if share == 1:
            return message("propose.why.taken-always", procedure=name)
        return message("propose.why.taken-by", procedure=name, share=Share(share, 1 if share < 0.1 else 0))

    def _is_for_want_of_room(self, id_: str, procedure: str) -> bool:
        """Whether an add-on has what every visit of a procedure and most visits with its set want: the set is full."""
        practice, record = self._practice, self._practice.procedures[procedure]
        held = practice.sets[record.set].contents
        wanted = [
            i
            for i in practice.contents(id_)
            if i in record.needs and record.needs[i].always and self._wanted(record.set, i) >= _MOST and i not in held
        ]
        return id_ in record.add_ons and bool(wanted) and smallest_cassette(practice, (*held, *wanted)) is None

    def _wanted(self, set_: str, instrument: str) -> float:
        """Return the share of the visits with a set that want an instrument."""
        users = self._users(set_)
        wants = ((self._visits.get(p, 0.0), self._practice.procedures[p].needs.get(instrument)) for p in users)
        rate = self._rate(users)
        return fsum(visits * need.share for visits, need in wants if need) / rate if rate else 0.0

    def _why_of(self, id_: str) -> WhyThere:
        return self._why.get(id_) or WhyThere()

    def _is_kept(self, id_: str) -> bool:
        return id_ not in self._why

    # who takes what ---------------------------------------------------------------------------

    def _users(self, id_: str) -> tuple[str, ...]:
        if id_ in self._practice.pouches:
            return tuple(self._takers[id_])
        return tuple(p for p, record in self._practice.procedures.items() if record.set == id_)

    def _rate(self, procedures: Iterable[str]) -> float:
        return fsum(self._visits.get(p, 0.0) for p in procedures)

    @cached_property
    def _takers(self) -> Mapping[str, Mapping[str, float]]:
        """By pouch, the procedures that take it, each with the share of its visits that do; the largest of chairs."""
        practice, takings = self._practice, Takings(self._practice)
        found: dict[str, dict[str, float]] = {id_: {} for id_ in practice.pouches}
        for p in practice.procedures:
            for chair in practice.chairs_for(p):
                for id_, share in takings.mean_taken(p, chair).items():
                    if id_ in found and share:
                        found[id_][p] = max(share, found[id_].get(p, 0.0))
        return found

    # other places -----------------------------------------------------------------------------

    def _otherwise(self, others: Iterable[Elsewhere]) -> Joined:
        return Joined(tuple(map(self._elsewhere, others)), ". ")

    def _elsewhere(self, other: Elsewhere) -> Message:
        where = self._where(other)
        if other.never is None:
            return message("propose.otherwise.costs", where=where, changes=changes(other, self._bought_in))
        if other.never == "pouches":
            why = counted("propose.rule.pouches", other.most, procedures=self._named(other.over))
        else:
            why = message(f"propose.rule.{other.never}")
        return message("propose.otherwise.never", where=where, why=why)

    def _where(self, other: Elsewhere) -> Message:
        if other.place == "set":
            name = self._practice.sets[other.of[0]].name if other.of[0] in self._practice.sets else other.of[0]
            return message("propose.otherwise.in-set", set=name)
        if other.over == other.of:  # they are named behind it
            return message("propose.otherwise.as-add-on-at-all")
        return message(f"propose.otherwise.as-{other.place}", procedures=self._named(other.of))

    def _named(self, procedures: Iterable[str]) -> Joined:
        records = self._practice.procedures
        return Joined(tuple(records[p].name if p in records else p for p in procedures))


def changes(other: Elsewhere, bought_in: str | None) -> Value:
    """Return what another place changes, a few words each; that it changes nothing, where it does not."""
    parts: list[Message] = []
    if bought_in is None and round(other.to_buy):
        parts.append(counted("propose.change.pieces", abs(round(other.to_buy)), amount=signed(round(other.to_buy))))
    elif round(other.to_buy):
        parts.append(message("propose.change.money", amount=signed(round(other.to_buy)), currency=bought_in or ""))
    for name, more in (
        ("walks", other.walks),
        ("openings", other.from_drawers),
        ("hands", other.hands),
        ("handled", other.handled),
        ("kinds", other.kinds),
    ):
        if abs(more) >= 0.05:
            parts.append(counted(f"propose.change.{name}", abs(round(more, 1)), amount=signed(more)))
    return Joined(tuple(parts), ", ") if parts else message("propose.change.none")


def signed(number: float | Decimal) -> Fixed:
    """Return a difference, to be said with its sign: whole numbers and money without decimals, others with one."""
    rounded = round(float(number), 1)
    places = 0 if isinstance(number, Decimal) or rounded == int(rounded) else 1
    return Fixed(rounded, places, signed=True)
