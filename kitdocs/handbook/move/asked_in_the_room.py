"""Questions about the reprocessing room: marks, tips, packs, loads. Each is asked only where one answer is right."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from dataclasses import replace

from kitdocs.handbook.move.go_live import busiest
from kitdocs.handbook.move.move import Move
from kitdocs.handbook.move.question import Choice, Question, after, asked_rule, number, numbers_near, once, question
from kitdocs.handbook.pictures import tip_of
from kitdocs.practice.kinds import SetMark
from kitdocs.practice.room import MachineStage


def about_the_room(move: Move) -> Iterator[Question | None]:
    """Ask in the order of the work: coming in, packing, sterilizing, putting away."""
    yield asked_rule(move, "indicator", ("paper-out",), ("stays", "after", "reuse"), "first-day", rank=3)
    yield _dull(move)
    yield from _tips(move)
    yield _mark(move)
    yield _wrapped(move)
    yield _strips(move)
    yield _pouch_size(move)
    yield _load(move)
    yield asked_rule(move, "wet", ("reject",), ("dry", "wipe", "drying"), "mishaps", rank=1)
    yield asked_rule(move, "unchanged", ("reject", "hold-load"), ("shelf", "twice", "next"), "mishaps", rank=2)
    yield asked_rule(move, "hurt", ("hurt-stop",), ("finish", "glove", "evening"), "mishaps", rank=2)


def _dull(move: Move) -> Question | None:
    """Ask about an instrument of the busiest set, one that goes away for repair if there is such a one."""
    practice, set_id = move.brief.practice, busiest(move)
    contents = practice.sets[set_id].contents
    instrument = next((i for i in contents if practice.instruments[i].repair), contents[-1])
    names = {"instrument": move.brief.instrument(instrument), "set": move.brief.set(set_id)}
    return asked_rule(move, "dull", ("damaged-order",), ("once", "without", "note"), "repair", rank=1, **names)


def _tips(move: Move) -> Iterator[Question | None]:
    """Ask where a tip belongs, for a pouch and for a set: tips that lie in one kind of place alone."""
    practice, brief = move.brief.practice, move.brief
    homes: defaultdict[str, dict[str, str]] = defaultdict(dict)
    contents = {p: record.contents for p, record in practice.pouches.items()} | {
        s: record.contents for s, record in practice.sets.items()
    }
    for home, instruments in contents.items():
        for instrument in instruments:
            homes[tip_of(brief, instrument).name][home] = instrument
    alone = [next(iter(places.items())) for places in homes.values() if len(places) == 1]
    for kind, names in (("pouch", once(practice.pouches, brief.pouch)), ("set", once(practice.sets, brief.set))):
        found = next(((home, instrument) for home, instrument in reversed(alone) if home in names), None)
        if found:
            yield _tip(move, kind, names, *found)


def _tip(move: Move, kind: str, things: list[str], home: str, instrument: str) -> Question | None:
    brief, practice = move.brief, move.brief.practice
    named = brief.pouch if kind == "pouch" else brief.set
    picture = replace(tip_of(brief, instrument), alt=move.words("move.ask.tip-alt"))
    record = practice.pouches.get(home)
    card = f"s/{home}" if record is None else f"p/{home}" if record.kind == "add-on" else "pouch-guide"
    return question(
        f"tip-{kind}/{instrument}",
        move.words(f"move.ask.tip-{kind}"),
        Choice(id=home, text=named(home)),
        (Choice(id=other, text=named(other)) for other in after(things, home)),
        card=card,
        picture=picture,
        rank=1 if kind == "pouch" else 2,
    )


def _mark(move: Move) -> Question | None:
    """Ask about a set that shares its size of cassette with others: its mark, among theirs and those of other sets."""
    twins = _twins(move)
    if not twins:
        return None
    set_id, other = twins
    sets = move.brief.practice.sets
    marks = [sets[other].mark, *(sets[s].mark for s in after(sets, set_id)), "dots", "slash", "two-bars", "corner"]
    return question(
        f"mark/{set_id}",
        move.words("move.ask.mark", set=move.brief.set(set_id), other=move.brief.set(other)),
        _named_mark(move, sets[set_id].mark),
        (_named_mark(move, mark) for mark in marks),
        card="key",
    )


def _named_mark(move: Move, mark: SetMark) -> Choice:
    name = move.words(f"card.set-mark.{mark}")
    return Choice(id=mark, text=name[:1].upper() + name[1:])


def _wrapped(move: Move) -> Question | None:
    """Ask what tells two sets apart. Once wrapped, sets of one size of cassette look the same but for the end label."""
    twins = _twins(move)
    if not twins:
        return None
    sets = move.brief.practice.sets
    names = {"set": move.brief.set(twins[0]), "other": move.brief.set(twins[1])}
    codes = {"code": sets[twins[0]].code, "other_code": sets[twins[1]].code}
    answers = ("label", "mark", "size", "weight")
    right, *wrong = (Choice(id=a, text=move.words(f"move.ask.wrapped-answer.{a}", **codes)) for a in answers)
    return question("wrapped", move.words("move.ask.wrapped", **names), right, wrong, card="key", rank=3)


def _twins(move: Move) -> tuple[str, str] | None:
    """Return two sets in one size of cassette, the busier one first."""
    practice, taken = move.brief.practice, move.brief.plan.days.sets
    by_cassette: defaultdict[str, list[str]] = defaultdict(list)
    for set_id in once(practice.sets, move.brief.set):
        by_cassette[practice.sets[set_id].cassette].append(set_id)
    shared = [sets for sets in by_cassette.values() if len(sets) > 1]
    if not shared:
        return None
    use = {s: taken[s].taken_per_day if s in taken else 0.0 for s in practice.sets}
    first, second, *_ = sorted(max(shared, key=lambda sets: sum(use[s] for s in sets)), key=lambda s: -use[s])
    return first, second


def _strips(move: Move) -> Question | None:
    n = move.brief.practice.room.wrap.strips
    return question("strips", move.words("move.ask.strips"), number(n), numbers_near(n), card="wrap-guide")


def _pouch_size(move: Move) -> Question | None:
    """Ask about the first pouch in the largest size."""
    practice, brief = move.brief.practice, move.brief
    sizes = practice.room.pouch_sizes
    pouch = max(once(practice.pouches, brief.pouch), key=lambda p: sizes[practice.pouches[p].size].width, default="")
    if not pouch:
        return None
    right = practice.pouches[pouch].size
    return question(
        f"size/{pouch}",
        move.words("move.ask.size", pouch=brief.pouch(pouch)),
        Choice(id=right, text=brief.say(sizes[right].name)),
        (Choice(id=size, text=brief.say(sizes[size].name)) for size in after(sizes, right)),
        card="pouch-guide",
        rank=2,
    )


def _load(move: Move) -> Question | None:
    """Ask how many of the busiest set's cassettes a load of the first sterilizer holds when nothing else is in it."""
    practice, brief = move.brief.practice, move.brief
    stages, cassette = practice.room.stages, practice.sets[busiest(move)].cassette
    if cassette not in once(practice.cassettes, lambda c: brief.say(practice.cassettes[c].name)):
        return None
    for stage_id in once(stages, lambda s: brief.say(stages[s].name)):
        stage = stages[stage_id]
        if isinstance(stage, MachineStage) and stage.area == "sterilization" and cassette in stage.capacity:
            names = {"machine": brief.say(stage.name), "cassette": brief.say(practice.cassettes[cassette].name)}
            n = stage.capacity[cassette]
            return question(
                f"load/{stage_id}/{cassette}",
                move.words("move.ask.load", **names),
                number(n),
                numbers_near(n),
                card=f"load/{stage_id}",
                rank=2,
            )
    return None
