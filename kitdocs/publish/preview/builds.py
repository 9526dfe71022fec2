"""Builds of the preview: the site as the folder has it now, or what is wrong with the folder."""

from __future__ import annotations

import secrets
import threading
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace

from kitdocs.document.card import Handbook
from kitdocs.errors import mistake_of_kitdocs
from kitdocs.practice.problems import KitdocsError, PracticeError, Problem
from kitdocs.publish.handbook_folder import paper_of, sheet
from kitdocs.publish.site.build_site import site
from kitdocs.publish.site.pages import Drawn


@dataclass(frozen=True, slots=True, kw_only=True)
class Written:
    """What the folder says now: the handbook in each language, the planning report, the warnings."""

    handbooks: tuple[Handbook, ...]
    reports: tuple[Handbook, ...]
    problems: tuple[Problem, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Build:
    """What a save gave. `files` is the last good site by path, empty when there has been none.

    Its PDFs are rendered from `handbooks` and `reports` when somebody asks for one.
    `changed` are the paths that differ from the build before. `problems` are those of the folder as it is now;
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


class Builder:
    """One build after the other; what has not changed is not drawn again.

    `written` reads the folder each time; it raises a `KitdocsError` when there is no handbook in it.
    """

    def __init__(self, written: Callable[[], Written]) -> None:
        self._written = written
        self.drawn = Drawn()
        self._last = Build(number=0, files={}, handbooks=())

    def build(self) -> Build:
        """The next build. Nothing that is wrong with the folder is raised: the build says it."""
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

    def _good(self) -> Build:
        now = self._written()
        files = site(now.handbooks, now.reports, self.drawn, paper_of)
        before = self._last.files
        return Build(
            number=self._last.number + 1,
            files=files,
            handbooks=now.handbooks,
            reports=now.reports,
            changed=frozenset(path for path in {*before, *files} if before.get(path) != files.get(path)),
            problems=now.problems,
        )


def _spoilt(last: Build, *, problems: tuple[Problem, ...] = (), refused: str = "") -> Build:
    return replace(last, number=last.number + 1, changed=frozenset(), problems=problems, refused=refused)


class LiveSite:
    """The `latest` build, for many readers at once. `run` is another one each time the preview is started."""

    def __init__(self, build: Build) -> None:
        self.run = secrets.token_hex(4)
        self.latest = build
        self._news = threading.Condition()
        self._sheets: dict[str, bytes] = {}
        self._rendering = threading.Lock()

    def name(self, build: Build) -> str:
        """The build's name, the same in no other run."""
        return f"{self.run}.{build.number}"

    def show(self, build: Build) -> None:
        """Show `build` from now on, and wake everybody who waits for it."""
        with self._news:
            self.latest = build
            self._news.notify_all()

    def after(self, number: int, seconds: float) -> Build | None:
        """A later build than that of `number`, as soon as there is one; None when there is none for so long."""
        with self._news:
            if self._news.wait_for(lambda: self.latest.number > number, timeout=seconds):
                return self.latest
            return None

    def sheet(self, path: str) -> bytes | None:
        """The PDF at `path`, rendered when it is asked for. None when the handbook has none there.

        Raises `PublishError` when it cannot be rendered.
        """
        build = self.latest
        with self._rendering:
            key = f"{build.number} {path}"
            if key not in self._sheets:
                pdf = sheet(build.handbooks, path, build.reports)
                if pdf is None:
                    return None
                self._sheets = {key: pdf}  # a build is read, not kept
            return self._sheets[key]
