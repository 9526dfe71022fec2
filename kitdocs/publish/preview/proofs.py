"""Proofs, as printers call a trial print: the site as the folder has it now, or what is wrong with the folder."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace

from kitdocs.document.card import Handbook
from kitdocs.errors import mistake_of_kitdocs
from kitdocs.practice.problems import KitdocsError, PracticeError, Problem
from kitdocs.publish.handbook_folder import paper_of
from kitdocs.publish.site.build_site import site
from kitdocs.publish.site.pages import Drawn


@dataclass(frozen=True, slots=True, kw_only=True)
class Written:
    """What the folder says now: the handbook in each language, the planning report, the warnings."""

    handbooks: tuple[Handbook, ...]
    reports: tuple[Handbook, ...]
    problems: tuple[Problem, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Proof:
    """What a save gave. `files` is the last good site by path, empty when there has been none; its PDFs are set from
    `handbooks` and `reports` when somebody asks for one.

    `changed` are the paths that differ from the proof before. `problems` are those of the folder as it is now;
    `refused` says what keeps it from being published when that has no place in the folder.
    """

    number: int
    files: Mapping[str, bytes] = field(repr=False)
    handbooks: tuple[Handbook, ...] = field(repr=False)
    reports: tuple[Handbook, ...] = field(default=(), repr=False)
    changed: frozenset[str] = frozenset()
    problems: tuple[Problem, ...] = ()
    refused: str = ""

    @property
    def good(self) -> bool:
        """Whether the site is that of the folder as it is now."""
        return not self.refused and not any(problem.severity == "error" for problem in self.problems)


class Proofs:
    """One proof after the other; what has not changed is not drawn again.

    `written` reads the folder each time; it raises a `KitdocsError` when there is no handbook in it.
    """

    def __init__(self, written: Callable[[], Written]) -> None:
        self._written = written
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
        except Exception as error:  # the next save may be one that kitdocs can read
            self._last = _spoilt(last, refused=mistake_of_kitdocs(error))
        return self._last

    def _good(self) -> Proof:
        now = self._written()
        files = site(now.handbooks, now.reports, self.drawn, paper_of)
        before = self._last.files
        return Proof(
            number=self._last.number + 1,
            files=files,
            handbooks=now.handbooks,
            reports=now.reports,
            changed=frozenset(path for path in {*before, *files} if before.get(path) != files.get(path)),
            problems=now.problems,
        )


def _spoilt(last: Proof, *, problems: tuple[Problem, ...] = (), refused: str = "") -> Proof:
    return replace(last, number=last.number + 1, changed=frozenset(), problems=problems, refused=refused)
