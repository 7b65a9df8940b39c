"""A marking run: what is new or changed is judged, everything is marked, the ledger holds it."""

import hashlib
import json
import time
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Protocol

from verifier import __version__
from verifier.errors import UsageError
from verifier.files import open_text
from verifier.findings import Result
from verifier.marking.awarding import award
from verifier.marking.cluster import judge_on_cluster
from verifier.marking.desk import DESK, DeskPlan
from verifier.marking.judging import Outcome, Task
from verifier.marking.ledger import Ledger, Row
from verifier.marking.options import MarkOptions
from verifier.marking.pages import Correction
from verifier.marking.pool import Limits, judge_all
from verifier.marking.scheme import Scheme
from verifier.marking.scheme_file import read_scheme, scheme_of
from verifier.marking.scored import ScriptMarks
from verifier.marking.scripts import Script, digest_of, stamp_of

_BATCH = 200
_SECONDS = 0.5
"""Outcomes wait for one transaction together at most so many, and so long."""


@dataclass
class Tally:
    """How far a run is. `kept` scripts had not changed since the ledger saw them."""

    total: int = 0
    kept: int = 0
    judged: int = 0
    verdicts: dict[str, int] = field(default_factory=dict)

    @property
    def done(self) -> int:
        """Scripts that have their row."""
        return self.kept + self.judged

    def count(self, verdict: str) -> None:
        """Count one script under its verdict ('' counts as failed)."""
        self.verdicts[verdict or "failed"] = self.verdicts.get(verdict or "failed", 0) + 1


class Watch(Protocol):
    """Whoever shows a run's progress."""

    def turned(self, tally: Tally) -> None:
        """Show how far the run is; called often, from the run's own thread."""
        ...


@dataclass(frozen=True)
class Job:
    """A sheet and a scheme made ready for a run."""

    plan: DeskPlan
    scheme: Scheme
    sheet_digest: str


def prepare(sheet: Path, options: MarkOptions, opener: str = DESK) -> Job:
    """Read sheet and scheme. Raises `CounterpoiseError` for one that cannot be used."""
    text, _ = open_text(sheet, "sheet")
    chosen = {"strict_rounding": True} if options.strict_rounding else {}
    plan = DeskPlan(text, sheet.name, opener, chosen)
    structure = replace(plan.open().structure, path=str(sheet))
    if not structure.find and not structure.marks:
        raise UsageError(f"{sheet} asks for nothing", "add a `find` statement")
    scheme = read_scheme(options.scheme, structure) if options.scheme else scheme_of(structure)
    mark = hashlib.sha256(json.dumps([text, sheet.name, opener, chosen]).encode()).hexdigest()
    return Job(plan, scheme, mark)


def run(
    job: Job,
    scripts: Iterable[Script],
    ledger: Ledger,
    options: MarkOptions,
    watch: Watch,
    stopped: Callable[[], bool] = lambda: False,
) -> Tally:
    """Judge what has changed and mark everything; returns how far it came.

    Once `stopped` says so, what has been judged is kept and the rest is left for the next run.
    """
    scripts = [script for script in scripts if not ledger.is_forgotten(script.name)]
    tally = Tally(total=len(scripts))
    remember(ledger, job)
    _mind_the_gone(ledger, scripts)
    watch.turned(tally)
    tasks = _to_do(job, scripts, ledger, options, tally, watch)
    if options.cluster:
        outcomes = judge_on_cluster(tasks, job.plan, options.cluster, stopped)
    else:
        limits = Limits(options.seconds, options.megabytes)
        outcomes = judge_all(tasks, job.plan, options.cores, limits, stopped)
    _record(outcomes, job, ledger, tally, watch)
    mark_anew(ledger, job.scheme)
    return tally


def remember(ledger: Ledger, job: Job) -> None:
    """Keep sheet and scheme in the ledger, so that `confirm` can judge without the files."""
    kept = {
        "sheet": job.plan.sheet,
        "label": job.plan.label,
        "opener": job.plan.opener,
        "options": json.dumps(job.plan.options),
        "sheet_digest": job.sheet_digest,
        "scheme": job.scheme.dump(),
        "tool": __version__,
    }
    with ledger.together():
        for key, value in kept.items():
            ledger.note(key, value)


def recall(ledger: Ledger) -> Job:
    """Return the job of the last run. Raises `UsageError` where there was none."""
    if not ledger.noted("sheet"):
        raise UsageError(f"{ledger.path} holds no marking run", "run `counterpoise mark` first")
    options = json.loads(ledger.noted("options"))
    plan = DeskPlan(ledger.noted("sheet"), ledger.noted("label"), ledger.noted("opener"), options)
    return Job(plan, Scheme.parse(ledger.noted("scheme")), ledger.noted("sheet_digest"))


