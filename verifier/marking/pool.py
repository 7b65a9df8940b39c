"""Scripts over the machine's cores: one process a worker, and no script ends the run.

Each worker holds one script at a time. If it dies, runs out of time or takes more memory than a
worker may, that script is tried once more by itself and then becomes a row with the reason.
"""

import multiprocessing
import os
import signal
import time
from collections import deque
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from multiprocessing.connection import Connection, wait
from multiprocessing.process import BaseProcess

from verifier.errors import CounterpoiseError, UsageError
from verifier.marking.desk import DeskPlan
from verifier.marking.judging import Outcome, Task, judge
from verifier.marking.options import MEGABYTE

_TICK = 0.2
"""Seconds between looks at the clock, the memory and the wish to stop."""
_WORN = 0.75
"""The part of its memory at which a worker is replaced once its script is done."""
_QUIET = {
    "OMP_NUM_THREADS": "1",
    "OMP_THREAD_LIMIT": "1",
    "OPENBLAS_NUM_THREADS": "1",
    "OPENCV_FOR_THREADS_NUM": "1",
}
"""One thread a worker: the cores are taken by its neighbours."""


@dataclass(frozen=True)
class Limits:
    """What one script may take."""

    seconds: float = 120.0
    megabytes: int = 600


@dataclass
class _Worker:
    process: BaseProcess
    pipe: Connection
    task: Task | None = None
    since: float = 0.0
    tries: int = 0

    def end(self) -> None:
        self.pipe.close()
        if self.process.is_alive():
            self.process.kill()
        self.process.join(10)


def judge_all(
    tasks: Iterable[Task],
    plan: DeskPlan,
    workers: int,
    limits: Limits,
    stopped: Callable[[], bool] = lambda: False,
) -> Iterator[Outcome]:
    """Judge scripts as fast as the workers go, in the order in which they end.

    `stopped` is asked often; once it says so, the scripts in hand are let go and the iteration
    ends. Closing the iterator ends the workers too. Raises `UsageError` where no worker can start.
    """
    crew = _Crew(iter(tasks), plan, max(1, workers), limits)
    try:
        while crew.busy() and not stopped():
            yield from crew.turn()
    finally:
        crew.end()


