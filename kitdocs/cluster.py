"""A Dask cluster that is there already: data goes out, data comes back, the same bytes as from one process.

A worker needs kitdocs as it is here, source and packages, or the bytes could differ: that is asked first. What a lost
worker had is done again by another; what ends its worker again and again is told.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import CancelledError
from contextlib import contextmanager
from typing import Any

from kitdocs.errors import KitdocsError
from kitdocs.tasks import Each, Given, Made, Shared, one_by_one

#: Said of what no worker could finish.
ENDED = "every worker that worked on it was lost; perhaps they are short of memory"
#: So long a scheduler is waited for.
_TIMEOUT = "20s"
#: What is asked of every worker, to compare its kitdocs with the one here.
_SAME = "the same kitdocs"


@contextmanager
def connected(address: str) -> Iterator[tuple[Any, Any]]:
    """Give Dask's library and a client of the scheduler at `address`, as ``tcp://10.0.0.4:8786``.

    Raises `KitdocsError` without the library, a scheduler, or workers that have this kitdocs, and when all is lost.
    """
    distributed = _distributed()
    try:
        client = distributed.Client(address, timeout=_TIMEOUT)
    except (OSError, ValueError, TimeoutError) as error:
        raise KitdocsError(f"no Dask scheduler answers at {address}: {error}") from error
    with client:
        _refuse_others(client)
        yield distributed, client


@contextmanager
def each_on(address: str) -> Iterator[Each]:
    """Give what does each of several pieces of work on the cluster at `address`; without one, here.

    Raises as `connected` does.
    """
    if not address:
        yield one_by_one
        return
    with connected(address) as (distributed, client):

        def each(work: Callable[[Shared, Given], Made], shared: Shared, given: Sequence[Given]) -> Iterator[Made]:
            if not given:
                return
            # A task of its own: when its worker is lost, it is there again on another one.
            sent = client.submit(_itself, shared, pure=False)
            futures = [client.submit(work, sent, one, pure=False) for one in given]
            try:
                for future in futures:
                    yield future.result()
            except distributed.KilledWorker as error:
                raise KitdocsError(ENDED) from error
            except (OSError, CancelledError) as error:
                raise cluster_lost(error) from error
            finally:
                client.cancel(futures)

        yield each


def cluster_lost(error: BaseException) -> KitdocsError:
    """Return what is said when the scheduler itself is gone, and everything with it."""
    return KitdocsError(f"the cluster was lost: {error}")


def _itself(shared: Any) -> Any:
    return shared


def _distributed() -> Any:
    try:
        import distributed  # noqa: PLC0415  # an extra: few need it
    except ImportError as error:
        raise KitdocsError("--dask needs the extra: pip install 'kitdocs[group]'") from error
    return distributed


def _refuse_others(client: Any) -> None:
    """Raise `KitdocsError` where a worker has no kitdocs or another one, and where there is no worker."""
    from kitdocs.cache import key_of  # noqa: PLC0415  # a plan that is made here needs none

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
