"""The words of a workbook's sheets: headings, how a value is written, and the comments that teach."""

from __future__ import annotations

from babel import Locale

from kitdocs.document.catalog import MessageCatalog
from kitdocs.practice.sentences import is_language, within_sentence
from kitdocs.workbook.columns import SheetColumn
from kitdocs.workbook.sheets import WorkbookSheet
from kitdocs.workbook.texts import file_of

_MOST_WORDS = 60


def named(path: tuple[object, ...]) -> str:
    """Return the name of a sheet as keys of the words files have it: ``room-pouch-sizes``."""
    return "-".join(map(str, path)).replace("_", "-")


def tab(sheet: WorkbookSheet, words: MessageCatalog) -> str:
    """Return what the tab of a sheet says; a spreadsheet takes no more than 31 letters."""
    return words(f"workbook.tab.{named(sheet.path)}")[:31]


def heading(column: SheetColumn, words: MessageCatalog) -> str:
    """Return a column's heading: ``Repair: days away``, ``Name (English)``."""
    fields = column.path[:-1] if column.kind == "text" and is_language(column.path[-1]) else column.path
    said = ""
    for holder, field in zip(("", *fields), fields, strict=False):
        own = words.sentences.get(f"workbook.heading.{named((holder, field))}")
        own = own or words(f"workbook.heading.{named((field,))}")
        said = words("workbook.within", part=said, heading=within_sentence(own, words.language)) if said else own
    if fields != column.path:
        return words("workbook.by-language", heading=said, language=_language(column.path[-1], words.language))
    return said


def _language(code: str, language: str) -> str:
    """Return the name of a language, as another one says it."""
    try:
        return Locale.parse(language).languages.get(code) or code
    except ValueError:
        return code


def hint(column: SheetColumn, words: MessageCatalog, currency: str) -> str:
    """Return how a value of the column is written."""
    sheets = " / ".join(words(f"workbook.tab.{named(path)}") for path in column.ids)
    if own := words.sentences.get(f"workbook.hint-of.{named((column.path[-1],))}"):
        return own
    return words(f"workbook.hint.{column.kind}", sheets=sheets, currency=currency)


def comment(sheet: WorkbookSheet, column: SheetColumn, words: MessageCatalog, currency: str) -> str:
    """Return what is told where somebody rests on a heading: what it is, how it is written, what is allowed."""
    file = file_of(str(sheet.path[0]))
    lines = [words("workbook.comment.heading", heading=heading(column, words), key=column.key, file=file)]
    field = column.path[0] if column.kind == "text" else column.path[-1]
    for where in (named(sheet.path), "any"):
        if said := words.sentences.get(f"workbook.about.{where}.{named((field,))}"):
            lines.append(said)
            break
    lines.append(words("workbook.comment.write", hint=hint(column, words, currency)))
    if column.words and len(column.words) <= _MOST_WORDS:
        lines.append(words("workbook.comment.words", words=", ".join(column.words)))
    lines.append(words("workbook.comment.required" if column.required else "workbook.comment.optional"))
    return "\n".join(lines)
