"""Pages that were drawn already, kept with what they were drawn from."""

from __future__ import annotations

from collections.abc import Callable


class Drawn:
    """Pages by path, so that a page that would be the same again is not drawn again. `fresh` are those drawn anew."""

    def __init__(self) -> None:
        self._pages: dict[str, tuple[object, bytes]] = {}
        self.fresh: list[str] = []

    def page(self, path: str, drawn_from: object, draw: Callable[[], bytes]) -> bytes:
        """The page at `path`; `drawn_from` equals the last one's only if the page would be the same."""
        known = self._pages.get(path)
        if known and known[0] == drawn_from:
            return known[1]
        self.fresh.append(path)
        self._pages[path] = drawn_from, draw()
        return self._pages[path][1]
