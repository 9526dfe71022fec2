"""Questions of `kitdocs import`, asked in the terminal one by one: Enter takes what is suggested."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from typing import Protocol, TypeVar

import typer
from rich.console import Console

from kitdocs.command.console import console, say
from kitdocs.command.import_answer import Say
from kitdocs.importing.found import About, Doubt, Found, as_about
from kitdocs.practice.message import message

#: Answers that leave a question open, and that leave all further ones open.
SKIP, STOP = "?", "??"
#: An answer can raise another question; more rounds than this mean that answers are not understood.
_ROUNDS = 5


class _HasFound(Protocol):
    @property
    def found(self) -> Found: ...


_Brought = TypeVar("_Brought", bound=_HasFound)


def asked_until_settled(
    answers: dict[About, str], brought: _Brought, again: Callable[[], _Brought], tell: Say
) -> _Brought:
    """Ask in the terminal until nothing is open, or a person leaves the rest open; return what it all comes to.

    `answers` grow with each round, and `again` says what they come to.
    """
    seen: set[About] = set()
    for _ in range(_ROUNDS):
        new = [doubt for doubt in brought.found.doubts if not doubt.assumed and doubt.about not in seen]
        if not new:
            break
        seen |= {doubt.about for doubt in new}
        given, on = ask_all(console(stderr=True), new, tell)
        answers |= given
        brought = again()
        if not on:
            break
    return brought


def ask_all(out: Console, doubts: Iterable[Doubt], tell: Say) -> tuple[dict[About, str], bool]:
    """Return the answers of a person, and whether they want to be asked on. What is skipped stays open."""
    answers: dict[About, str] = {}
    open_ = list(doubts)
    if open_:
        say(out, "\n" + tell(message("import.told.how-to-answer", skip=SKIP, stop=STOP)))
    for number, doubt in enumerate(open_, 1):
        _show(out, doubt, tell, f"{number}/{len(open_)}")
        answer = _asked(out, doubt, tell)
        if answer == STOP:
            return answers, False
        if answer not in ("", SKIP):
            answers[as_about(*doubt.about)] = answer
    return answers, True


def _show(out: Console, doubt: Doubt, tell: Say, number: str) -> None:
    say(out, f"\n{number}  {tell(doubt.asked)}")
    where = "; ".join(doubt.sources[:3]) + (" …" if len(doubt.sources) > 3 else "")
    for line in filter(None, (where, tell(doubt.why) if doubt.why else "")):
        say(out, f"     {line}")
    for n, (value, meaning) in enumerate(doubt.choices.items(), 1):
        meant = tell(meaning)
        say(out, f"     {n}  {meant}" + (f" ({value})" if value not in (meant, "-") and " " not in value else ""))


def _asked(out: Console, doubt: Doubt, tell: Say) -> str:
    values = list(doubt.choices)
    default = str(values.index(doubt.suggested) + 1) if doubt.suggested in values else doubt.suggested
    while True:
        answer = str(typer.prompt("    ", default=default, show_default=bool(default), err=True)).strip()
        if answer.isdigit() and values and 1 <= int(answer) <= len(values):
            return values[int(answer) - 1]
        if not values or doubt.any_text or answer in ("", SKIP, STOP, *values):
            return answer
        say(out, f"     {tell(message('import.told.choose', count=len(values)))}")
