"""A command's answer, for tests that run it in their own process."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Answer:
    status: int
    out: str
    err: str


Ask = Callable[..., Answer]
