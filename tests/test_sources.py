"""Every source that code and tests name is told of in SOURCES.md: its edition, what was taken, and how it was read."""

from __future__ import annotations

import re
from pathlib import Path

ROOT = Path(__file__).parent.parent
SOURCES = (ROOT / "tests" / "SOURCES.md").read_text("utf-8")
TABLES = re.findall(r"^\| name \| document .*\n\|[-| ]+\|\n((?:\|.*\n)+)", SOURCES, re.M)
ROWS = [[cell.strip() for cell in line.strip("|").split("|")] for table in TABLES for line in table.splitlines()]
NAMES = {row[0] for row in ROWS}


def cited() -> dict[str, str]:
    """What stands behind ``SOURCES:`` in code, templates and tests, and the file it stands in."""
    files = [f for part in ("kitdocs", "site_templates", "tests") for f in sorted((ROOT / part).rglob("*"))]
    texts = [(f, f.read_text("utf-8")) for f in files if f.suffix in (".py", ".typ", ".j2") and f != Path(__file__)]
    return {found: f.name for f, text in texts for found in re.findall(r"[ (]SOURCES: ([^.;:)\n]+)", text)}


def test_every_source_that_is_named_has_a_row() -> None:
    found = cited()
    assert len(found) > 10
    unknown = {name: file for name, file in found.items() if not any(name.startswith(row) for row in NAMES)}
    assert unknown == {}


def test_every_source_says_how_it_was_read() -> None:
    assert len(NAMES) > 25
    for row in ROWS:
        assert len(row) == 4 and all(row), row
        assert re.search(r"read|quoted|memory|computed", row[3]), row[0]


def test_no_file_cites_a_document_that_nobody_can_open() -> None:
    private = re.compile(r"check-values|figures, section|handbook\.md|content-review")
    files = [f for part in ("kitdocs", "site_templates", "tests") for f in sorted((ROOT / part).rglob("*.py"))]
    assert [f.name for f in files if f != Path(__file__) and private.search(f.read_text("utf-8"))] == []
