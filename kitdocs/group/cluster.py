"""Practices of a group worked on by a Dask cluster."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import CancelledError
from itertools import islice
from typing import Any

from kitdocs.cluster import ENDED, cluster_lost, connected
from kitdocs.group.found import PackedPractice
from kitdocs.group.running import Runner
from kitdocs.group.work import WorkedOn

#: Practices under way for each worker: one that it works on, one that waits there already.
_FOR_EACH = 2


def on_cluster(address: str) -> Runner:
    """Return what works on the cluster whose scheduler is at `address`, as ``tcp://10.0.0.4:8786``."""

    def run(practices: Sequence[PackedPractice], work: Callable[[PackedPractice], WorkedOn]) -> Iterator[WorkedOn]:
        with connected(address) as (distributed, client):
            yield from _all(distributed, client, practices, work)

    return run


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
            yield WorkedOn(name=name, failed=ENDED)
        except (OSError, CancelledError) as error:
            raise cluster_lost(error) from error
