"""Practices worked on by a Dask cluster that is there already: data goes out, data comes back.

A worker needs kitdocs as it is here, source and packages, or the bytes could differ: that is asked first. What a lost
worker had is done again by another; what ends its worker again and again is told.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import CancelledError
from itertools import islice
from typing import Any

from kitdocs.cache import key_of
from kitdocs.errors import KitdocsError
from kitdocs.group.found import PackedPractice
from kitdocs.group.running import Runner
from kitdocs.group.work import WorkedOn

#: So long a scheduler is waited for.
_TIMEOUT = "20s"
#: Practices under way for each worker: one that it works on, one that waits there already.
_FOR_EACH = 2
_ENDED = "every worker that worked on it was lost; perhaps they are short of memory"
#: What is asked of every worker, to compare its kitdocs with the one here.
_SAME = "the same kitdocs"


def on_cluster(address: str) -> Runner:
    """Return what works on the cluster whose scheduler is at `address`, as ``tcp://10.0.0.4:8786``."""

    def run(practices: Sequence[PackedPractice], work: Callable[[PackedPractice], WorkedOn]) -> Iterator[WorkedOn]:
        distributed = _distributed()
        try:
            client = distributed.Client(address, timeout=_TIMEOUT)
        except (OSError, ValueError, TimeoutError) as error:
            raise KitdocsError(f"no Dask scheduler answers at {address}: {error}") from error
        with client:
            _refuse_others(client)
            yield from _all(distributed, client, practices, work)

    return run


def _distributed() -> Any:
    try:
        import distributed  # noqa: PLC0415  # an extra: few need it
    except ImportError as error:
        raise KitdocsError("--dask needs the extra: pip install 'kitdocs[group]'") from error
    return distributed


def _refuse_others(client: Any) -> None:
    """Raise `KitdocsError` where a worker has no kitdocs or another one, and where there is no worker."""
    try:
        found: dict[str, str] = client.run(key_of, _SAME)
    except ImportError as error:
        raise KitdocsError("a worker of the cluster has no kitdocs; install it there, the same version") from error
    if not found:
        raise KitdocsError("the cluster has no workers; start some with: dask worker ADDRESS --nthreads 1")
    others = sorted(worker for worker, key in found.items() if key != key_of(_SAME))
    if others:
        raise KitdocsError(
            f"the worker at {others[0]} has another kitdocs, Python or package than this machine; install the same"
        )


def _all(
    distributed: Any, client: Any, practices: Sequence[PackedPractice], work: Callable[[PackedPractice], WorkedOn]
) -> Iterator[WorkedOn]:
    """Yield what is done; only a few practices for each worker are under way, so that no scheduler has to keep all."""
    waiting = iter(practices)
    names: dict[str, str] = {}

    def start(practice: PackedPractice) -> Any:
        future = client.submit(work, practice, pure=False)
        names[future.key] = practice.name
        return future

    count = _FOR_EACH * len(client.scheduler_info(n_workers=-1)["workers"])
    under_way = distributed.as_completed([start(practice) for practice in islice(waiting, count)])
    for future in under_way:
        for practice in islice(waiting, 1):
            under_way.add(start(practice))
        name = names.pop(future.key)
        try:
            yield future.result()
        except distributed.KilledWorker:
            yield WorkedOn(name=name, failed=_ENDED)
        except (OSError, CancelledError) as error:  # the scheduler itself is gone, and every practice with it
            raise KitdocsError(f"the cluster was lost: {error}") from error