def key_of(digest: str, job: Job, corrections: Iterable[Correction] = ()) -> str:
    """Return the hash of all that a script's result depends on."""
    said = [[one.line, one.read, one.text] for one in corrections]
    whole = json.dumps([digest, job.sheet_digest, __version__, said])
    return hashlib.sha256(whole.encode()).hexdigest()


def row_of(outcome: Outcome, scheme: Scheme) -> Row:
    """Return an outcome as a row of the ledger, marked."""
    task, result = outcome.task, outcome.result
    marks, why = marked(result, scheme)
    return Row(
        name=task.name,
        digest=task.digest,
        stamp=task.stamp,
        key=task.key,
        reason=outcome.reason or why,
        again=outcome.again,
        read=outcome.read,
        result=result,
        marks_key=marks_key(task.key, scheme),
        marks=marks,
        tool=__version__,
        verdict=result.verdict if result else "",
    )


def marked(result: Result | None, scheme: Scheme) -> tuple[ScriptMarks | None, str]:
    """Return a result's marks, or none with the reason: no script may end a run."""
    if result is None:
        return None, ""
    try:
        return award(result, scheme), ""
    except Exception as error:
        return None, f"its marks could not be worked out ({type(error).__name__}: {error})"[:300]


def marks_key(key: str, scheme: Scheme) -> str:
    """Return the hash of all that a script's marks depend on."""
    return hashlib.sha256(f"{key}:{scheme.digest()}".encode()).hexdigest()


def mark_anew(ledger: Ledger, scheme: Scheme) -> int:
    """Mark the scripts whose scheme has changed since, without judging them again."""
    stale = [
        (name, head.key)
        for name, head in ledger.heads().items()
        if not head.gone and head.marks_key != marks_key(head.key, scheme)
    ]
    for start in range(0, len(stale), _BATCH):
        with ledger.together():
            for name, key in stale[start : start + _BATCH]:
                row = ledger.row(name)
                marks, _ = marked(row.result if row else None, scheme)
                ledger.put_marks(name, marks_key(key, scheme), marks)
    return len(stale)


def _to_do(
    job: Job,
    scripts: Iterable[Script],
    ledger: Ledger,
    options: MarkOptions,
    tally: Tally,
    watch: Watch,
) -> Iterator[Task]:
    heads = ledger.heads()
    corrections = ledger.all_corrections()
    for script in scripts:
        head = heads.get(script.name)
        task = _task(script, job, head, corrections)
        if head and head.key == task.key and not head.again and not options.again:
            if head.stamp != task.stamp:
                ledger.put_stamp(script.name, task.stamp)
            tally.kept += 1
            tally.count(head.verdict)
            watch.turned(tally)
            continue
        yield task


def _task(
    script: Script,
    job: Job,
    head: Row | None,
    corrections: dict[tuple[str, str], list[Correction]],
) -> Task:
    strange = script.strange
    digest = stamp = ""
    try:
        stamp = stamp_of(script)
        unchanged = head is not None and bool(stamp) and head.stamp == stamp
        if strange:  # never opened: a pipe or a device would not let go
            digest = hashlib.sha256(f"{strange}|{stamp}".encode()).hexdigest()
        else:
            digest = head.digest if head and unchanged else digest_of(script)
    except OSError as error:
        strange = strange or f"it cannot be opened ({error.strerror})"
    said = tuple(corrections.get((script.name, digest), ()))
    return Task(
        name=script.name,
        pages=tuple(str(page) for page in script.pages),
        corrections=said,
        key=key_of(digest, job, said),
        digest=digest,
        stamp=stamp,
        strange=strange,
    )


def _record(
    outcomes: Iterator[Outcome], job: Job, ledger: Ledger, tally: Tally, watch: Watch
) -> None:
    waiting: list[Row] = []
    since = time.monotonic()

    def flush() -> None:
        if waiting:
            with ledger.together():
                for row in waiting:
                    ledger.put(row)
            waiting.clear()

    try:
        for outcome in outcomes:
            waiting.append(row_of(outcome, job.scheme))
            tally.judged += 1
            tally.count(outcome.result.verdict if outcome.result else "")
            watch.turned(tally)
            if len(waiting) >= _BATCH or time.monotonic() - since > _SECONDS:
                flush()
                since = time.monotonic()
    finally:
        flush()


def _mind_the_gone(ledger: Ledger, scripts: list[Script]) -> None:
    here = {script.name for script in scripts}
    heads = ledger.heads()
    with ledger.together():
        ledger.set_gone((name for name in heads if name not in here), True)
        ledger.set_gone((name for name, head in heads.items() if head.gone and name in here), False)
