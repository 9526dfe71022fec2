"""Questions to a person as a workbook to fill in: one line a question, the last column for the answer."""

from __future__ import annotations

import io
from collections.abc import Sequence

from xlsxwriter import Workbook

_WIDTHS = (2, 52, 26, 46, 26, 30)
_LONGEST_LIST = 255


def question_workbook(
    rows: Sequence[Sequence[str]],
    choices: Sequence[Sequence[str]],
    title: str,
    things: Sequence[tuple[str, str]] = (),
    of_things: Sequence[bool] = (),
) -> bytes:
    """Return the questions as a workbook. `rows` begin with the headings; `choices` are those of each question.

    The first column is for the program and hidden; the last is to be filled in, from a list where there are choices.
    `things`, ids and names with their headings first, stand on a sheet of their own: the list of the questions that are
    `of_things`.
    """
    file = io.BytesIO()
    options = {"in_memory": True, "strings_to_formulas": False, "strings_to_urls": False, "strings_to_numbers": False}
    book = Workbook(file, options)
    sheet = book.add_worksheet(title[:31])
    head = book.add_format({"bold": True, "bg_color": "#e9ecee", "bottom": 1, "text_wrap": True})
    body = book.add_format({"text_wrap": True, "valign": "top"})
    answer = book.add_format({"text_wrap": True, "valign": "top", "border": 1})
    for column, width in enumerate(_WIDTHS):
        sheet.set_column(column, column, width, None, {"hidden": column == 0})
    last = len(rows[0]) - 1
    for n, row in enumerate(rows):
        for column, text in enumerate(row):
            sheet.write_string(n, column, text, head if n == 0 else answer if column == last else body)
    if things:
        ids = book.add_worksheet(things[0][0][:31])
        for n, pair in enumerate(things):
            ids.write_row(n, 0, pair, head if n == 0 else body)
        ids.set_column(0, 1, _WIDTHS[-1])
    for n, values in enumerate(choices, 1):
        if things and of_things[n - 1]:
            listed: str | list[str] = f"='{things[0][0][:31]}'!$A$2:$A${len(things)}"
        elif values and len(",".join(values)) <= _LONGEST_LIST:
            listed = list(values)
        else:
            continue
        rule = {"validate": "list", "source": listed, "error_type": "information"}
        sheet.data_validation(n, last, n, last, rule)
    sheet.freeze_panes(1, 0)
    sheet.set_landscape()
    sheet.fit_to_pages(1, 0)
    sheet.repeat_rows(0)
    book.close()
    return file.getvalue()
