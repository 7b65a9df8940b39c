"""Scripts over an existing Dask cluster (extra `cluster`); this process alone writes the ledger.

The pages travel with the task, so the cluster needs no common disk, only this package. A worker
that dies gives its scripts to others; a script that ends several workers becomes a row.
"""

import tempfile
import threading
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, replace
from importlib import import_module
from pathlib import Path
from typing import Any

from verifier.errors import UsageError
from verifier.marking.desk import Desk, DeskPlan
from verifier.marking.judging import Outcome, Task, judge

PATIENCE = 10.0
"""Seconds in which a cluster must answer."""
_AHEAD = 3
"""Scripts on their way for each thread of the cluster."""
_desks: dict[str, Desk] = {}
_one_at_a_time = threading.Lock()


@dataclass(frozen=True)
class Parcel:
    """A task with its pages' contents."""

    task: Task
    contents: tuple[bytes, ...]


def judge_on_cluster(
    tasks: Iterable[Task],
    plan: DeskPlan,
    address: str,
    stopped: Callable[[], bool] = lambda: False,
) -> Iterator[Outcome]:
    """Judge scripts on the cluster at `address`, in the order in which they end.

    Raises `UsageError` where dask is not installed or the cluster does not answer.
    """
    try:
        distributed = import_module("distributed")
    except ImportError:
        raise UsageError("--cluster needs dask", "install counterpoise[cluster]") from None
    try:
        client = distributed.Client(address, timeout=PATIENCE, set_as_default=False)
    except (OSError, ValueError, TimeoutError) as error:
        raise UsageError(f"no cluster answers at {address}", f"{error}"[:200]) from None
    try:
        yield from _spread(distributed, client, iter(tasks), plan, stopped)
    finally:
        client.close()


def judge_parcel(parcel: Parcel, plan: DeskPlan) -> Outcome:
    """Judge one script from its contents: what a worker of the cluster runs."""
    with _one_at_a_time, tempfile.TemporaryDirectory() as folder:
        key = repr(plan)
        if key not in _desks:
            _desks.clear()
            _desks[key] = plan.open()
        pages = []
        for number, content in enumerate(parcel.contents):
            place = Path(folder, str(number), Path(parcel.task.pages[number]).name)
            place.parent.mkdir()
            place.write_bytes(content)
            pages.append(str(place))
        outcome = judge(replace(parcel.task, pages=tuple(pages)), _desks[key])
    return replace(outcome, task=parcel.task)


def _spread(
    distributed: Any,
    client: Any,
    tasks: Iterator[Task],
    plan: DeskPlan,
    stopped: Callable[[], bool],
) -> Iterator[Outcome]:
    threads = sum(worker["nthreads"] for worker in client.scheduler_info(-1)["workers"].values())
    if not threads:
        raise UsageError("the cluster has no workers", "start some and run again")
    flying: dict[Any, Task] = {}
    while not stopped():
        while len(flying) < _AHEAD * threads and (task := next(tasks, None)) is not None:
            parcel = _pack(task)
            if isinstance(parcel, Outcome):
                yield parcel
                continue
            future = client.submit(judge_parcel, parcel, plan, key=f"{task.name}-{task.key}")
            flying[future] = task
        if not flying:
            return
        try:
            with client.as_current():
                done = distributed.wait(list(flying), 0.5, return_when="FIRST_COMPLETED").done
        except TimeoutError:
            continue
        for future in done:
            yield _landed(future, flying.pop(future))
            future.release()
    client.cancel(list(flying))


def _landed(future: Any, task: Task) -> Outcome:
    try:
        outcome: Outcome = future.result()
    except Exception as error:
        ended = type(error).__name__ == "KilledWorker"
        why = "several workers of the cluster ended on it" if ended else f"{error}"[:300]
        return Outcome(task, reason=why, again=True)
    return outcome


def _pack(task: Task) -> Parcel | Outcome:
    if task.strange:
        return Outcome(task, reason=task.strange)
    try:
        return Parcel(task, tuple(Path(page).read_bytes() for page in task.pages))
    except OSError as error:
        return Outcome(task, reason=f"it cannot be opened ({error.strerror})", again=True)
