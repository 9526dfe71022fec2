"""Additions of other packages, found by their entry points.

| group | what the entry point is | when it is asked |
|---|---|---|
| ``kitdocs.cards`` | a function of a `Brief` that returns a `Card`, or None where it does not apply | behind the other cards |
| ``kitdocs.rules`` | a function of a `Draft` that yields `Problem`s | behind the other rules between records |
| ``kitdocs.figures`` | a function of a `Practice` and its `BusyDays` that yields `Figure`s | behind the other figures |
| ``kitdocs.drawings`` | the path of an SVG file: the working end of the instrument whose id is the entry point's name | where the folder has no drawing of its own |
| ``kitdocs.documents`` | a `Document` | beside the other PDFs |

A package is trusted as kitdocs itself is: it was installed on purpose.
"""  # noqa: E501

from __future__ import annotations

from functools import cache
from importlib.metadata import EntryPoint, entry_points
from typing import Any, Literal, TypeAlias

from kitdocs.errors import KitdocsError

Added: TypeAlias = Literal["cards", "rules", "figures", "drawings", "documents"]
KINDS: tuple[Added, ...] = ("cards", "rules", "figures", "drawings", "documents")


@cache
def extensions(kind: Added) -> tuple[tuple[str, Any], ...]:
    """Return what other packages add of one kind, each with its name, sorted by name.

    Raises `KitdocsError` for what cannot be imported, and for two of one name.
    """
    found: dict[str, Any] = {}
    for point in (point for point in _points() if point.group == f"kitdocs.{kind}"):
        if point.name in found:
            raise KitdocsError(f"two installed packages add '{point.name}' to kitdocs.{kind}; uninstall one of them")
        try:
            found[point.name] = point.load()
        except Exception as error:  # whatever another package does
            package = point.dist.name if point.dist else point.value
            raise KitdocsError(
                f"the package '{package}' adds '{point.name}' to kitdocs.{kind}, but it cannot be loaded: {error}; "
                "uninstall the package, or install a version that fits this kitdocs"
            ) from error
    return tuple(sorted(found.items()))


def installed() -> list[tuple[str, str, str, str]]:
    """Return what is installed: the group, the name, where it is defined, and the version of its package."""
    return sorted(
        (point.group, point.name, point.value, point.dist.version if point.dist else "") for point in _points()
    )


@cache
def _points() -> tuple[EntryPoint, ...]:
    """Return the entry points of all kinds. All installed packages are looked through, which is done once."""
    found = entry_points()
    return tuple(point for kind in KINDS for point in found.select(group=f"kitdocs.{kind}"))
