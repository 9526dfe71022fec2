"""Function calls whose results are kept: a call with the same arguments is not made again."""

from __future__ import annotations

from collections.abc import Callable

from kitdocs.cache import Cache, key_of
from kitdocs.publish.print.run import P, Run, T


class CachedRun:
    """A `Run` that looks for the result of an earlier run first. Results are bytes, text or nothing."""

    def __init__(self, run: Run, cache: Cache) -> None:
        self._run = run
        self._cache = cache

    def __call__(self, function: Callable[P, T], /, *args: P.args, **kwargs: P.kwargs) -> T:
        key = key_of(f"{function.__module__}.{function.__qualname__}", args, kwargs)
        kept: list[T] | None = self._cache.get(key)
        if kept is not None:
            return kept[0]
        result = self._run(function, *args, **kwargs)
        self._cache.put(key, [result])
        return result
