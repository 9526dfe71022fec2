"""Tables of a practice folder, explained: what their columns hold, and how such a file looks."""

from __future__ import annotations

import textwrap

from kitdocs.practice.schema import TABLES, schema_of

_WIDTH = 96


def table_text(stem: str) -> str:
    """Return what ``stock.csv`` or ``schedule.csv`` holds, column by column, with the first lines of such a file."""
    (record,) = schema_of(stem)["$defs"].values()
    columns, required = record["properties"], record["required"]
    wide = max(map(len, columns)) + 2
    lines = [
        record["description"],
        "The first line names the columns. Commas, semicolons or tabs stand between cells; the file is saved as UTF-8.",
        "",
    ]
    for name, column in columns.items():
        said = column["description"] + ("" if name in required else " May be left out.")
        first, *rest = textwrap.wrap(said, _WIDTH - wide)
        lines += [f"{name:<{wide}}{first}", *(" " * wide + line for line in rest)]
    cells = [columns[name]["examples"] for name in columns]
    return "\n".join([*lines, "", ",".join(columns), *(",".join(map(str, row)) for row in zip(*cells, strict=True))])


def is_table(file: str) -> bool:
    """Whether a file of the folder is a table of cells, as a spreadsheet saves it."""
    return file in {f"{stem}.csv" for stem in TABLES}
