"""Proofs, as printers call a trial print: the site as the folder has it now, or what is wrong with the folder."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path

from kitdocs.handbook.card import Handbook
from kitdocs.handbook.make import make_handbooks
from kitdocs.handbook.report.make import make_report
from kitdocs.planning.plan import make_plan
from kitdocs.practice.problems import KitdocsError, PracticeError, Problem
from kitdocs.practice.reading.reader import read_practice
from kitdocs.publish.site import site
from kitdocs.publish.site_drawn import Drawn


@dataclass(frozen=True, slots=True, kw_only=True)
class Proof:
    """What a save gave. `files` is the last good site by path, empty when there has been none.

    `changed` are the paths that differ from the proof before. `problems` are those of the folder as it is now;
    `refused` says what keeps it from being published when that has no place in the folder.
    """

    number: int
    files: Mapping[str, bytes] = field(repr=False)
    handbooks: tuple[Handbook, ...] = field(repr=False)
    changed: frozenset[str] = frozenset()
    problems: tuple[Problem, ...] = ()
    refused: str = ""

    @property
    def good(self) -> bool:
        """Whether the site is that of the folder as it is now."""
        return not self.refused and not any(problem.severity == "error" for problem in self.problems)


class Proofs:
    """One proof after the other of the same folder; what has not changed is not drawn again."""

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self.drawn = Drawn()
        self._last = Proof(number=0, files={}, handbooks=())

    def pull(self) -> Proof:
        """The next proof. Nothing that is wrong with the folder is raised: the proof says it."""
        last = self._last
        try:
            self._last = self._good()
        except PracticeError as error:
            self._last = _spoilt(last, problems=error.problems)
        except KitdocsError as error:
            self._last = _spoilt(last, refused=str(error))
        return self._last

    def _good(self) -> Proof:
        practice = read_practice(self._folder)
        plan = make_plan(practice)
        handbooks = make_handbooks(practice, plan)
        # Without the study of other places for the instruments: it takes longer than all the rest.
        files = site(handbooks, make_report(practice, plan), self.drawn)
        before = self._last.files
        return Proof(
            number=self._last.number + 1,
            files=files,
            handbooks=handbooks,
            changed=frozenset(path for path in {*before, *files} if before.get(path) != files.get(path)),
            problems=plan.problems,
        )


def _spoilt(last: Proof, *, problems: tuple[Problem, ...] = (), refused: str = "") -> Proof:
    return Proof(number=last.number + 1, files=last.files, handbooks=last.handbooks, problems=problems, refused=refused)
