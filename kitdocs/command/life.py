"""What `kitdocs printed` and `kitdocs changes` say: what was recorded, and what hangs that is out of date."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date
from pathlib import Path
from typing import Any

from rich.console import Console
from rich.padding import Padding
from rich.text import Text

from kitdocs.command.explained import number
from kitdocs.command.pdf_file import refuse_other, write_pdf
from kitdocs.command.terminal import table, trimmed
from kitdocs.handbook.card import Handbook
from kitdocs.handbook.changes.inputs import Moved
from kitdocs.handbook.changes.recorded import NewAct, known_names
from kitdocs.handbook.changes.since import Since, for_print
from kitdocs.handbook.earlier import Exchange
from kitdocs.planning.figure import Figure
from kitdocs.practice.printed import LONGEST_NAME, PRINTED, PrintRecord
from kitdocs.practice.problems import nearest
from kitdocs.practice.reading.text_file import UNPRINTABLE
from kitdocs.publish.print.replacement import replacement

#: So many cards are named; of more, only the number is said.
_NAMED = 12
_DO = {"replace": "exchange", "add": "add", "take-out": "take out"}


def day_of(text: str) -> str:
    """A day as ``2026-11-25``; today without one. Raises ValueError with what is right."""
    if not text:
        return date.today().isoformat()
    try:
        if len(text) == len("2026-11-25"):  # later Pythons read 20261125, too
            return date.fromisoformat(text).isoformat()
    except ValueError:
        pass
    raise ValueError(f"'{text}' is not a day as in 2026-11-25")


def named(by: str) -> str:
    """Who hung the cards, as the record keeps it: on one line. Raises ValueError when it cannot be kept so."""
    name = " ".join(by.split())
    if UNPRINTABLE.search(name):
        raise ValueError("this holds a sign that cannot be printed; a name or role in letters is meant, as in lead")
    if len(name) > LONGEST_NAME:
        raise ValueError(f"this is {len(name)} letters long, and {LONGEST_NAME} are kept; a name or role will do")
    return name


def chosen_cards(texts: Sequence[str] | None, handbooks: Sequence[Handbook], record: PrintRecord) -> tuple[str, ...]:
    """Ids, kinds and places of cards, with or without commas; none when nothing was asked for.

    Raises ValueError when there is no such card, and when a choice was asked for that names none: that is a slip, and
    everything would be recorded.
    """
    known = known_names(handbooks, record)
    names = tuple(name.strip() for text in texts or () for name in text.split(",") if name.strip())
    if texts and not names:
        raise ValueError("no card is named; leave --cards out to record them all")
    for name in names:
        if name not in known:
            remedy = nearest(name, known) or f"'kitdocs printed --help' tells how; the places: {_places(handbooks)}"
            raise ValueError(f"no card, kind or place is called '{name}'; {remedy}")
    return names


def _places(handbooks: Sequence[Handbook]) -> str:
    return ", ".join(sorted({card.place for handbook in handbooks for card in handbook.kept if card.place}))


def refuse_hidden(new: NewAct, record: PrintRecord) -> None:
    """Raise ValueError when a card in `new` is recorded for a later day already, and would hang as it is there.

    A slip in a year does that, or a day that is told too late.
    """
    keys = [card.key for card in new.act.cards] + [(gone.card, gone.language) for gone in new.act.taken_out]
    later = [record.hanging[key] for key in keys if key in record.hanging and record.hanging[key].date > new.act.date]
    if later:
        last = max(later, key=lambda hanging: hanging.date)
        raise ValueError(
            f"{PRINTED}/{last.act}.yaml says that '{last.card.title}' was hung on {last.date}, which is after "
            f"{new.act.date}; give a later day, or delete that record if its day is a slip"
        )


def show_recorded(console: Console, new: NewAct | None) -> None:
    """Print what was recorded, in a few lines."""
    if new is None:
        _line(console, "nothing new to record: what hangs is recorded already")
        return
    with trimmed(console):
        _show_act(console, new)


def _show_act(console: Console, new: NewAct) -> None:
    act = new.act
    languages = dict.fromkeys(card.language for card in act.cards)
    amounts = ", ".join(f"{sum(card.language == each for card in act.cards)} {each}" for each in languages)
    if act.cards:
        _line(console, f"printed and hung: {_counted(len(act.cards))} ({amounts})")
        _names(console, [f"{card.title} ({card.language})" for card in act.cards])
    if act.taken_out:
        _line(console, f"taken out: {_counted(len(act.taken_out))}")
        _names(console, [f"{gone.card} ({gone.language})" for gone in act.taken_out])
    _line(console, f"recorded in {PRINTED}/{new.name}.yaml")


def recorded_json(new: NewAct | None) -> dict[str, Any]:
    """What was recorded, for another program."""
    if new is None:
        return {"recorded": None, "cards": [], "taken_out": []}
    cards = [{"card": c.card, "language": c.language, "edition": c.edition, "sheets": c.sheets} for c in new.act.cards]
    gone = [{"card": gone.card, "language": gone.language} for gone in new.act.taken_out]
    return {"recorded": f"{PRINTED}/{new.name}.yaml", "cards": cards, "taken_out": gone}


def show_changes(console: Console, since: Since, figures: Sequence[Figure], folder: Path) -> None:
    """Print, card by card, what is to be exchanged and what is different; then the figures and inputs that moved."""
    if not since.since:
        _line(console, "nothing is recorded as printed yet, so there is nothing to compare with")
        _line(console, f"print it (kitdocs handbook {folder} --to OUT), hang the cards, then: kitdocs printed {folder}")
        return
    with trimmed(console):
        _show_since(console, since, figures, folder)


def _show_since(console: Console, since: Since, figures: Sequence[Figure], folder: Path) -> None:
    cards = _by_card(since.exchanges)
    amounts = [(sum(each.action == action for each, _ in cards), do) for action, do in _DO.items()]
    said = ", ".join(f"{_counted(n)} to {do}" for n, do in amounts if n)
    by = f" by {since.by}" if since.by else ""
    _line(console, f"printed on {since.date}{by}: {said or 'everything that hangs is current'}")
    for exchange, languages in cards:
        console.print()
        _show_exchange(console, exchange, languages)
    _show_moved(console, since, {figure.id: figure for figure in figures}, folder)


def _by_card(exchanges: Mapping[str, Sequence[Exchange]]) -> list[tuple[Exchange, dict[str, Exchange]]]:
    """Each card once, in the first language in which it is to be exchanged, with what it is in each."""
    found: dict[tuple[str, str], dict[str, Exchange]] = {}
    for language, of in exchanges.items():
        for exchange in of:
            found.setdefault((exchange.card, exchange.action), {})[language] = exchange
    return [(next(iter(of.values())), of) for of in found.values()]


def _show_exchange(console: Console, exchange: Exchange, languages: Mapping[str, Exchange]) -> None:
    named = exchange.title + (f" · {exchange.subtitle}" if exchange.subtitle else "")
    editions = [f"{_editions(each)} {language}" for language, each in languages.items()]
    where = " · ".join(filter(None, (exchange.hangs, *editions)))
    console.print(Text.assemble((f"{_DO[exchange.action]}: ", "cyan"), (named, "bold")), soft_wrap=True)
    console.print(Padding(Text(where, style="dim"), (0, 0, 0, 2)))
    for language, each in languages.items():
        if each.changes and (each is exchange or len(each.changes) > len(exchange.changes)):
            said = "; ".join(each.changes)
            console.print(Padding(Text(said if each is exchange else f"{language}: {said}"), (0, 0, 0, 2)))


def _editions(exchange: Exchange) -> str:
    return " → ".join(filter(None, (exchange.old_edition, exchange.new_edition)))


def _show_moved(console: Console, since: Since, figures: Mapping[str, Figure], folder: Path) -> None:
    if since.figures:
        console.print(Padding(Text("Figures that are not what they were", style="bold"), (1, 0, 0, 0)))
        drawn = table(("Figure", "Then", "Now"), numbers=(1, 2))
        for each in since.figures:
            figure = figures.get(each.id)
            name = (figure.name, _unit(figure)) if figure else (each.id, "")
            drawn.add_row(Text(", ".join(filter(None, name))), *_then_and_now(each))
        console.print(Padding(drawn, (1, 0, 0, 0)))
    if since.inputs:
        head = "What they are worked out from, where it is not what it was"
        console.print(Padding(Text(head, style="bold"), (1, 0, 0, 0)))
        drawn = table(("Written in the folder", "Then", "Now"), numbers=(1, 2))
        for each in since.inputs:
            drawn.add_row(Text(each.id), *_then_and_now(each))
        console.print(Padding(drawn, (1, 0, 0, 0)))
        back = next((each for each in since.inputs if None not in (each.before, each.after)), None)
        if back and since.figures:
            console.print()
            asked = f"kitdocs plan {folder} --set {back.id}={_as_written(back)}"
            _line(console, f"what one of them did to the figures: {asked}")


def _unit(figure: Figure) -> str:
    """What a number is of, where its name does not say so."""
    return figure.unit if isinstance(figure.value, float) else ""


def _then_and_now(each: Moved) -> tuple[Text, Text]:
    before, after = (Text("–" if value is None else number(value)) for value in (each.before, each.after))
    return before, after


def _as_written(moved: Moved) -> str:
    text = f"{moved.before:g}" if isinstance(moved.before, float) else str(moved.before)
    return f"'{text}'" if " " in text else text


def write_replacements(since: Since, handbooks: Sequence[Handbook], to: Path) -> list[Path]:
    """Write the replacement sheets, a PDF a language: the first one as `to`, others as ``to.es.pdf``.

    Raises `PublishError` when they cannot be made or written, before the first one when a file is somebody else's.
    """
    wanted = [(_named(to, handbook), handbook, exchanges) for handbook, exchanges in for_print(since, handbooks)]
    for file, _, _ in wanted:
        refuse_other(file)
    pdfs = {file: replacement(handbook, exchanges) for file, handbook, exchanges in wanted}
    for file, pdf in pdfs.items():
        write_pdf(file, pdf)
    return list(pdfs)


def _named(to: Path, handbook: Handbook) -> Path:
    return to.with_name(f"{to.stem}.{handbook.language}{to.suffix}") if handbook.folder else to


def show_files(console: Console, files: Sequence[Path], to: Path) -> None:
    """Print which PDFs were written; `to` is what was asked for."""
    console.print()
    for file in files:
        _line(console, f"wrote {file}")
    if not files:
        _line(console, f"nothing is to be exchanged, so {to} was not written")


def changes_json(since: Since, figures: Sequence[Figure], files: Sequence[Path] = ()) -> dict[str, Any]:
    """The same for another program; `marked` as in the exchange, `files` are the PDFs that were written."""
    names = {figure.id: (figure.name, figure.unit) for figure in figures}
    return {
        "current": since.current,
        "since": {"act": since.since, "date": since.date, "by": since.by} if since.since else None,
        "exchanges": [
            {
                "card": exchange.card,
                "language": language,
                "action": exchange.action,
                "title": exchange.title,
                "subtitle": exchange.subtitle,
                "hangs": exchange.hangs,
                "old_edition": exchange.old_edition,
                "new_edition": exchange.new_edition,
                "changes": list(exchange.changes),
                "marked": sorted(exchange.marked),
                "sheets": list(exchange.sheets),
            }
            for language, of in since.exchanges.items()
            for exchange in of
        ],
        "figures": [
            {"id": m.id, "name": names.get(m.id, ("", ""))[0], "unit": names.get(m.id, ("", ""))[1], **_values(m)}
            for m in since.figures
        ],
        "inputs": [{"path": m.id, **_values(m)} for m in since.inputs],
        "files": [str(file) for file in files],
    }


def _values(moved: Moved) -> dict[str, Any]:
    return {"before": moved.before, "after": moved.after}


def _names(console: Console, names: Sequence[str]) -> None:
    if len(names) <= _NAMED:
        console.print(Padding(Text(", ".join(names), style="dim"), (0, 0, 0, 2)))


def _counted(cards: int) -> str:
    return f"{cards} card{'' if cards == 1 else 's'}"


def _line(console: Console, text: str) -> None:
    console.print(text, markup=False, soft_wrap=True)
