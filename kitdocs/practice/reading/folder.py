"""The files of a practice folder: which there are, which are missing, which are something else."""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

from kitdocs.errors import KitdocsError
from kitdocs.extensions import extensions
from kitdocs.practice import formats
from kitdocs.practice.locations import Path as ValuePath
from kitdocs.practice.locations import SourceLocation
from kitdocs.practice.model import Page
from kitdocs.practice.own_drawing import OwnDrawing
from kitdocs.practice.printed import PRINTED
from kitdocs.practice.problems import Problem, at_most, nearest, problem_at
from kitdocs.practice.reading.common import SHARED, as_shared, beside, common_named, put_together, shared_text, words_in
from kitdocs.practice.reading.csv_file import Columns, read_csv
from kitdocs.practice.reading.markdown_file import page_links, page_problems
from kitdocs.practice.reading.photos import FORMATS, photo_problem
from kitdocs.practice.reading.printed_folder import read_printed
from kitdocs.practice.reading.text_file import TextFile, file_problem, leaves, read_text
from kitdocs.practice.reading.words_file import WORDS_FILE, read_words
from kitdocs.practice.reading.words_file import words_in as sentences_in
from kitdocs.practice.reading.yaml_file import YamlFile, read_yaml
from kitdocs.practice.schema import WRITTEN, YAML_FILES
from kitdocs.practice.sentences import is_language
from kitdocs.practice.values import ID_PATTERN

#: The tables, by the file's stem.
_TABLES = {
    "stock": Columns(
        names=("instrument", "on_hand", "in_repair"),
        optional=("in_repair",),
        numbers=("on_hand", "in_repair"),
        key="instrument",
    ),
    "schedule": Columns(names=("day", "start", "chair", "procedure", "minutes"), minutes=("minutes",)),
}
#: What `kitdocs import` keeps; only it reads the file.
_KEPT = ("import.yaml",)
#: What an office keeps its lists in.
_LISTS = ("xlsx", "xlsm", "xls", "ods", "ics", "tsv")
#: How the files begin that programs write beside one that is open.
_OPEN_ELSEWHERE = ("~$", ".~lock")
#: So many are named.
_LISTED = 5
_NAMES = tuple(f"{stem}.yaml" for stem in (*YAML_FILES, *WRITTEN)) + tuple(f"{stem}.csv" for stem in _TABLES)
_PAGE = re.compile(rf"({ID_PATTERN[1:-1]})(?:\.([a-z]{{2,3}}))?\.md")


@dataclass(slots=True)
class Folder:
    """What the files of a folder hold as plain data, before anything is known about a practice."""

    path: Path
    files: dict[str, YamlFile] = field(default_factory=dict)
    pages: tuple[Page, ...] = ()
    words: dict[str, dict[str, str]] = field(default_factory=dict)
    places: dict[ValuePath, SourceLocation] = field(default_factory=dict)
    photos: dict[str, Path] = field(default_factory=dict)
    drawings: dict[str, OwnDrawing] = field(default_factory=dict)
    problems: list[Problem] = field(default_factory=list)
    older: Problem | None = None
    """Why nothing can be written into the folder, when its files are in an older format. `files` hold the newest."""


def read_folder(path: Path) -> Folder:
    """Everything that can be read of a folder, with every problem that a single file can have."""
    folder = Folder(path)
    if problem := _not_a_practice(path):
        folder.problems.append(problem)
        return folder
    names = sorted(entry.name for entry in path.iterdir() if not entry.name.startswith("."))
    folder.files[formats.STEM] = _yaml(path, formats.STEM, names)
    if problem := formats.unknown_format(folder.files[formats.STEM]):
        return Folder(path, problems=[problem])
    for stem in YAML_FILES:
        if stem != formats.STEM:
            folder.files[stem] = _yaml(path, stem, names)
    for stem in WRITTEN:
        folder.files[stem] = _yaml(path, stem, names) if f"{stem}.yaml" in names else YamlFile()
    for stem, columns in _TABLES.items():
        folder.files[stem] = _csv(path, stem, names, columns)
    shared = _shared(folder)
    folder.files[PRINTED] = read_printed(path, _inside(folder, PRINTED))
    folder.problems += [problem for file in folder.files.values() for problem in file.problems]
    folder.older = formats.refuse_older(folder.files[formats.STEM].data)
    folder.problems += formats.brought_up(folder.files)
    folder.problems += _strangers(names)
    _read_words(folder, names)
    _read_pages(folder, shared)
    _share_words(folder, shared)
    _read_photos(folder, shared)
    _read_drawings(folder, shared)
    return folder


def _shared(folder: Folder) -> str:
    """Put the tables of the shared folder, if the practice names one, into those of the practice; return its name."""
    settings = folder.files[formats.STEM]
    named = common_named(settings.data)
    if not named:
        return ""
    if not beside(folder.path, named).is_dir():
        place = settings.values[formats.STEM, "common"]
        folder.problems.append(problem_at(place, (formats.STEM, "common"), "no-common", named=named))
        return ""
    words = {word for stem, file in folder.files.items() if stem not in SHARED for word in words_in(file.data)}
    for stem in SHARED:
        source = shared_text(folder.path, named, f"{stem}.yaml", (stem,))
        if source is not None:
            folder.files[stem] = put_together(stem, folder.files[stem], source, words)
    return named


