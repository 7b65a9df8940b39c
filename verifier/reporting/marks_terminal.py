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
from verifier.reporting.marks_tables import causes
from verifier.reporting.words import spoken

_VERDICTS = ("agrees", "fault", "undecided", "unfinished", "failed")
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
        time_left = clock(left / speed)
        return spoken().text("{speed:.1f}/s, {time} left", speed=speed, time=time_left)


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
    say = spoken()
    return ", ".join(
        f"{verdicts[key]} {say(f'marks.verdict.{key}')}" for key in _VERDICTS if key in verdicts
    )


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
    screen, say = where or console(), spoken()
    tell = say.text
    if stopped:
        left = tally.total - tally.done
        said = tell("Stopped: {left} of {all} scripts are still to do;", left=left, all=tally.total)
        screen.print(Text(said, "open"))
        screen.print(Text(tell("run the same command to go on.")))
    line = Text(say.many(tally.total, "{count} script", "{count} scripts") + ": ")
    for number, (verdict, count) in enumerate(one for one in summary.verdicts if one[1]):
        line.append(", " if number else "")
        line.append(f"{count} {say(f'marks.verdict.{verdict}')}", _STYLES.get(verdict, "open"))
    screen.print(line)
    if tally.kept and tally.judged:
        said = "{some} judged now, {rest} unchanged since the last run"
        screen.print(Text(tell(said, some=tally.judged, rest=tally.kept)))
    elif tally.kept:
        screen.print(Text(tell("nothing has changed since the last run")))
    if summary.mean is not None:
        said = tell(
            "marks out of {most:g}: mean {mean:.2f}, from {lowest:g} to {highest:g}",
            most=summary.out_of, mean=summary.mean, lowest=summary.lowest, highest=summary.highest,
        )  # fmt: skip
        screen.print(Text(said))
    _eyes(screen, ranked, results)
    for note in notes:
        screen.print(Text(tell("note: {note}", note=say.message(note))))
    screen.print(Text(tell("results: {folder}", folder=results)), soft_wrap=True)


def _eyes(screen: Console, ranked: list[Look], results: Path) -> None:
    if not ranked:
        return
    minutes = clock(60 * sum(look.minutes for look in ranked))
    say = spoken()
    said = say.many(
        len(ranked),
        "{count} needs a human eye, about {time}:",
        "{count} need a human eye, about {time}; first:",
        time=minutes,
    )
    screen.print(Text(said, "title"))
    for look in ranked[:_SHOWN]:
        screen.print(Text(f"  {look.shown}: {causes(look.why)}"), soft_wrap=True)
    if ranked[_SHOWN:]:
        more = len(ranked) - _SHOWN
        screen.print(Text(say.text("  … and {count} more in attention.txt", count=more)))
    if any(look.pictured for look in ranked):
        folder = results.parent if results.name == "_marks" else results
        said = say.text("to settle doubtful lines: counterpoise confirm {folder}", folder=folder)
        screen.print(Text(said), soft_wrap=True)


def say(text: str) -> None:
    """Print text in the language spoken, else as it is."""
    console().print(Text(spoken().message(text.rstrip("\n"))), soft_wrap=True)
