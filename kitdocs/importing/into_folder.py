"""Lists brought and written into a practice folder: each file whole or not at all, a new folder all at once."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path

from kitdocs.importing.bringing import Brought, bring, known_of
from kitdocs.importing.folder_changes import FolderChanges, changes_of
from kitdocs.importing.found import About, Found, as_about
from kitdocs.importing.memory import MEMORY, beside_a_new_one, head_message, memory_text, remembered
from kitdocs.practice.message import said
from kitdocs.practice.problems import PracticeError, TargetError
from kitdocs.practice.sentences import shipped_sentences
from kitdocs.practice.writing import write_whole
from kitdocs.starter import write_new


def import_lists(
    files: Sequence[str | Path],
    folder: str | Path,
    *,
    answers: Mapping[About, str] | None = None,
    replace: bool = False,
    language: str = "",
) -> Brought:
    """Bring lists of an office into a practice folder, new or not, and return what they came to.

    `answers` settle what was asked before (`Brought.found.doubts`), by what each is about; import.yaml keeps them.
    Only with `replace` do values change that the folder has. `language` is ``en`` or ``es``, in which names are given.
    Raises `UnreadableError` for a file that cannot be read, `PracticeError` when import.yaml cannot, `TargetError` for
    a folder that is no practice's, `KitdocsError` when it cannot be written.
    """
    folder = Path(folder)
    refuse_other_folder(folder)
    settled = {**answers_kept(folder), **(answers or {})}
    brought = bring([Path(file) for file in files], known_of(folder, settled, language))
    write_brought(folder, brought, changes_of(brought.found.records, brought.known), with_changes=replace)
    return brought


def answers_kept(folder: Path) -> dict[About, str]:
    """Return what import.yaml of a folder holds. Raises `PracticeError` when it cannot be read."""
    memory, problems = remembered(folder)
    if problems:
        raise PracticeError(problems)
    return memory


def refuse_other_folder(folder: Path) -> None:
    """Raise `TargetError` for a folder with files that are no practice's, so that nothing is mixed with them."""
    if folder.exists() and not folder.is_dir():
        raise TargetError(f"{folder} is a file; name the practice folder last, a new one or an old one")
    names = [path.name for path in folder.iterdir() if not path.name.startswith(".")] if folder.exists() else []
    if names and not any(name.endswith(".yaml") for name in names):
        raise TargetError(f"{folder} holds other files and no practice; name a new folder, or that of the practice")


def write_brought(folder: Path, brought: Brought, changes: FolderChanges, *, with_changes: bool) -> list[str]:
    """Write the files that differ, and what was answered; return their names. Nothing where nothing was found."""
    answers = brought.known.answers
    if not brought.found.records and not answers:
        return []
    texts = changes.texts(with_changes=with_changes)
    if changes.is_new and (folder / MEMORY).exists():  # answers of a run that was stopped stay, whatever comes
        keep_answers(folder, answers, brought.found, brought.known.language)
    elif memory := _memory_to_write(folder, answers, brought.found, brought.known.language):
        texts[MEMORY] = memory
    if changes.is_new:
        beside = beside_a_new_one(folder)
        write_new(folder, {name: text.encode() for name, text in texts.items()}, beside=beside)
    else:
        for name, text in texts.items():
            write_whole(folder.resolve() / name, text.encode())
    return sorted(name for name in texts if not name.startswith("schemas/"))


def keep_answers(folder: Path, answers: Mapping[About, str], found: Found, language: str) -> list[str]:
    """Write import.yaml alone where it changes, in a folder that may not be there yet; return the names written."""
    memory = _memory_to_write(folder, answers, found, language)
    if memory:
        folder.mkdir(parents=True, exist_ok=True)
        write_whole(folder.resolve() / MEMORY, memory.encode())
    return [MEMORY] if memory else []


def _memory_to_write(folder: Path, answers: Mapping[About, str], found: Found, language: str) -> str:
    """Return import.yaml with what was answered and understood; '' when it is so already, or nothing is to be kept."""
    open_ = {as_about(*doubt.about) for doubt in found.doubts}  # answered, perhaps, and not understood
    kept = {about: answer for about, answer in {**answers, **found.remembered}.items() if about not in open_}
    if not kept:
        return ""
    memory = memory_text(kept, said(head_message(), shipped_sentences(language), language))
    now = folder / MEMORY
    return "" if now.exists() and now.read_text("utf-8") == memory else memory
