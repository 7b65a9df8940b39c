"""Scripts over the machine's cores: one process a worker, and no script ends the run.

Each worker holds one script at a time. If it dies, runs out of time or takes more memory than a
worker may, that script becomes a row with the reason (after a second try, if the worker died).
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
_STARTS = 3
"""Workers that may die in a row before their first script."""
_ENDED = "the worker ended"
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
    ready: bool = False

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
        self._hire()
        for worker in [worker for worker in self.workers if worker.ready and not worker.task]:
            yield from self._hand_out(worker)
        pipes = {worker.pipe: worker for worker in self.workers if worker.task or not worker.ready}
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

    def _hand_out(self, worker: _Worker) -> Iterator[Outcome]:
        given = self._next()
        if given is None:
            return
        worker.task, worker.tries = given
        worker.since = time.monotonic()
        try:
            worker.pipe.send(worker.task)
        except OSError:
            yield from self._gone(worker, _ENDED)

    def _hire(self) -> None:
        """Start workers until there are enough for what is left to do."""
        idle = sum(1 for worker in self.workers if not worker.task)
        wanted = len(self.once_more) + (self.size if self.waiting else 0)
        for _ in range(min(wanted - idle, self.size - len(self.workers))):
            self.workers.append(self._start())

    def _start(self) -> _Worker:
        ours, theirs = self.context.Pipe()
        before = {name: os.environ.get(name) for name in _QUIET}
        os.environ.update({name: os.environ.get(name, one) for name, one in _QUIET.items()})
        try:
            process = self.context.Process(
                target=_serve, args=(theirs, self.plan, self.limits), daemon=True
            )
            process.start()
        finally:
            for name in [name for name, value in before.items() if value is None]:
                del os.environ[name]
        theirs.close()
        return _Worker(process, ours)

    def _answered(self, worker: _Worker) -> Iterator[Outcome]:
        try:
            said = worker.pipe.recv()
        except (EOFError, OSError):
            worker.process.join(5)
            yield from self._gone(worker, f"{_ENDED} {_how(worker.process.exitcode)}")
            return
        match said:
            case str():
                raise UsageError(said)
            case True:
                worker.ready = True
                self.failed_starts = 0
            case outcome, megabytes:
                worker.task = None
                if megabytes > _WORN * self.limits.megabytes:
                    self._dismiss(worker)
                yield outcome

    def _over(self, worker: _Worker, now: float) -> str:
        if now - worker.since > self.limits.seconds:
            return f"it took longer than {self.limits.seconds:g} s"
        if resident(worker.process.pid) > self.limits.megabytes:
            return f"it needs more than {self.limits.megabytes} MB"
        return ""

    def _gone(self, worker: _Worker, why: str) -> Iterator[Outcome]:
        task = worker.task
        self._dismiss(worker)
        if not worker.ready:
            self.failed_starts += 1
            if self.failed_starts >= _STARTS:
                raise UsageError(f"no worker can start: {why}")
        elif task and worker.tries == 0 and why.startswith(_ENDED):
            self.once_more.append(task)
        elif task:
            yield Outcome(task, reason=why, again=True)

    def _dismiss(self, worker: _Worker) -> None:
        self.workers.remove(worker)
        worker.end()


def _serve(pipe: Connection, plan: DeskPlan, limits: Limits) -> None:
    """Judge what comes through the pipe until it closes."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    _bound(limits)
    try:
        desk = plan.open()
    except CounterpoiseError as error:
        pipe.send(str(error))
        return
    except Exception as error:
        pipe.send(f"no worker can start ({type(error).__name__}: {error})")
        return
    pipe.send(True)
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
