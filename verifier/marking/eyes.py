"""Which scripts need a human eye, ordered by what a minute of looking is worth.

A look is worth the marks that it may move: the marks that hang on what is in doubt, times the
chance that the doubt is founded, by the minutes that it takes. Doubtful readings that decide marks
come first.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from verifier.findings import LineVerdict, Result
from verifier.marking.book import Entry
from verifier.marking.linking import link
from verifier.marking.scored import ItemMarks, ScriptMarks
from verifier.marking.scripts import natural

_OPEN = ("doubtful", "unread", "undecided")
_LINE, _SCRIPT, _FAULT = 0.2, 3.0, 0.75
"""Minutes for a line, a whole script, and a fault to think about."""
_GUESS = 0.5
"""The chance that an unread or undecided line would change something."""
_SHAKY = 0.15
"""The chance that a fault that is only the best explanation is another one."""
UNSURE = 0.9
"""The confidence below which a line that decides nothing is still worth confirming."""


@dataclass(frozen=True)
class Look:
    """One script to look at: `worth` is marks a minute, `stake` the marks that may move.

    `pictured` counts the lines in doubt that a picture can settle.
    """

    shown: str
    name: str
    worth: float
    stake: float
    minutes: float
    decisive: bool
    lines: tuple[int, ...]
    why: str
    pictured: int = 0


def looks(entries: Iterable[Entry]) -> list[Look]:
    """Return the scripts that need an eye, the most worthwhile first."""
    return in_order(look for entry in entries if (look := _look(entry)) is not None)


def in_order(found: Iterable[Look]) -> list[Look]:
    """Return looks in the order in which a marker should take them."""
    return sorted(found, key=lambda look: (not look.decisive, -look.worth, natural(look.shown)))


def doubtful_lines(result: Result, every: bool = False) -> Iterator[LineVerdict]:
    """Yield the lines that a marker should confirm: those that decide something first.

    With `every` also those that may be misread without deciding anything.
    """
    for statuses in (_OPEN[:1], _OPEN[1:]):
        yield from (line for line in result.lines if line.status in statuses)
    if every:
        for line in result.lines:
            unsure = line.confidence is not None and line.confidence < UNSURE
            if line.status not in _OPEN and (unsure or line.alternatives):
                yield line


@dataclass(frozen=True)
class _Cause:
    """One reason to look: marks that may move, minutes that it takes, marks that it may gain."""

    why: str
    stake: float
    minutes: float
    worth: float
    lines: tuple[int, ...] = ()
    decisive: bool = False
    pictured: int = 0


def _look(entry: Entry) -> Look | None:
    causes = list(_causes(entry))
    if not causes:
        return None
    minutes = sum(cause.minutes for cause in causes)
    return Look(
        shown=entry.shown,
        name=entry.name,
        worth=round(sum(cause.worth for cause in causes) / minutes, 3),
        stake=round(min(sum(cause.stake for cause in causes), entry.out_of), 2),
        minutes=round(minutes, 2),
        decisive=any(cause.decisive for cause in causes),
        lines=tuple(line for cause in causes for line in cause.lines),
        why="; ".join(cause.why for cause in causes),
        pictured=sum(cause.pictured for cause in causes),
    )


def _causes(entry: Entry) -> Iterator[_Cause]:
    if entry.stale:
        why = f"{_count(entry.stale, 'decision')} made on an earlier version"
        yield _Cause(why, entry.out_of, _SCRIPT, entry.out_of / 2)
    if entry.final is None:
        yield _Cause(entry.reason, entry.out_of, _SCRIPT, entry.out_of)
    elif entry.result is not None and not _settled(entry):
        yield from _bare(entry.result, entry.final.marks)
        yield from _unsure(entry.result, entry.final.marks)
        yield from _unexplained(entry.final.marks)
        yield from _shaky(entry.result, entry.final.marks)


def _unsure(result: Result, marks: ScriptMarks) -> Iterator[_Cause]:
    """Yield the lines that are in doubt, told together for each kind of doubt."""
    doubts = list(_doubts(result, marks))
    for status, words in (
        ("doubtful", "may be misread, and it matters"),
        ("undecided", "could not be decided"),
        ("unread", "could not be understood"),
    ):
        these = [doubt for doubt in doubts if doubt[0].status == status]
        if not these:
            continue
        rows = tuple(line.line for line, _, _ in these)
        listed = ", ".join(str(row) for row in rows[:6]) + (", …" if rows[6:] else "")
        stake = sum(hanging for _, hanging, _ in these)
        yield _Cause(
            f"line {listed} {words}",
            stake,
            min(_LINE * len(these), _SCRIPT),
            min(sum(hanging * chance for _, hanging, chance in these), marks.out_of),
            rows,
            status == "doubtful" and stake > 0,
            sum(line.box is not None for line, _, _ in these),
        )


def _bare(result: Result, marks: ScriptMarks) -> Iterator[_Cause]:
    if all(line.status == "remark" for line in result.lines):
        why = "there is no line of working in it"
        yield _Cause(why, marks.out_of, _SCRIPT / 3, marks.out_of * _SHAKY)


def _unexplained(marks: ScriptMarks) -> Iterator[_Cause]:
    if marks.unexplained:
        each = {item.item: item.answer_of for item in marks.items}
        stake = sum(each[item] for item in marks.unexplained)
        why = f"{', '.join(marks.unexplained)}: the answer differs, though its line is not at fault"
        yield _Cause(why, stake, _FAULT, stake * _GUESS)


def _shaky(result: Result, marks: ScriptMarks) -> Iterator[_Cause]:
    shaky = [fault for fault in result.faults if fault.certainty != "proved"]
    if shaky:
        lost = marks.out_of - marks.total
        why = f"{_count(len(shaky), 'fault')} explained, not proved"
        yield _Cause(why, lost, _FAULT, lost * _SHAKY)


def _settled(entry: Entry) -> bool:
    """Tell whether a marker has already set the whole script's marks."""
    return entry.final is not None and any(not one.item for one in entry.final.decided)


def _doubts(result: Result, marks: ScriptMarks) -> Iterator[tuple[LineVerdict, float, float]]:
    if not any(line.status in _OPEN for line in result.lines):
        return
    by_item = {item.item: item for item in marks.items}
    links = link(result, by_item, ())
    for line in doubtful_lines(result):
        hanging = {item for item, row in links.answers.items() if row >= line.line}
        hanging |= {item for item, rows in links.named.items() if line.line in rows}
        hanging |= {answer.item for answer in result.answers if answer.status == "missing"}
        if line.status == "unread":
            hanging = {item for item in hanging if item in by_item and _short(by_item[item])}
        at_stake = sum(
            item.method_of + item.answer_of for name, item in by_item.items() if name in hanging
        )
        chance = _GUESS if line.confidence is None else min(_GUESS, max(0.02, 1 - line.confidence))
        yield line, at_stake, chance


def _short(item: ItemMarks) -> bool:
    return item.total < item.method_of + item.answer_of


def _count(number: int, noun: str) -> str:
    return f"{number} {noun}" + ("" if number == 1 else "s")
