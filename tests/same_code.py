"""Handbooks whose QR codes nobody reads: all of them get one and the same picture, because drawing each takes long."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import pytest

from kitdocs.drawings.codes import CodeDrawing, code


@contextmanager
def same_code() -> Iterator[None]:
    """While it lasts, each card of a handbook gets the code of the same text."""

    def drawn(_: str, **how: Any) -> CodeDrawing:
        return code("the same for every card", **how)

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr("kitdocs.handbook.codes.code", drawn)
        yield
