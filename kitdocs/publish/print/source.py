"""Input of one Typst document: a template and the files that it reads, nothing of this machine."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True, kw_only=True)
class DocumentSource:
    """A document before it is rendered. `template` is a file of ``site_templates/print``."""

    template: str
    files: Mapping[str, bytes]
    """UTF-8 text by path: the data and the drawings."""
    photos: Mapping[str, bytes] = field(default_factory=dict)
    """By path; Typst reads these from a disk only."""
