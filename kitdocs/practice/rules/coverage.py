"""Coverage rules: every procedure gets what it needs, and no set or pouch carries what none of its procedures uses."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from math import fsum

from kitdocs.practice.draft import Draft
from kitdocs.practice.locations import Path
from kitdocs.practice.message import message
from kitdocs.practice.model import Procedure
from kitdocs.practice.problems import Problem, nearest
from kitdocs.practice.rules.looking import ANY, Values, error, ids, warning
from kitdocs.practice.values import share_text


def needs_are_covered(practice: Draft) -> Iterator[Problem]:
    """Everything a procedure needs is in its set, its add-ons and the drawer of every chair, as many as it needs.

    Of the pouches in a drawer, one of each kind is opened in a visit.
    """
    for id_, procedure in practice.procedures.items():
        carried = practice.carried(procedure)
        for instrument, need in procedure.needs.items():
            missing = need.count - carried[instrument]
            if missing <= 0 or _thrown_away(practice, instrument) or not _can_judge(practice, id_, instrument):
                continue
            chairs = practice.chairs_for(id_)
            lacking = tuple(c for c in chairs if _in_drawer(practice, c)[instrument] < missing)
            if not lacking and chairs:
                continue
            path = ("procedures", id_, "needs", instrument)
            if need.count > 1:
                yield _not_enough(practice, path, procedure, lacking)
            elif len(lacking) < len(chairs):
                having = next(c for c in chairs if c not in lacking)
                pouch = _smallest(practice, instrument, tuple(practice.chairs[having].drawer))
                verb = "does" if len(lacking) == 1 else "do"
                values: Values = {"instrument": instrument, "pouch": pouch, "chairs": _chairs(lacking), "verb": verb}
                yield error(practice, "drawer-lacks", path, at_key=True, **values)
            else:
                pouch = _smallest(practice, instrument, tuple(practice.pouches))
                remedy = practice.pouches[pouch].kind if pouch else "no-pouch"
                values = {"instrument": instrument, "pouch": pouch, "set": procedure.set}
                yield error(practice, "not-covered", path, at_key=True, remedy=remedy, **values)


def _not_enough(practice: Draft, path: Path, procedure: Procedure, lacking: tuple[str, ...]) -> Problem:
    """The error about an instrument of which a visit needs several, and finds fewer."""
    instrument = str(path[-1])
    need, carried = procedure.needs[instrument], practice.carried(procedure)[instrument]
    in_drawers = min((_in_drawer(practice, chair)[instrument] for chair in lacking), default=0)
    missing = need.count - carried - in_drawers
    more = f", and the drawers at {_chairs(lacking)} {in_drawers} more" if in_drawers else ""
    values: Values = {
        "instrument": instrument,
        "count": need.count,
        "set": procedure.set,
        "held": carried or "none",
        "more": more,
        "missing": missing,
        "verb": "is" if missing == 1 else "are",
        "together": practice.sets[procedure.set].contents.count(instrument) + missing,
    }
    remedy = "remedy" if need.share < 1 else "share-meant"
    return error(practice, "not-enough", path, at_key=True, remedy=remedy, **values)


def _thrown_away(practice: Draft, instrument: str) -> bool:
    """Whether an instrument is used once: it lies clean at the chair, in no set or pouch."""
    return instrument in practice.instruments and bool(practice.instruments[instrument].single_use)


def _in_drawer(practice: Draft, chair: str) -> Counter[str]:
    """How many of each instrument one of each drawer pouch at a chair holds; of some there may be 0 pouches."""
    pouches = (id_ for id_, count in practice.chairs[chair].drawer.items() if count != 0)
    return Counter(i for pouch in pouches if pouch in practice.pouches for i in practice.pouches[pouch].contents)


def _can_judge(practice: Draft, id_: str, instrument: str) -> bool:
    """Whether everything that could carry the instrument was read without an error."""
    procedure = practice.procedures[id_]
    return (
        instrument in ids(practice, "instruments")
        and all(practice.is_whole("procedures", id_, part) for part in ("set", "add_ons", "chairs"))
        and practice.is_whole("procedures", id_, "needs", instrument)
        and practice.is_whole("sets", procedure.set, "contents")
        and practice.is_whole("pouches", ANY, "contents")
        and practice.is_whole("pouches", ANY, "kind")
        and practice.is_whole("chairs", ANY, "drawer")
    )


def _carriers_are_whole(practice: Draft) -> bool:
    """Whether every set, pouch and chair was read: one that was not could carry what seems to be missing."""
    return not practice.has_broken("sets", "pouches", "chairs")


def _smallest(practice: Draft, instrument: str, among: tuple[str, ...]) -> str:
    """The pouch with the fewest instruments that holds `instrument`; the first by id of several; or ''."""
    holding = [
        (len(practice.pouches[p].contents), p)
        for p in among
        if p in practice.pouches and instrument in practice.pouches[p].contents
    ]
    return min(holding)[1] if holding else ""


def _chairs(ids_: tuple[str, ...]) -> str:
    *others, last = [f"'{id_}'" for id_ in ids_]
    return f"chairs {', '.join(others)} and {last}" if others else f"chair {last}"


def what_comes_with_a_need_is_no_more_frequent(practice: Draft) -> Iterator[Problem]:
    """A need that comes with another names one of its procedure that goes by itself and is at least as frequent."""
    for id_, procedure in practice.procedures.items():
        if not practice.is_whole("procedures", id_, "needs"):
            continue
        for instrument, need in procedure.needs.items():
            if not need.along:
                continue
            other = procedure.needs.get(need.along)
            path = ("procedures", id_, "needs", instrument)
            values: Values = {"instrument": instrument, "other": need.along}
            if other is None or need.along == instrument:
                others = [i for i in procedure.needs if i != instrument]
                yield error(practice, "comes-with.unknown", path, nearest=nearest(need.along, others), **values)
            elif other.always:
                yield error(practice, "comes-with.always", path, alone=str(replace(need, along="")), **values)
            elif other.along:
                yield error(practice, "comes-with.chain", path, first=other.along, **values)
            elif other.share < need.share:
                values |= {"share": share_text(need.share), "less": share_text(other.share)}
                yield error(practice, "comes-with.rarer", path, **values)


def one_chair_has_it_all(practice: Draft) -> Iterator[Problem]:
    """A procedure whose needs lie in the drawers of different chairs can be done at none of them."""
    if not _carriers_are_whole(practice):
        return
    for id_, procedure in practice.procedures.items():
        chairs = practice.chairs_for(id_)
        carried = practice.carried(procedure)
        missing = {i: need.count - carried[i] for i, need in procedure.needs.items() if not _thrown_away(practice, i)}
        loose = {i: count for i, count in missing.items() if count > 0}
        drawers = [_in_drawer(practice, chair) for chair in chairs]
        somewhere = all(any(drawer[i] >= count for drawer in drawers) for i, count in loose.items())
        at_one = any(all(drawer[i] >= count for i, count in loose.items()) for drawer in drawers)
        if len(loose) > 1 and somewhere and not at_one:
            needs = ", ".join(f"'{i}'" for i in loose)
            yield error(practice, "no-chair.drawers", ("procedures", id_), at_key=True, needs=needs)


def add_ons_come_as_often_as_needed(practice: Draft) -> Iterator[Problem]:
    """No instrument that only an add-on brings is needed more often than the add-on is taken."""
    if not _carriers_are_whole(practice):
        return
    for id_, procedure in practice.procedures.items():
        set_ = practice.sets[procedure.set].contents if procedure.set in practice.sets else ()
        chairs = practice.chairs_for(id_)
        for instrument, need in procedure.needs.items():
            share = need.share
            bringing = {
                pouch: taken
                for pouch, taken in procedure.add_ons.items()
                if pouch in practice.pouches and instrument in practice.pouches[pouch].contents
            }
            in_drawers = min((_in_drawer(practice, chair)[instrument] for chair in chairs), default=0)
            missing = need.count - set_.count(instrument) - in_drawers
            brought = fsum(
                taken * min(practice.pouches[pouch].contents.count(instrument), missing)
                for pouch, taken in bringing.items()
            )
            if missing <= 0 or not bringing or brought >= share * missing:
                continue
            pouch = max(bringing, key=lambda p: bringing[p])
            as_often = "always" if share == 1 else share_text(share)
            yield warning(
                practice,
                "problems.taken-too-seldom",
                ("procedures", id_, "needs", instrument),
                remedy=message("problems.taken-too-seldom.remedy", pouch=pouch, share=as_often),
                instrument=instrument,
                share=share_text(share),
                pouch=pouch,
                taken=share_text(bringing[pouch]),
            )


def nothing_rides_along(practice: Draft) -> Iterator[Problem]:
    """A set, and an add-on, carries only what some procedure that uses it needs."""
    if not (practice.is_whole("procedures", ANY, "needs") and practice.is_whole("procedures", ANY, "add_ons")):
        return
    for id_, set_ in practice.sets.items():
        users = [p for p in practice.procedures.values() if p.set == id_]
        if practice.is_whole("procedures", ANY, "set"):
            yield from _riders(practice, ("sets", id_), set_.contents, users)
    for id_, pouch in practice.pouches.items():
        users = [p for p in practice.procedures.values() if id_ in p.add_ons]
        if pouch.kind == "add-on":
            yield from _riders(practice, ("pouches", id_), pouch.contents, users)


def _riders(
    practice: Draft, path: tuple[str, str], contents: tuple[str, ...], users: list[Procedure]
) -> Iterator[Problem]:
    needed = {i for procedure in users for i in procedure.needs}
    for index, instrument in enumerate(contents):
        if users and instrument in practice.instruments and instrument not in needed:
            place = (*path, "contents", index)
            yield warning(practice, "problems.rides-along", place, used=path[1], instrument=instrument)


def nothing_is_carried_twice(practice: Draft) -> Iterator[Problem]:
    """An add-on does not hold what the set below it already holds, unless one of its procedures needs more of it."""
    seen: set[tuple[str, str]] = set()
    for procedure in practice.procedures.values():
        set_ = practice.sets.get(procedure.set)
        for pouch in procedure.add_ons:
            if not set_ or pouch not in practice.pouches or (pouch, procedure.set) in seen:
                continue
            seen.add((pouch, procedure.set))
            users = [p for p in practice.procedures.values() if pouch in p.add_ons and p.set == procedure.set]
            wanted = Counter[str]()
            for user in users:
                wanted |= Counter({instrument: need.count for instrument, need in user.needs.items()})
            for index, instrument in enumerate(practice.pouches[pouch].contents):
                if 0 < set_.contents.count(instrument) >= max(1, wanted[instrument]):
                    path = ("pouches", pouch, "contents", index)
                    yield warning(practice, "problems.carried-twice", path, instrument=instrument, set=procedure.set)
