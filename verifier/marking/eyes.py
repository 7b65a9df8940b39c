"""Which scripts need a human eye, ordered by what a minute of looking is worth.

A look is worth the marks that it may move: the marks that hang on what is in doubt, times the
chance that the doubt is founded, by the minutes that it takes. Doubtful readings that decide marks
come first.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from verifier.findings import LineVerdict, Result
from verifier.marking.awarding import ItemMarks, ScriptMarks, unexplained
from verifier.marking.book import Entry
from verifier.marking.linking import link
from verifier.marking.scripts import natural

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
    """One script to look at: `worth` is marks a minute, `stake` the marks that may move."""

    shown: str
    name: str
    worth: float
    stake: float
    minutes: float
    decisive: bool
    lines: tuple[int, ...]
    why: str


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
    for statuses in (("doubtful",), ("unread", "undecided")):
        yield from (line for line in result.lines if line.status in statuses)
    if every:
        settled = ("doubtful", "unread", "undecided")
        for line in result.lines:
            unsure = line.confidence is not None and line.confidence < UNSURE
            if line.status not in settled and (unsure or line.alternatives):
                yield line


def _look(entry: Entry) -> Look | None:
    reasons: list[str] = []
    worth = minutes = stake = 0.0
    lines: tuple[int, ...] = ()
    decisive = False
    if entry.stale:
        reasons.append(f"{_count(entry.stale, 'decision')} made on an earlier version")
        stake, minutes, worth = entry.out_of, _SCRIPT, entry.out_of / 2
    if entry.result is None:
        if entry.final is None:
            reasons.append(entry.reason)
            stake, minutes, worth = entry.out_of, minutes + _SCRIPT, worth + entry.out_of
    elif entry.final is not None and not _settled(entry):
        for line, marks, chance in _doubts(entry.result, entry.final.marks):
            lines = (*lines, line.line)
            decisive = decisive or (line.status == "doubtful" and marks > 0)
            stake, minutes, worth = stake + marks, minutes + _LINE, worth + marks * chance
        reasons += _said(entry.result, lines)
        each = {item.item: item.answer_of for item in entry.final.marks.items}
        strange = unexplained(entry.result, link(entry.result, each, entry.result.faults))
        if strange:
            at_stake = sum(each[item] for item in strange)
            stake, minutes, worth = stake + at_stake, minutes + _FAULT, worth + at_stake * _GUESS
            listed = ", ".join(strange)
            reasons.append(f"{listed}: the answer differs, though its line is not at fault")
        shaky = [f for f in entry.result.faults if f.certainty != "proved"]
        if shaky:
            lost = entry.out_of - entry.final.marks.total
            stake, minutes, worth = stake + lost, minutes + _FAULT, worth + lost * _SHAKY
            reasons.append(f"{_count(len(shaky), 'fault')} explained, not proved")
    if not reasons:
        return None
    stake = round(min(stake, entry.out_of), 2)
    return Look(
        entry.shown, entry.name, round(worth / minutes, 3), stake, round(minutes, 2), decisive,
        lines, "; ".join(reasons),
    )  # fmt: skip


def _settled(entry: Entry) -> bool:
    """Tell whether a marker has already set the whole script's marks."""
    return entry.final is not None and any(not one.item for one in entry.final.decided)


def _doubts(result: Result, marks: ScriptMarks) -> Iterator[tuple[LineVerdict, float, float]]:
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


def _said(result: Result, rows: tuple[int, ...]) -> list[str]:
    status = {line.line: line.status for line in result.lines}
    said = []
    for kind, words in (
        ("doubtful", "may be misread, and it matters"),
        ("undecided", "could not be decided"),
        ("unread", "could not be understood"),
    ):
        these = [row for row in rows if status[row] == kind]
        if these:
            listed = ", ".join(str(row) for row in these[:6]) + (", …" if these[6:] else "")
            said.append(f"line {listed} {words}")
    return said


def _count(number: int, noun: str) -> str:
    return f"{number} {noun}" + ("" if number == 1 else "s")
