"""One case judged through the public API, and held against its truth."""

from __future__ import annotations

import argparse
import time
from dataclasses import dataclass, field

from generator.case import Case, make_case
from generator.every import FAMILIES
from generator.faults import PLANTS
from generator.manners import MANNERS
from generator.sets import SETS
from generator.situations import SITUATIONS, make_situation
from generator.style import STYLES


@dataclass
class Outcome:
    """What the tool said about one case, reduced to what the table counts."""

    number: int
    family: str
    style: str
    kind: str
    verdict: str = ""
    found: bool = False
    line: bool = False
    kind_right: bool = False
    term: bool = False
    exact: bool = False
    lines: int = 0
    unread: int = 0
    undecided: int = 0
    answers_wrong: int = 0
    seconds: float = 0.0
    said: str = ""
    got_kind: str = ""
    error: str = ""
    more: int = 0  # faults told after the first
    group: str = "single"
    situation: str = ""
    remarks: int = 0
    unread_lines: list[str] = field(default_factory=list)


def judge(case: Case) -> Outcome:
    """Run the public API on one case and hold its first fault against the truth."""
    from verifier import check

    truth = case.truth
    out = Outcome(case.number, case.family, case.style, truth.kind if truth else "right")
    out.group = truth.group if truth else "right"
    out.situation = case.situation
    start = time.process_time()
    try:
        sheet = None if case.alone else case.sheet
        result = check(sheet, case.working, strict_rounding=case.strict)
    except Exception as error:
        out.seconds = time.process_time() - start
        out.verdict, out.error = "crash", f"{type(error).__name__}: {error}"
        out.said = out.error
        return out
    out.seconds = time.process_time() - start
    out.verdict = result.verdict
    out.remarks = len(result.remarks)
    out.lines = len(result.lines)
    out.unread_lines = [v.text for v in result.lines if v.status == "unread"]
    out.unread = len(out.unread_lines)
    out.undecided = sum(v.status == "undecided" for v in result.lines)
    out.answers_wrong = sum(a.status in ("differs", "missing") for a in result.answers)
    first = result.first_fault
    if first is not None:
        text = case.working.split("\n")[first.line - 1]
        pointed = text[first.columns[0] : first.columns[1]]
        out.said = (
            f"line {first.line} {first.kind} «{pointed}» ({first.where}; wants {first.expected}) "
            f"{first.message}"
        )
    else:
        odd = [
            f"{v.line}:{v.status} «{v.text}» {v.note}"
            for v in result.lines
            if v.status in ("unread", "undecided")
        ]
        out.said = f"verdict {result.verdict}; " + "; ".join(odd)
    if truth is not None and truth.kind == "swapped":
        # What counts: it is not passed, and it is said once, not forty times.
        out.found = result.verdict != "agrees"
        out.line = out.kind_right = out.term = out.found and len(result.faults) <= 1
        out.more = max(0, len(result.faults) - 1)
        out.said = f"{len(result.faults)} faults; {'; '.join(result.cautions)} | {out.said}"
        return out
    if truth is None or first is None:
        return out
    out.found, out.got_kind = True, first.kind
    out.more = len(result.faults) - 1
    out.line = first.line == truth.line or first.line in truth.other_lines
    out.kind_right = out.line and first.kind in (truth.kind, *truth.also)
    a, b = trimmed(case.working.split("\n")[first.line - 1], *first.columns)
    spans = [
        trimmed(case.working.split("\n")[s.line - 1], s.start, s.end)
        for s in truth.spans
        if s.line == first.line
    ]
    out.exact = bool(spans) and (a, b) == spans[0]
    out.term = out.line and any(s <= a < b <= e for s, e in spans)
    return out


def trimmed(line: str, a: int, b: int) -> tuple[int, int]:
    while a < b and line[a] == " ":
        a += 1
    while b > a and line[b - 1] == " ":
        b -= 1
    return a, b


def build(number: int, options: argparse.Namespace) -> Case | None:
    kinds, sets = list(PLANTS), list(SETS)
    kind: str | None = None
    if options.kind == "all":
        # Of ten: three right, four single faults, one of a set, two situations.
        turn, place = divmod(number, 10)
        if place in (1, 2, 4, 5):
            kind = kinds[(turn * 4 + place - 1 - (place > 3)) % len(kinds)]
        elif place == 7:
            kind = sets[turn % len(sets)]
        elif place in (8, 9):
            kind = list(SITUATIONS)[(2 * turn + place) % len(SITUATIONS)]
    elif options.kind == "situations":
        kind = list(SITUATIONS)[number % len(SITUATIONS)]
    elif options.kind == "sets":
        kind = sets[number % len(sets)]
    elif options.kind == "any":
        kind = kinds[number % len(kinds)]
    elif options.kind != "right":
        kind = options.kind
    families = [f for f in FAMILIES if options.family in f]
    rosters = {"all": [*STYLES, *MANNERS], "first": STYLES, "second": MANNERS}
    styles = [s for s in rosters[options.hands] if options.style in s.name]
    chosen = options.style or options.hands != "all"
    if kind in SITUATIONS:
        who = styles[number * 31 % len(styles)] if chosen else None
        return make_situation(
            options.seed, kind, number, who,
            families[number % len(families)] if options.family else None,
        )  # fmt: skip
    return make_case(
        options.seed, kind, families[number % len(families)] if options.family else None,
        styles[number * 31 % len(styles)] if chosen else None, number,
    )  # fmt: skip


def missed(o: Outcome) -> bool:
    if o.kind == "right":
        return o.found or o.verdict in ("fault", "crash") or o.unread > 0
    return not (o.found and o.line and o.kind_right and o.term)
