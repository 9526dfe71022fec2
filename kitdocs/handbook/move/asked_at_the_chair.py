"""Questions about visits and drawers. Each is asked only where one answer alone is right."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from kitdocs.handbook.cards.chairs import chair_look
from kitdocs.handbook.move.move import Move
from kitdocs.handbook.move.question import Choice, Question, after, asked_rule, number, numbers_near, once, question
from kitdocs.handbook.pictures import chair_mark_of
from kitdocs.handbook.rules.quote import DRAWER_ACCESS
from kitdocs.practice.model import Procedure


def about_visits(move: Move) -> Iterator[Question | None]:
    """Ask, in the order of the work, for the set, what goes on top of it, what is opened in the middle of the visit."""
    yield _set_for(move)
    yield from _add_ons_for(move)
    yield _drawer_pouch_for(move)
    yield _used_gloves(move)
    yield asked_rule(
        move, "internal", ("internal-stop", "take-other"), ("external", "after", "new"), "chair-side", rank=1
    )
    yield _opened(move)


def about_drawers(move: Move) -> Iterator[Question | None]:
    """Ask what goes back to a chair, and how many."""
    yield _whose_drawer(move)
    yield _how_many(move)


def _set_for(move: Move) -> Question | None:
    """Ask for the set of the procedure that is done most seldom: that is the one that has to be looked up."""
    brief, practice = move.brief, move.brief.practice
    sets = once(practice.sets, brief.set)
    procedures = {p: practice.procedures[p] for p in _named_once(move) if practice.procedures[p].set in sets}
    if not procedures:
        return None
    seldom = min(procedures, key=lambda procedure: procedures[procedure].per_day)
    right = procedures[seldom].set
    return question(
        f"set/{seldom}",
        move.words("move.ask.set", procedure=brief.procedure(seldom)),
        Choice(id=right, text=brief.set(right)),
        (Choice(id=set_id, text=brief.set(set_id)) for set_id in after(sets, right)),
        card="map",
    )


def _add_ons_for(move: Move) -> Iterator[Question | None]:
    """Ask about the two procedures that take one add-on pouch most often, if it is not the same pouch twice."""
    practice = move.brief.practice
    takes_one = {p: practice.procedures[p] for p in _named_once(move) if len(practice.procedures[p].add_ons) == 1}
    by_pouch: dict[str, str] = {}
    for procedure in sorted(takes_one, key=lambda p: -_pouches_a_day(takes_one[p])):
        pouch = next(iter(takes_one[procedure].add_ons))
        if pouch in _pouches(move):
            by_pouch.setdefault(pouch, procedure)
    for rank, (pouch, procedure) in zip((1, 3), by_pouch.items(), strict=False):
        yield _add_on_for(move, procedure, pouch, rank)


def _pouches_a_day(procedure: Procedure) -> float:
    return procedure.per_day * next(iter(procedure.add_ons.values()))


def _add_on_for(move: Move, procedure: str, pouch: str, rank: int) -> Question | None:
    """Ask which add-on a procedure takes. Wrong are other add-ons, then drawer pouches that no such visit opens."""
    pouches = move.brief.practice.pouches
    others = [p for p in after(_pouches(move), pouch) if p not in move.brief.plan.drawer_pouches[procedure]]
    others.sort(key=lambda p: pouches[p].kind != "add-on")
    always = move.brief.practice.procedures[procedure].add_ons[pouch] == 1
    return question(
        f"pouch/{procedure}",
        move.words(f"move.ask.{'pouch' if always else 'pouch-sometimes'}", procedure=move.brief.procedure(procedure)),
        _pouch(move, pouch),
        (_pouch(move, p) for p in others),
        card="map",
        rank=rank,
    )


def _drawer_pouch_for(move: Move) -> Question | None:
    """Ask about an instrument that a visit wants and that lies in one drawer pouch alone."""
    procedures = move.brief.practice.procedures
    instruments = once(move.brief.practice.instruments, move.brief.instrument)
    for procedure in sorted(_named_once(move), key=lambda p: -procedures[p].per_day):
        for instrument in procedures[procedure].needs:
            pouch = _opened_for(move, procedure, instrument) if instrument in instruments else ""
            if pouch:
                return _which_to_open(move, procedure, instrument, pouch)
    return None


def _opened_for(move: Move, procedure: str, instrument: str) -> str:
    """Return the one drawer pouch that is opened for an instrument; empty where several could be, or none is."""
    pouches, opened = move.brief.practice.pouches, move.brief.plan.drawer_pouches[procedure]
    holding = [p for p, record in pouches.items() if record.kind == "drawer" and instrument in record.contents]
    alone = len(holding) == 1 and holding[0] in opened and holding[0] in _pouches(move)
    return holding[0] if alone and not _at_hand(move, procedure, instrument) else ""


def _which_to_open(move: Move, procedure: str, instrument: str, pouch: str) -> Question | None:
    names = {"procedure": move.brief.procedure(procedure), "instrument": move.brief.instrument(instrument)}
    return question(
        f"drawer-pouch/{procedure}/{instrument}",
        move.words("move.ask.drawer-pouch", **names),
        _pouch(move, pouch),
        (_pouch(move, p) for p in after(_pouches(move), pouch) if not _holds(move, p, instrument)),
        card="map",
    )


def _at_hand(move: Move, procedure: str, instrument: str) -> bool:
    """Whether the set or an add-on of the procedure has the instrument, so that no drawer pouch is opened for it."""
    practice = move.brief.practice
    record = practice.procedures[procedure]
    return instrument in practice.sets[record.set].contents or any(_holds(move, a, instrument) for a in record.add_ons)


def _holds(move: Move, pouch: str, instrument: str) -> bool:
    return instrument in move.brief.practice.pouches[pouch].contents


def _used_gloves(move: Move) -> Question | None:
    """Ask how something is taken from a drawer in the middle of a visit, where a chair has a drawer."""
    chair = next((chair for chair, record in move.brief.practice.chairs.items() if record.drawer), "")
    wrong = ("fingers", "wipe", "quick")
    return asked_rule(move, "gloves", DRAWER_ACCESS, wrong, f"drawer/{chair}", rank=1) if chair else None


def _opened(move: Move) -> Question | None:
    """Ask about a drawer pouch with two different instruments: one of them was used."""
    for pouch, record in move.brief.practice.pouches.items():
        if record.kind == "drawer" and len(set(record.contents)) > 1:
            first, second = tuple(dict.fromkeys(record.contents))[:2]
            names = {"used": move.brief.instrument(first), "other": move.brief.instrument(second)}
            chair = next((c for c, at in move.brief.practice.chairs.items() if pouch in at.drawer), "")
            return asked_rule(
                move,
                "opened",
                ("opened-used",),
                ("back", "shelf", "wipe"),
                f"drawer/{chair}",
                rank=1,
                pouch=move.brief.pouch(pouch),
                **names,
            )
    return None


def _whose_drawer(move: Move) -> Question | None:
    """Ask about the first drawer with several pouches. Wrong are other drawers, then its own with something amiss."""
    practice, brief = move.brief.practice, move.brief
    clear = set(_pouches(move))
    drawers = {
        c: tuple(record.drawer)
        for c, record in practice.chairs.items()
        if record.drawer and set(record.drawer) <= clear
    }
    chair = max(drawers, key=lambda c: min(len(drawers[c]), 2), default="")
    if not chair:
        return None
    right = drawers[chair]
    other = {frozenset(drawers[c]): drawers[c] for c in after(practice.chairs, chair) if c in drawers}
    spoilt = [(*right, pouch) for pouch in practice.pouches if pouch not in right]
    fewer = [tuple(p for p in right if p != left_out) for left_out in reversed(right)] if len(right) > 1 else []
    swapped = [(*short, *more[-1:]) for short, more in zip(fewer, reversed(spoilt), strict=False)]
    return question(
        f"drawer/{chair}",
        move.words("move.ask.drawer", chair=brief.chair(chair), colour=chair_look(brief, chair)),
        _drawer(move, right),
        (_drawer(move, p) for p in (*other.values(), *swapped, *fewer, *spoilt) if set(p) != set(right)),
        card=f"r/{chair}",
        picture=chair_mark_of(brief, chair),
    )


def _drawer(move: Move, pouches: Iterable[str]) -> Choice:
    listed = list(pouches)
    return Choice(id="+".join(sorted(listed)), text=" · ".join(move.brief.pouch(pouch) for pouch in listed))


def _how_many(move: Move) -> Question | None:
    """Ask how many belong there, where there are most of one pouch."""
    clear = _pouches(move)
    par: Mapping[tuple[str, str], int] = {at: n for at, n in move.brief.plan.par.items() if at[1] in clear}
    if not par:
        return None
    chair, pouch = max(par, key=lambda place: par[place])
    n = par[chair, pouch]
    return question(
        f"par/{chair}/{pouch}",
        move.words("move.ask.par", chair=move.brief.chair(chair), pouch=move.brief.pouch(pouch)),
        number(n),
        numbers_near(n),
        card=f"r/{chair}",
        rank=3,
    )


def _pouch(move: Move, pouch: str) -> Choice:
    return Choice(id=pouch, text=move.brief.pouch(pouch))


def _pouches(move: Move) -> list[str]:
    """Return the pouches that a name alone tells from all others."""
    return once(move.brief.practice.pouches, move.brief.pouch)


def _named_once(move: Move) -> list[str]:
    return once(move.brief.practice.procedures, move.brief.procedure)