def _languages(folder: Folder) -> list[str]:
    settings = folder.files[formats.STEM].data
    listed = settings.get("languages", ["en"]) if isinstance(settings, dict) else []
    return [language for language in listed if isinstance(language, str)] if isinstance(listed, list) else []


def _share_words(folder: Folder, shared: str) -> None:
    """Take the sentences of the shared folder that the practice does not write itself, in the languages it lists."""
    for language in _languages(folder) if shared else ():
        source = shared_text(folder.path, shared, f"words.{language}.yaml", ("words", language))
        if isinstance(source, Problem):
            folder.problems.append(source)
        elif source is not None and is_language(language):
            file = sentences_in(source, language)
            folder.words[language] = {**file.sentences, **folder.words.get(language, {})}
            folder.problems += file.problems
            folder.places = {**file.places, **folder.places}


def _not_a_practice(path: Path) -> Problem | None:
    """The one thing to say about something that is no practice folder at all."""
    file, at = str(path), ("folder",)
    try:
        if not path.exists():
            other = _made_from(path)
            return file_problem(file, at, "no-folder", remedy="beside" if other else "remedy", folder=path, other=other)
        if not path.is_dir():
            return file_problem(file, at, "not-a-folder.practice", parent=path.parent)
        if not any(entry.name in _NAMES for entry in path.iterdir()):
            return file_problem(file, at, "empty-folder", folder=path)
    except OSError as error:
        return file_problem(file, at, "unreadable.folder", why=error.strerror or error)
    return None


def _made_from(path: Path) -> str:
    """The practice folder beside a missing one that its name begins with (`our-practice-with-sets`); '' for none."""
    beside = path.parent.iterdir() if path.parent.is_dir() else ()
    others = [
        other for other in beside if path.name.startswith(f"{other.name}-") and (other / "practice.yaml").exists()
    ]
    return str(path.parent / max(others, key=lambda other: len(other.name)).name) if others else ""


def _yaml(folder: Path, stem: str, names: list[str]) -> YamlFile:
    name = f"{stem}.yaml"
    if name not in names:
        other = next((n for n in names if n.lower() in (name, f"{stem}.yml")), "")
        remedy = "rename" if other else "remedy"
        return YamlFile(problems=[file_problem(name, (stem,), "no-file", remedy=remedy, other=other, name=name)])
    source = read_text(folder, name, (stem,))
    if isinstance(source, Problem):
        return YamlFile(problems=[source])
    file = read_yaml(source)
    if file.data is None and not file.problems:
        remedy = "design" if stem in ("sets", "pouches") else "remedy"
        file.problems.append(file_problem(name, (stem,), "empty-file", remedy=remedy))
    return file


def _csv(folder: Path, stem: str, names: list[str], columns: Columns) -> YamlFile:
    name = f"{stem}.csv"
    if name not in names:
        return YamlFile(data={} if columns.key else [])
    source = read_text(folder, name, (stem,))
    if isinstance(source, Problem):
        return YamlFile(problems=[source])
    if not source.text.strip():
        columns_named = ",".join(columns.names)
        return YamlFile(problems=[source.problem("empty-file", source.place(1), remedy="table", columns=columns_named)])
    return read_csv(source, columns)


def _strangers(names: list[str]) -> Iterator[Problem]:
    """Files that nothing reads: a name with a slip in it, or lists of the office, which are told of together."""
    lists = []
    for name in names:
        stem, _, suffix = name.rpartition(".")
        renamed = suffix == "yml" and stem in YAML_FILES and f"{stem}.yaml" not in names
        known = renamed or name in (*_NAMES, *_KEPT) or WORDS_FILE.fullmatch(name)
        near = difflib.get_close_matches(name, _NAMES, n=1, cutoff=0.6)
        if suffix.lower() in _LISTS or (suffix.lower() == "csv" and not known and not near):
            lists += [] if name.startswith(_OPEN_ELSEWHERE) else [name]
        elif suffix.lower() in ("yaml", "yml", "csv") and not known:
            yield file_problem(name, (stem,), "unknown-file", severity="warning", nearest=nearest(name, _NAMES))
    if lists:
        named = " ".join(f'"{name}"' if " " in name else name for name in lists[:_LISTED])
        yield file_problem(lists[0], (lists[0].rpartition(".")[0],), "unread-list", severity="warning", files=named)


def _read_words(folder: Folder, names: list[str]) -> None:
    for name in names:
        if match := WORDS_FILE.fullmatch(name):
            file = read_words(folder.path, name, match[1])
            folder.words[match[1]] = file.sentences
            folder.problems += file.problems
            folder.places["words", match[1]] = SourceLocation(file=name)
            folder.places.update(file.places)


