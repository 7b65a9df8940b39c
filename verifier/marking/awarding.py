"""From a result and a scheme to marks, each of them explained by line."""

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

from verifier.findings import Answer, Finding, Result
from verifier.marking.linking import Links, link
from verifier.marking.scheme import Marks, Penalty, Scheme
from verifier.marking.scored import ItemMarks, Reason, ScriptMarks
from verifier.marking.wording import answer_faults

_RIGHT = ("agrees", "carried")
_NEAR = 0.01
"""How far rounding on the way may move an answer, as a part of it."""
_OPEN = ("doubtful", "undecided", "unread")


@dataclass
class _Purse:
    """What faults have cost a script so far."""

    scheme: Scheme
    lost: float = 0.0
    by_kind: dict[str, float] = field(default_factory=dict)
    seen: set[tuple[str, str, str]] = field(default_factory=set)

    def free_because(self, fault: Finding) -> str:
        """Say why a fault costs nothing, or ''; remember it as seen."""
        rule = self.scheme.penalty(fault.kind)
        mark = (fault.kind, _term(fault.text), _term(fault.expected))
        before = mark in self.seen
        self.seen.add(mark)
        if rule.loses == "nothing":
            return "costs nothing under this scheme"
        if self.scheme.once_per_fault and before and any(mark[1:]):
            return "the same slip as before, not charged again"
        if rule.once and fault.kind in self.by_kind:
            return "charged once a script, not again"
        return ""

    def spend(self, kind: str, loss: float, rule: Penalty) -> float:
        """Return how much of a loss the caps let through, and book it."""
        room = [loss]
        if rule.at_most is not None:
            room.append(rule.at_most - self.by_kind.get(kind, 0.0))
        if self.scheme.faults_cost_at_most is not None:
            room.append(self.scheme.faults_cost_at_most - self.lost)
        allowed = max(0.0, min(room))
        self.by_kind[kind] = self.by_kind.get(kind, 0.0) + allowed
        self.lost += allowed
        return allowed


def award(result: Result, scheme: Scheme) -> ScriptMarks:
    """Mark one result. The same result and scheme give the same marks, whoever asks."""
    charged = [r for r in result.remarks if scheme.penalty(r.kind).loses != "nothing"]
    faults = sorted((*result.faults, *charged), key=lambda fault: (fault.line, fault.columns))
    links = link(result, scheme.items, faults)
    answers = {answer.item: answer for answer in result.answers}
    purse = _Purse(scheme)
    order = sorted(scheme.items, key=lambda item: links.answers.get(item, math.inf))
    marked = {
        item: _item(result, scheme, scheme.items[item], item, answers.get(item), links, purse)
        for item in order
    }
    items = tuple(marked[item] for item in scheme.items)
    reasons = tuple(_loose(links.loose, purse))
    total, bounds = total_of([item.total for item in items], reasons, scheme)
    doubt = result.verdict == "undecided" or any(line.status in _OPEN for line in result.lines)
    strange = tuple(unexplained(result, links))
    doubt = doubt or bool(strange)
    return ScriptMarks(total, _tidy(scheme.out_of), items, reasons, bounds, doubt, strange)


def unexplained(result: Result, links: Links) -> list[str]:
    """Return marked items whose answer differs although no line of theirs is at fault.

    No line can then be pointed at, so nothing is taken off; a marker looks at it.
    """
    at_fault = {line.line for line in result.lines if line.status == "fault"}
    return [
        one.item
        for one in result.answers
        if one.status == "differs"
        and not is_near(one)
        and not links.blamed.get(one.item, True)
        and links.answers.get(one.item) not in at_fault
    ]


def is_near(answer: Answer) -> bool:
    """Tell whether an answer is what rounding on the way makes of the right one."""
    if isinstance(answer.written, str) or isinstance(answer.value, str) or answer.written is None:
        return False
    return abs(answer.written - answer.value) <= _NEAR * abs(answer.value)


def total_of(
    items: Sequence[float], reasons: Sequence[Reason], scheme: Scheme
) -> tuple[float, tuple[Reason, ...]]:
    """Return a script's total of its items' marks, and what caps and rounding did to it."""
    bounds: list[Reason] = []
    total = max(0.0, sum(items) + sum(why.change for why in reasons))
    return _bounded(total, scheme, bounds), tuple(bounds)


def _item(
    result: Result,
    scheme: Scheme,
    marks: Marks,
    item: str,
    answer: Answer | None,
    links: Links,
    purse: _Purse,
) -> ItemMarks:
    faults = list(links.blamed.get(item, ()))
    method, score, reasons = _before_faults(result, scheme, marks, answer, faults, links)
    if answer is not None and item in links.answers:
        line = next(row for row in result.lines if row.line == links.answers[item])
        faults += answer_faults(answer, line, scheme)
    for fault in faults:
        free = purse.free_because(fault)
        if free:
            reasons.append(Reason(fault.line, f"{_said(fault)}: {free}"))
            continue
        rule = scheme.penalty(fault.kind)
        after_method, after_score = _after(rule, method, score)
        loss = purse.spend(fault.kind, method + score - after_method - after_score, rule)
        method, score = _take(loss, method, score, rule)
        spent = "" if loss else ": nothing is left to lose here"
        reasons.append(Reason(fault.line, _said(fault) + spent, -_tidy(loss)))
    return ItemMarks(
        item, _tidy(method), _tidy(marks.method), _tidy(score), _tidy(marks.answer), tuple(reasons)
    )


