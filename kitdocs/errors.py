"""Exceptions that kitdocs raises on purpose, but for `PracticeError`, which holds problems and is defined with them."""

from __future__ import annotations


class KitdocsError(Exception):
    """Everything kitdocs raises on purpose."""


class PublishError(KitdocsError):
    """The handbook could not be written; whatever was there before is untouched."""


class TargetError(PublishError):
    """The folder to be written to holds something that kitdocs did not write."""