def _inside(folder: Folder, name: str) -> list[str]:
    """The names in a sub-folder, which may be missing."""
    path = folder.path / name
    if not path.is_dir():
        if path.is_symlink() or path.exists():
            folder.problems.append(file_problem(name, (name,), "not-a-folder.inside"))
        return []
    if leaves(folder.path, path):
        folder.problems.append(file_problem(name, (name,), "outside.folder"))
        return []
    hidden = (".", "Thumbs.db", "desktop.ini")
    return sorted(entry.name for entry in path.iterdir() if not entry.name.startswith(hidden))


def _read_pages(folder: Folder, shared: str) -> None:
    texts: dict[str, dict[str, str]] = {}
    links: list[tuple[TextFile, str, SourceLocation]] = []
    own = _inside(folder, "pages")
    for name in (*own, *(name for name in _shared_pages(folder, shared) if name not in own)):
        at = ("pages", name.removesuffix(".md"))
        match = _PAGE.fullmatch(name)
        if not match:
            folder.problems.append(file_problem(f"pages/{name}", at, "page-name"))
            continue
        source = (
            read_text(folder.path, f"pages/{name}", at)
            if name in own
            else shared_text(folder.path, shared, f"pages/{name}", at)
        )
        if source is None:
            continue
        if isinstance(source, Problem):
            folder.problems.append(source)
            continue
        folder.problems += at_most(page_problems(source))
        links += [(source, page, place) for page, place in page_links(source)]
        folder.places[at] = source.place(1)
        texts.setdefault(match[1], {})[match[3] or ""] = source.text
    folder.pages = tuple(Page(id=page, text=text) for page, text in texts.items())
    folder.problems += [
        source.problem("no-page", place, page=page, nearest=nearest(page, texts))
        for source, page, place in links
        if page not in texts
    ]


def _shared_pages(folder: Folder, shared: str) -> list[str]:
    """The names of the shared pages in a language of the practice, or in none; without those that it replaces."""
    if not shared or not (pages := beside(folder.path, shared) / "pages").is_dir():
        return []
    spoken = ("", *_languages(folder))
    named = sorted(entry.name for entry in pages.iterdir())
    return [name for name in named if (match := _PAGE.fullmatch(name)) and (match[3] or "") in spoken]


def _pictures(folder: Folder, kind: str, shared: str) -> Iterator[tuple[Path, str, str]]:
    """Yield the photos or drawings: the folder that each is read from, its name there, and "../" where it is shared.

    A shared picture is taken where it is of something that the practice has and has no picture of.
    """
    own = _inside(folder, kind)
    yield from ((folder.path, f"{kind}/{name}", "") for name in own)
    if not shared or not (inside := beside(folder.path, shared) / kind).is_dir():
        return
    pictured = {name.rpartition(".")[0] for name in own}
    tables = [folder.files[stem].data for stem in ("instruments", "cassettes", "sets", "pouches")]
    known = {id_ for table in tables if isinstance(table, dict) for id_ in table}
    for entry in sorted(inside.iterdir()):
        if entry.stem in known - pictured:
            yield folder.path.resolve().parent, f"{shared.removeprefix('../')}/{kind}/{entry.name}", "../"


def _read_photos(folder: Folder, shared: str) -> None:
    for parent, full, up in _pictures(folder, "photos", shared):
        stem, suffix = Path(full).stem, Path(full).suffix
        at = ("photos", stem)
        problem = photo_problem(parent, full)
        if stem in folder.photos and suffix.lower() in FORMATS:
            other = folder.photos[stem].name
            problem = file_problem(full, at, "same-photo", photo=stem, other=other)
        if problem:
            folder.problems.append(as_shared(problem) if up else problem)
        if not problem or problem.severity == "warning":
            folder.photos[stem] = parent / full
            folder.places[at] = SourceLocation(file=f"{up}{full}")


def _read_drawings(folder: Folder, shared: str) -> None:
    for parent, full, up in _pictures(folder, "drawings", shared):
        from kitdocs.practice.reading.own_drawings import read_own_drawing  # noqa: PLC0415  # few folders have any

        at = ("drawings", Path(full).stem)
        if Path(full).suffix.lower() != ".svg":
            problem = file_problem(full, at, "drawing-file.name")
            folder.problems.append(as_shared(problem) if up else problem)
            continue
        drawing, problems = read_own_drawing(parent, full)
        folder.problems += map(as_shared, problems) if up else problems
        if drawing:
            folder.drawings[at[1]] = drawing
            folder.places[at] = SourceLocation(file=f"{up}{full}")
    for stem, file in extensions("drawings"):
        if stem not in folder.drawings and stem in (folder.files["instruments"].data or ()):
            folder.drawings[stem] = _drawing_of_a_package(stem, file)


def _drawing_of_a_package(stem: str, file: Path) -> OwnDrawing:
    from kitdocs.practice.reading.own_drawings import read_own_drawing  # noqa: PLC0415  # few have any

    drawing, problems = read_own_drawing(file.parent, file.name)
    if drawing is None or problems:
        raise KitdocsError(f"the drawing of '{stem}' in {file} cannot be used: {problems[0].message}")
    return drawing
