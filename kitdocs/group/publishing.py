"""A group published: each practice's handbook in a folder of its own, and beside them the pages of all together.

Each folder is written whole or not at all, so a practice that is bad keeps the handbook that it had, and the others get
theirs. A practice whose files are as they were, and whose handbook is as it was written, is not worked on again.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from pathlib import Path

from kitdocs.cache import Cache, user_cache
from kitdocs.document.catalog import MessageCatalog
from kitdocs.errors import KitdocsError, TargetError
from kitdocs.group.cluster import on_cluster
from kitdocs.group.found import GROUP, PackedPractice, packed, practice_folders
from kitdocs.group.pages import group_books
from kitdocs.group.result import Group, group_of
from kitdocs.group.running import Runner, here, in_processes, run_group
from kitdocs.group.tables import group_tables
from kitdocs.group.told import Told
from kitdocs.group.work import WorkedOn
from kitdocs.practice.last_handbook import remember_handbook
from kitdocs.publish.folder import refuse_foreign, write_folder
from kitdocs.publish.group_folder import group_files
from kitdocs.publish.manifest import MANIFEST, is_whole
from kitdocs.publish.site.group_pages import PracticeLine

Tell = Callable[[str], None]


@dataclass(frozen=True, slots=True, kw_only=True)
class Published:
    """What was published. `made_again` are the practices that were worked on, by name."""

    group: Group
    made_again: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Known:
    """What is kept of a practice between runs: all but its files, of which `written` is the digest of their list."""

    worked: WorkedOn
    written: str


def publish_group(
    folder: str | Path,
    to: str | Path,
    *,
    processes: int = 1,
    cluster: str = "",
    handbooks: bool = True,
    fresh: bool = False,
    tell: Tell = lambda step: None,
    say: Tell = lambda sentence: None,
) -> Published:
    """Write the handbook of every practice below a folder to `to`/NAME, and the pages of all to `to`/group.

    Practices are worked on in so many `processes` of this machine, or on the Dask `cluster` whose scheduler has that
    address. What is wrong with one practice is in the result, and keeps no other from being written. `tell` is called
    with each step, `say` with a sentence when files that are not kitdocs' own had to be moved.

    Raises `KitdocsError` when there is no practice or no cluster, and `TargetError` when `to`/group holds what kitdocs
    did not write.
    """
    run = on_cluster(cluster) if cluster else here if processes == 1 else in_processes(processes)
    return publish_with(run, Path(folder), Path(to), handbooks=handbooks, fresh=fresh, tell=tell, say=say)


def publish_with(
    run: Runner,
    folder: Path,
    to: Path,
    *,
    handbooks: bool = True,
    fresh: bool = False,
    tell: Tell = lambda step: None,
    say: Tell = lambda sentence: None,
) -> Published:
    """Do what `publish_group` does, with whatever works on the practices."""
    folders = practice_folders(folder)
    refuse_foreign(to / GROUP)
    cache = user_cache(fresh=fresh)
    done: dict[str, WorkedOn] = {}
    keys: dict[str, str] = {}
    kept: dict[str, _Known] = {}
    todo: list[PackedPractice] = []
    for name, place in folders.items():
        try:
            practice = packed(name, place)
        except KitdocsError as error:
            done[name] = WorkedOn(name=name, failed=str(error))
            continue
        keys[name] = practice.key(handbooks)
        known = _known(cache, keys[name], to / name if handbooks else None)
        if known:
            done[name], kept[name] = known.worked, known
        else:
            todo.append(practice)
    tell(f"working on {len(todo)} of {len(folders)} practices")
    for number, worked in enumerate(run_group(todo, run, handbook=handbooks, fresh=fresh), 1):
        name = worked.name
        new = _written(worked, to if handbooks else None, folders[name], say)
        done[name] = new.worked
        if new.worked.is_good:
            kept[name] = new
            cache.put(keys[name], new)
        tell(f"worked on {number} of {len(todo)} practices")
    for name, known in kept.items():  # once more: handbooks that were kept meanwhile may have taken their room
        cache.put(keys[name], known)
    cache.evict()
    group = group_of(folder.resolve().name, done.values(), with_handbooks=handbooks)
    tell("writing the pages of all practices")
    write_folder(to / GROUP, _files(group), say)
    return Published(group=group, made_again=tuple(sorted(practice.name for practice in todo)))


def _known(cache: Cache, key: str, target: Path | None) -> _Known | None:
    """Return what is known of a practice, if its handbook, where one is wanted, is still as it was written."""
    known: _Known | None = cache.get(key)
    if known is None or target is None:
        return known
    try:
        refuse_foreign(target)
        list_ = (target / MANIFEST).read_bytes()
    except (OSError, TargetError):
        return None
    is_there = hashlib.sha256(list_).hexdigest() == known.written and is_whole(target)
    return known if is_there else None


def _written(worked: WorkedOn, to: Path | None, folder: Path, say: Tell) -> _Known:
    """Write the handbook of a practice below `to`, if one is wanted; return what is known of it without its files."""
    done = replace(worked, files={}, editions={})
    if to is None or not worked.is_good:
        return _Known(worked=done, written="")
    target = to / worked.name
    try:
        write_folder(target, worked.files, say)
        remember_handbook(folder, worked.editions)
        return _Known(worked=done, written=hashlib.sha256((target / MANIFEST).read_bytes()).hexdigest())
    except (KitdocsError, OSError) as error:
        return _Known(worked=replace(done, failed=str(error)), written="")


def _files(group: Group) -> Mapping[str, bytes]:
    books = group_books(group)
    lines = {book.language: tuple(_lines(Told(group, book.words))) for book in books}
    return group_files(books, group_tables(group), lines)


def _lines(told: Told) -> Iterator[PracticeLine]:
    for name, worked in told.group.practices.items():
        is_published = told.group.with_handbooks and worked.is_good
        handbook = f"{name}/{_folder(told, name)}index.html" if is_published else ""
        yield PracticeLine(name=told.practice(name), detail=_detail(told, worked), handbook=handbook)


def _folder(told: Told, name: str) -> str:
    """Return where a practice's handbook has the pages of this language: at its top if it is the first, or missing."""
    languages, language = told.group.compared[name].languages, told.words.language
    return f"{language}/" if language in languages[1:] else ""


def _detail(told: Told, worked: WorkedOn) -> str:
    words, summary = told.words, worked.summary
    errors = sum(problem.severity == "error" for problem in worked.problems)
    if summary is None:
        return words.count("group.errors", errors) if errors else words("group.failed-whole")
    if worked.failed:
        return words("group.failed")
    return _facts(told, worked.name, words)


def _facts(told: Told, name: str, words: MessageCatalog) -> str:
    summary = told.group.compared[name]
    return words(
        "group.line",
        chairs=words.count("group.chairs", summary.chairs),
        visits=told.figure("visits", summary.visits),
        sets=words.count("group.sets", summary.sets),
        ends=told.figure("ends", summary.ends),
    )
