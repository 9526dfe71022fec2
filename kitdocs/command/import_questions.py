"""Questions of `kitdocs import`, asked in the terminal one by one: Enter takes what is suggested."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Protocol, TypeVar

import typer
from rich.console import Console

from kitdocs.command.console import console, say
from kitdocs.command.import_answer import Say
from kitdocs.importing.choosing import chosen, shown_choice
from kitdocs.importing.found import NOTHING, About, Doubt, Found, Refused, as_about
from kitdocs.importing.needs_written import with_word
from kitdocs.practice.message import Message, counted, message

#: Answers that leave a question open, and that leave all further ones open.
SKIP, STOP = "?", "??"
#: Answers that lead to the question before.
BACK = ("back", "atrás", "atras", "retour", "zurück")
_NO_ANSWERS = ("", SKIP, STOP, *BACK)
#: An answer can raise another question; more rounds than this mean that answers are not understood.
_ROUNDS = 20


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
    dialogue = Dialogue(console(stderr=True), answers, tell)
    for _ in range(_ROUNDS):
        new = [doubt for doubt in brought.found.doubts if doubt.about not in dialogue.seen]
        if not new:
            break
        dialogue.announce(new)
        on = dialogue.ask(new)
        brought = again()
        if not on:
            break
    return brought


class Dialogue:
    """The questions of one run, asked one after the other; a person can go back to any that was asked."""

    def __init__(self, out: Console, answers: dict[About, str], tell: Say) -> None:
        self.seen: set[About] = set()
        self._out, self._answers, self._tell = out, answers, tell
        self._asked: list[Doubt] = []

    def announce(self, doubts: Sequence[Doubt]) -> None:
        """Say how to answer, or that the answers so far raise further questions."""
        if self.seen:
            said = counted("import.told.raised", len(doubts))
        else:
            said = message("import.told.how-to-answer", skip=SKIP, stop=STOP)
        say(self._out, "\n" + self._tell(said))

    def ask(self, doubts: Sequence[Doubt]) -> bool:
        """Ask the questions of one round; return whether a person wants to be asked on. What is skipped stays open.

        Back beyond the first of them is a question of an earlier round: what its answer raises is asked anew.
        """
        number = 0
        while number < len(doubts):
            doubt = doubts[number]
            answer = self._answer(doubt, f"{number + 1}/{len(doubts)}")
            if answer == STOP:
                return False
            if answer in BACK:
                if not self._asked:
                    continue
                before = self._asked.pop()
                self._answers.pop(as_about(*before.about), None)
                self.seen.discard(before.about)
                if number == 0:
                    return self.ask([before])
                number -= 1
                continue
            self.seen.add(doubt.about)
            self._asked.append(doubt)
            self._answers.pop(as_about(*doubt.about), None)
            if answer not in ("", SKIP):
                self._answers[as_about(*doubt.about)] = answer
            number += 1
        return True

    def _answer(self, doubt: Doubt, number: str) -> str:
        self._show(doubt, number)
        given = self._answers.get(as_about(*doubt.about), "")
        if given and (refused := doubt.refuses(given)):
            self._say(message("import.refused.given", answer=given))
            self._refuse(refused)
        answer = self._typed(doubt)
        while answer not in _NO_ANSWERS and (refused := doubt.refuses(answer)):
            self._refuse(refused)
            answer = (refused.words and self._mended(answer, refused)) or self._typed(doubt)
        return answer

    def _mended(self, answer: str, refused: Refused) -> str:
        """Ask for another word in place of each that is not understood; the rest of the answer stays as it is."""
        for part in refused.words:
            self._say(message("import.refused.instead", word=part.word))
            word = self._prompt(part.near) or self._once_more(part.why)
            if word in (SKIP, STOP, *BACK):
                return word
            answer = with_word(answer, part.word, "" if word == NOTHING else word)
        return answer

    def _refuse(self, refused: Refused) -> None:
        for why in refused.why:
            self._say(why)

    def _show(self, doubt: Doubt, number: str) -> None:
        out, tell = self._out, self._tell
        say(out, f"\n{number}  {tell(doubt.asked)}")
        where = "; ".join(doubt.sources[:3]) + (" …" if len(doubt.sources) > 3 else "")
        for line in filter(None, (where, tell(doubt.why) if doubt.why else "")):
            say(out, f"     {line}")
        for n, (value, meaning) in enumerate(doubt.choices.items(), 1):
            say(out, f"     {n}  {shown_choice(value, tell(meaning))}")

    def _typed(self, doubt: Doubt) -> str:
        values = list(doubt.choices)
        meanings = {value: self._tell(meaning) for value, meaning in doubt.choices.items()}
        default = str(values.index(doubt.suggested) + 1) if doubt.suggested in values else doubt.suggested
        wanted = message("import.told.choose", count=len(values)) if values and not doubt.any_text else None
        answer = self._prompt(default) or self._once_more(*self._wanted(doubt, wanted))
        while wanted and answer not in _NO_ANSWERS and not _choice(answer, meanings, whole=False):
            self._say(wanted)
            answer = self._prompt(default)
        return answer if answer in _NO_ANSWERS else _choice(answer, meanings, whole=doubt.any_text) or answer

    def _wanted(self, doubt: Doubt, wanted: Message | None) -> Sequence[Message]:
        """What a question wants, of those that take more than what they show."""
        refused = doubt.check("") if doubt.check else None
        return (wanted,) if wanted else refused.why if refused else ()

    def _once_more(self, *wanted: Message) -> str:
        """Ask again where nothing was typed and nothing is suggested."""
        for said in (*wanted, message("import.told.no-suggestion")):
            self._say(said)
        return self._prompt("") or SKIP

    def _prompt(self, default: str) -> str:
        answer = str(typer.prompt("    ", default=default, show_default=bool(default), err=True)).strip()
        if answer.casefold() == self._tell(message("import.choice.nothing")):
            return NOTHING
        return answer.casefold() if answer.casefold() in BACK else answer

    def _say(self, text: Message) -> None:
        say(self._out, f"     {self._tell(text)}")


def _choice(answer: str, meanings: Mapping[str, str], *, whole: bool) -> str:
    """The choice that an answer means, by its number too; '' for none."""
    values = list(meanings)
    if answer.isdecimal() and 1 <= int(answer) <= len(values):
        return values[int(answer) - 1]
    return chosen(answer, meanings, whole=whole)