def _before_faults(
    result: Result,
    scheme: Scheme,
    marks: Marks,
    answer: Answer | None,
    faults: Sequence[Finding],
    links: Links,
) -> tuple[float, float, list[Reason]]:
    if answer is None:
        return 0.0, 0.0, [Reason(None, "the working was not asked for this item", -marks.total)]
    at = links.answers.get(answer.item)
    if answer.status == "missing":
        return _missing(result, marks, answer, links)
    method = marks.method
    reasons = []
    if scheme.working_needed and not _has_working(result, answer.item, links):
        reasons.append(Reason(at, "no working leads to this answer", -_tidy(method)))
        method = 0.0
    match answer.status:
        case "agrees" if faults:
            reasons.append(Reason(at, "right answer, reached through a fault"))
        case "agrees":
            reasons.append(Reason(at, "right"))
        case "carried" if faults:
            pass
        case "carried" if scheme.follow_through:
            reasons.append(Reason(at, "follows correctly from an earlier fault"))
        case "carried":
            text = "follows from an earlier fault; no follow-through under this scheme"
            return method, 0.0, [*reasons, Reason(at, text, -_tidy(marks.answer))]
        case _ if not faults and is_near(answer):
            reasons.append(Reason(at, "right but for rounding"))
        case _ if not faults and answer.item in unexplained(result, links):
            text = "the answer differs, though its line is not at fault: for a marker to decide"
            reasons.append(Reason(at, text))
        case _ if not faults:
            text = "the answer differs"
            return method, 0.0, [*reasons, Reason(at, text, -_tidy(marks.answer))]
    return method, marks.answer, reasons


def _missing(
    result: Result, marks: Marks, answer: Answer, links: Links
) -> tuple[float, float, list[Reason]]:
    gone = Reason(None, "no answer found", -_tidy(marks.answer))
    rows = links.named.get(answer.item, frozenset())
    right = [line.line for line in result.lines if line.line in rows and line.status in _RIGHT]
    if not marks.method:
        return 0.0, 0.0, [gone]
    if right:
        earned = min(marks.method, float(len(right)))
        short = _tidy(earned - marks.method)
        return earned, 0.0, [gone, Reason(right[0], "a right line towards it", short)]
    return 0.0, 0.0, [gone, Reason(None, "no right line towards it", -_tidy(marks.method))]


def _has_working(result: Result, item: str, links: Links) -> bool:
    at = links.answers.get(item)
    rows = links.named.get(item, frozenset())
    if at is None:
        return bool(rows)
    text = next(line.text for line in result.lines if line.line == at)
    return any(row < at for row in rows) or text.count("=") > 1


def _after(rule: Penalty, method: float, score: float) -> tuple[float, float]:
    match rule.loses:
        case "answer":
            return method, 0.0
        case "method":
            return max(0.0, method - 1.0), 0.0
        case "all":
            return 0.0, 0.0
    from_score = min(score, rule.amount)
    return max(0.0, method - (rule.amount - from_score)), score - from_score


def _take(loss: float, method: float, score: float, rule: Penalty) -> tuple[float, float]:
    """Take a loss from the answer marks first, so that a capped loss spares the method."""
    from_score = min(score, loss)
    return max(0.0, method - (loss - from_score)), score - from_score


def _loose(faults: Sequence[Finding], purse: _Purse) -> list[Reason]:
    reasons = []
    for fault in faults:
        rule = purse.scheme.penalty(fault.kind)
        free = purse.free_because(fault)
        if not free and rule.loses != "marks":
            free = "no item's marks hang on it"
        loss = 0.0 if free else purse.spend(fault.kind, rule.amount, rule)
        reasons.append(Reason(fault.line, _said(fault) + (free and f": {free}"), -_tidy(loss)))
    return reasons


def _bounded(total: float, scheme: Scheme, reasons: list[Reason]) -> float:
    if scheme.cap is not None and total > scheme.cap:
        reasons.append(Reason(None, f"no script gets more than {scheme.cap:g}", scheme.cap - total))
        total = scheme.cap
    step = scheme.round_to
    if step:
        rounded = min(math.floor(total / step + 0.5 + 1e-9) * step, scheme.out_of)
        if abs(rounded - total) > 1e-9:
            reasons.append(Reason(None, f"rounded to {step:g}", _tidy(rounded - total)))
        total = rounded
    return _tidy(total)


def _said(fault: Finding) -> str:
    return f"{fault.kind}: {fault.message}" if fault.message else fault.kind


def _term(text: str) -> str:
    return "".join(text.split())


def _tidy(number: float) -> float:
    return round(number, 4) + 0.0