class _Crew:
    def __init__(self, tasks: Iterator[Task], plan: DeskPlan, workers: int, limits: Limits) -> None:
        self.context = multiprocessing.get_context("spawn")
        self.tasks, self.plan, self.limits = tasks, plan, limits
        self.workers: list[_Worker] = []
        self.once_more: deque[Task] = deque()
        self.size = workers
        self.failed_starts = 0
        self.waiting: Task | None = next(tasks, None)

    def busy(self) -> bool:
        """Tell whether any script is in hand or still to come."""
        return bool(self.waiting or self.once_more or any(w.task for w in self.workers))

    def turn(self) -> Iterator[Outcome]:
        """Hand out what can be handed out, wait a little, and yield what has come back."""
        yield from self._hand_out()
        pipes = {worker.pipe: worker for worker in self.workers if worker.task}
        for pipe in wait(list(pipes), _TICK):
            yield from self._answered(pipes[pipe])  # type: ignore[index]
        now = time.monotonic()
        for worker in list(self.workers):
            if worker.task and (why := self._over(worker, now)):
                yield from self._gone(worker, why)

    def end(self) -> None:
        """End every worker, whatever it is doing."""
        for worker in self.workers:
            worker.end()
        self.workers.clear()

    def _next(self) -> tuple[Task, int] | None:
        if self.once_more:
            return self.once_more.popleft(), 1
        task, self.waiting = self.waiting, None
        if task is None:
            return None
        self.waiting = next(self.tasks, None)
        return task, 0

    def _hand_out(self) -> Iterator[Outcome]:
        free = [worker for worker in self.workers if worker.task is None]
        while self.waiting or self.once_more:
            if not free and len(self.workers) < self.size:
                free.append(self._hire())
            if not free:
                return
            worker, given = free.pop(), self._next()
            if given is None:
                return
            worker.task, worker.tries = given
            worker.since = time.monotonic()
            try:
                worker.pipe.send(worker.task)
            except OSError:
                yield from self._gone(worker, "the worker ended")

    def _hire(self) -> _Worker:
        ours, theirs = self.context.Pipe()
        before = {name: os.environ.get(name) for name in _QUIET}
        os.environ.update({name: os.environ.get(name, one) for name, one in _QUIET.items()})
        try:
            process = self.context.Process(
                target=_serve, args=(theirs, self.plan, self.limits), daemon=True
            )
            process.start()
        finally:
            for name, value in before.items():
                if value is None:
                    del os.environ[name]
        theirs.close()
        worker = _Worker(process, ours)
        self.workers.append(worker)
        return worker

    def _answered(self, worker: _Worker) -> Iterator[Outcome]:
        try:
            said = worker.pipe.recv()
        except (EOFError, OSError):
            worker.process.join(5)
            yield from self._gone(worker, f"the worker ended {_how(worker.process.exitcode)}")
            return
        if isinstance(said, str):
            raise UsageError(said)
        outcome, megabytes = said
        worker.task = None
        self.failed_starts = 0
        if megabytes > _WORN * self.limits.megabytes:
            self.workers.remove(worker)
            worker.end()
        yield outcome

    def _over(self, worker: _Worker, now: float) -> str:
        if now - worker.since > self.limits.seconds + (_STARTING if worker.tries == 0 else 0):
            return f"it took longer than {self.limits.seconds:g} s"
        if resident(worker.process.pid) > self.limits.megabytes:
            return f"it needs more than {self.limits.megabytes} MB"
        return ""

    def _gone(self, worker: _Worker, why: str) -> Iterator[Outcome]:
        task, tries = worker.task, worker.tries
        self.workers.remove(worker)
        worker.end()
        self.failed_starts += 1
        if self.failed_starts > 3 + 2 * self.size and not self.once_more and task is None:
            raise UsageError(f"no worker can start: {why}")
        if task is None:
            return
        if tries == 0 and "longer" not in why:
            self.once_more.append(task)
        else:
            yield Outcome(task, reason=why, again=True)


_STARTING = 20.0
"""Seconds that a worker may take to start before its first script."""


def _serve(pipe: Connection, plan: DeskPlan, limits: Limits) -> None:
    """Judge what comes through the pipe until it closes."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    _bound(limits)
    try:
        desk = plan.open()
    except CounterpoiseError as error:
        pipe.send(str(error))
        return
    while True:
        try:
            task = pipe.recv()
        except (EOFError, OSError):
            return
        outcome = judge(task, desk)
        try:
            pipe.send((outcome, resident(os.getpid())))
        except OSError:
            return


def resident(pid: int | None) -> float:
    """Return the megabytes that a process holds in memory; 0 where the system does not tell."""
    try:
        with open(f"/proc/{pid}/statm", encoding="ascii") as file:
            pages = int(file.read().split()[1])
    except (OSError, ValueError, IndexError):
        return 0.0
    return pages * os.sysconf("SC_PAGE_SIZE") / MEGABYTE


def _bound(limits: Limits) -> None:
    """Bound what a script can grab between two looks at the memory."""
    try:
        import resource
    except ImportError:  # not on every system
        return
    most = 4 * limits.megabytes * MEGABYTE + 2048 * MEGABYTE
    _, hard = resource.getrlimit(resource.RLIMIT_AS)
    if hard == resource.RLIM_INFINITY or hard > most:
        resource.setrlimit(resource.RLIMIT_AS, (most, hard))


def _how(code: int | None) -> str:
    if code is None:
        return "without a word"
    if code < 0:
        try:
            return f"by {signal.Signals(-code).name}"
        except ValueError:
            return f"by signal {-code}"
    return f"with status {code}"
