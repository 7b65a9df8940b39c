"""A marking run in the terminal: progress while it runs, and what it came to."""

import sys
import time
from collections import deque
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from rich.console import Console
from rich.progress import BarColumn, MofNCompleteColumn, Progress, SpinnerColumn, TextColumn
from rich.text import Text

from verifier.marking.eyes import Look
from verifier.marking.run import Tally
from verifier.marking.summary import Summary
from verifier.reporting.colours import console

_WORDS = {
    "agrees": "right",
    "fault": "faulty",
    "undecided": "undecided",
    "unfinished": "unfinished",
    "failed": "failed",
}
_STYLES = {"agrees": "right", "fault": "wrong", "failed": "wrong"}
_WINDOW = 30.0
"""Seconds over which the speed is taken."""
_SHOWN = 5


class Pace:
    """Scripts a second over the last half minute, and the time left at that speed."""

    def __init__(self) -> None:
        self.points: deque[tuple[float, int]] = deque()

    def note(self, judged: int, now: float) -> None:
        """Note how many scripts have been judged by now (seconds of any steady clock)."""
        self.points.append((now, judged))
        while self.points[-1][0] - self.points[0][0] > _WINDOW and len(self.points) > 2:
            self.points.popleft()

    def said(self, left: int) -> str:
        """Return speed and time left as text, '' while there is nothing to go by."""
        if len(self.points) < 2:
            return ""
        (before, some), (now, more) = self.points[0], self.points[-1]
        if now <= before or more <= some:
            return ""
        speed = (more - some) / (now - before)
        return f"{speed:.1f}/s, {clock(left / speed)} left"


class Bar:
    """Shows a run's progress on a terminal."""

    def __init__(self, progress: Progress) -> None:
        self.progress, self.pace = progress, Pace()
        self.task = progress.add_task("", total=None, counts="", pace="")

    def turned(self, tally: Tally) -> None:
        """Show how far the run is."""
        self.pace.note(tally.judged, time.monotonic())
        self.progress.update(
            self.task,
            total=tally.total,
            completed=tally.done,
            counts=counts(tally.verdicts),
            pace=self.pace.said(tally.total - tally.done),
        )


class Silent:
    """Shows nothing."""

    def turned(self, tally: Tally) -> None:
        """Show nothing."""


@contextmanager
def watching(quiet: bool = False, where: Console | None = None) -> Iterator[Bar | Silent]:
    """Give what shows a run's progress: a bar on a terminal, nothing in a pipe."""
    screen = where or console(sys.stderr)
    if quiet or not screen.is_terminal:
        yield Silent()
        return
    progress = Progress(
        SpinnerColumn(),
        BarColumn(bar_width=20),
        MofNCompleteColumn(),
        TextColumn("{task.fields[counts]}", markup=False),
        TextColumn("{task.fields[pace]}", markup=False),
        console=screen,
        transient=True,
    )
    with progress:
        yield Bar(progress)


def counts(verdicts: dict[str, int]) -> str:
    """Return verdicts as text: '12 right, 3 faulty'."""
    return ", ".join(f"{verdicts[key]} {word}" for key, word in _WORDS.items() if key in verdicts)


def clock(seconds: float) -> str:
    """Return a time as text: '48 s', '3 min 20 s', '2 h 5 min'."""
    whole = round(seconds)
    if whole < 60:
        return f"{whole} s"
    if whole < 3600:
        return f"{whole // 60} min {whole % 60} s"
    return f"{whole // 3600} h {whole % 3600 // 60} min"


def report_run(
    tally: Tally, summary: Summary, ranked: list[Look], results: Path, notes: tuple[str, ...],
    *, stopped: bool, where: Console | None = None,
) -> None:  # fmt: skip
    """Print what a run came to."""
    screen = where or console()
    if stopped:
        left = tally.total - tally.done
        screen.print(Text(f"Stopped: {left} of {tally.total} scripts are still to do;", "open"))
        screen.print(Text("run the same command to go on."))
    line = Text(f"{tally.total} scripts: ")
    for number, (verdict, count) in enumerate(one for one in summary.verdicts if one[1]):
        line.append(", " if number else "")
        line.append(f"{count} {_WORDS[verdict]}", _STYLES.get(verdict, "open"))
    screen.print(line)
    if tally.kept and tally.judged:
        screen.print(Text(f"{tally.judged} judged now, {tally.kept} unchanged since the last run"))
    elif tally.kept:
        screen.print(Text("nothing has changed since the last run"))
    if summary.mean is not None:
        screen.print(
            Text(f"marks out of {summary.out_of:g}: mean {summary.mean:.2f}, "
                 f"from {summary.lowest:g} to {summary.highest:g}")
        )  # fmt: skip
    _eyes(screen, ranked, results)
    for note in notes:
        screen.print(Text(f"note: {note}"))
    screen.print(Text(f"results: {results}"), soft_wrap=True)


def _eyes(screen: Console, ranked: list[Look], results: Path) -> None:
    if not ranked:
        return
    minutes = clock(60 * sum(look.minutes for look in ranked))
    need = f"{len(ranked)} need" if len(ranked) > 1 else "1 needs"
    screen.print(Text(f"{need} a human eye, about {minutes}; first:", "title"))
    for look in ranked[:_SHOWN]:
        screen.print(Text(f"  {look.shown}: {look.why}"), soft_wrap=True)
    if ranked[_SHOWN:]:
        screen.print(Text(f"  … and {len(ranked) - _SHOWN} more in attention.txt"))
    if any(look.pictured for look in ranked):
        folder = results.parent if results.name == "_marks" else results
        screen.print(
            Text(f"to settle doubtful lines: counterpoise confirm {folder}"), soft_wrap=True
        )


def say(text: str) -> None:
    """Print text as it is."""
    console().print(Text(text.rstrip("\n")), soft_wrap=True)
