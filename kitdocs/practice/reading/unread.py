"""What stands in for a value that could not be read, so that the rules can still look at the rest.

The reader reports a broken value once, then reads the folder again with `LENIENT`, which puts
`UNREAD` where a value was wrong. A finished `Practice` never holds one.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Any

from pydantic import ValidationError

#: The validation context that asks for `UNREAD` instead of an error.
LENIENT = "lenient"


class Unread:
    """Matches nothing, holds nothing, compares as false: a rule finds no second fault in it."""

    __slots__ = ()

    def __getattr__(self, name: str) -> Unread:
        if name.startswith("__"):
            raise AttributeError(name)
        return self

    def __call__(self, *_: Any, **__: Any) -> Unread:
        return self

    def __getitem__(self, _: Any) -> Unread:
        return self

    def __iter__(self) -> Iterator[Any]:
        return iter(())

    def __bool__(self) -> bool:
        return False

    def __eq__(self, _: object) -> bool:
        return False

    def __hash__(self) -> int:
        return id(self)

    def __contains__(self, _: object) -> bool:
        return False

    def __len__(self) -> int:
        return 0

    def _no(self, _: object) -> bool:
        return False

    __lt__ = __le__ = __gt__ = __ge__ = _no

    def _same(self, _: object) -> Unread:
        return self

    __add__ = __radd__ = __sub__ = __rsub__ = __mul__ = __rmul__ = _same

    def __repr__(self) -> str:
        return "UNREAD"


UNREAD: Any = Unread()


def or_unread(value: Any, read: Callable[[Any], Any]) -> Any:
    """What `read` makes of `value`; broken items of a list become `UNREAD`, broken entries are left out."""
    try:
        return read(value)
    except ValidationError as error:
        broken = {e["loc"][0] for e in error.errors(include_url=False) if e["loc"]}
    except ValueError:
        return UNREAD
    if not broken or not isinstance(value, list | dict):
        return UNREAD
    try:
        if isinstance(value, dict):
            return read({key: part for key, part in value.items() if key not in broken})
        whole = iter(read([part for i, part in enumerate(value) if i not in broken]))
    except ValueError:
        return UNREAD
    return tuple(UNREAD if i in broken else next(whole) for i in range(len(value)))
