"""The benefit of the doubt: lines that do not fit, in a working whose every result is right."""

import re
from collections.abc import Collection, Sequence
from itertools import permutations

from verifier import units
from verifier.checking.answers import comes_to
from verifier.checking.figure import Figure
from verifier.checking.quantity import Quantity
from verifier.checking.results_told import results
from verifier.checking.scattered import far, scattered
from verifier.checking.state import Outcome
from verifier.checking.unknown_part import of_unknown
from verifier.checking.written import Written
from verifier.findings import Answer, Finding
from verifier.notation.names import canonical
from verifier.notation.reckoning import worked_out
from verifier.notation.tree import Name, Prose, Relation

_WEAK = {"missing-force", "extra-force", "algebra", "arithmetic", "magnitude"}
"""What a line not understood looks like. The other kinds name one mistake in one term."""
_READ_SURELY = 0.97
_RECKONED = ("algebra", "arithmetic")
"""Slips that need no name to be seen."""
_WORD = re.compile(r"[^\W\d_]{2,}")


def in_question(
    figure: Figure,
    outcome: Outcome,
    answers: Sequence[Answer],
    faults: Sequence[Finding],
    written: Sequence[Written],
) -> list[Finding]:
    """Return the faults that are to be asked about instead of told.

    All that is asked for is answered rightly and no force is given a wrong value. A line that then
    seems to lack a force or to come to something else was likelier not understood than wrong,
    where it has words without a meaning here, comes to something else by far or differs in several
    things; of a picture it was likelier misread.
    """
    if scattered(figure, outcome, answers, faults, written):
        return list(faults)
    lines = {one.line.number: one for one in written}
    if unknown := [fault for fault in faults if of_unknown(fault, written)]:
        return unknown if faults[0] in unknown else []
    weak = [
        fault
        for fault in faults
        if (fault.kind in _WEAK and _is_unclear(lines[fault.line]))
        or far(fault)
        or _strange_unit(fault)
        or _unlike_its_sum(fault, faults)
    ]
    if not weak or _ends_right(figure, outcome, answers):
        return weak
    others = [fault for fault in weak if fault.kind not in _RECKONED]
    return others if others and _all_told(figure, outcome, answers, written) else []


def asked(fault: Finding, written: Sequence[Written]) -> str:
    """Return the note that stands at a line in question instead of its fault."""
    if of_unknown(fault, written):
        return f"what was not understood speaks of this too, so it cannot be told: {fault.message}"
    return (
        f"every result is right, yet as it was understood this line does not fit: {fault.message}"
    )


def _is_unclear(one: Written) -> bool:
    """Tell whether a line was not read surely, or has words that are no part with a meaning."""
    line = one.line
    rest = list(line.whole)
    for part in line.parts:
        if not isinstance(part, Prose):
            start, end = part.span
            rest[start:end] = " " * (end - start)
    unsure = one.confidence is not None and one.chance() < _READ_SURELY
    return unsure or _WORD.search("".join(rest)) is not None


def _unlike_its_sum(fault: Finding, faults: Sequence[Finding]) -> bool:
    """Tell whether a line lacks a force of its sum, or has one too many, and more is odd in it."""
    here = [one for one in faults if one.line == fault.line]
    return len(here) > 1 and any(one.kind in ("missing-force", "extra-force") for one in here)


def _strange_unit(fault: Finding) -> bool:
    """Tell whether a force is blamed for a unit of lengths or angles."""
    unit = fault.text.strip("[] ")
    other = unit in ("°", "deg", "rad") or units.length_unit(unit) is not None
    return fault.kind == "unit" and other


def _ends_right(figure: Figure, outcome: Outcome, answers: Sequence[Answer]) -> bool:
    stated = [(name, found) for name, found in outcome.stated.items() if name in figure.true]
    return (
        bool(answers)
        and all(one.status == "agrees" or _is_right(figure, one) for one in answers)
        and all(comes_to(figure, n, f.quantity, figure.true[n], f.coarse) for n, f in stated)
    )


def _all_told(
    figure: Figure, outcome: Outcome, answers: Sequence[Answer], written: Sequence[Written]
) -> bool:
    """Tell whether the numbers told as results hold all that is asked for, in either sense.

    This does not hang on what the names were taken for: a line that was not understood leads
    astray what follows from it. Forces that seem to have wrong values must be told as well.
    """
    if any(not isinstance(one.value, float) or (not one.value and one.written) for one in answers):
        return False
    loads = {*figure.structure.calls, *figure.structure.lets}
    said = {(name, number) for name, number in results(written) if name not in loads}
    if _bar_told_wrongly(figure, outcome, written):
        return False
    told = sorted(size for name, size in said if not _said_again(name, size, said))
    asked_for = {figure.variable(one.item)[0] for one in answers}
    wrong = {
        name
        for name, found in outcome.stated.items()
        if name in figure.true
        and not comes_to(figure, name, found.quantity, figure.true[name], found.coarse)
    }
    for name in asked_for | wrong:
        size = abs(figure.true[name])
        near = [number for number in told if comes_to(figure, name, Quantity(number), size)]
        if near:
            told.remove(near[0])
        elif size:
            return False
    return bool(answers)


def _bar_told_wrongly(figure: Figure, outcome: Outcome, written: Sequence[Written]) -> bool:
    """Tell whether a bar named by both its ends is told a wrong size with (T) or (C) beside it.

    Nothing else can be meant by that name and value.
    """
    for relation in (p for one in written for p in one.line.parts if isinstance(p, Relation)):
        name, marks = relation.sides[0], relation.marks[-1] if relation.marks else ()
        pulls = any(mark.meaning in ("tension", "compression") for mark in marks)
        number = worked_out(relation.sides[-1])
        if not pulls or not isinstance(name, Name) or not number:
            continue
        said = canonical(name.text)
        for ends, item in figure.member_ends.items():
            ways = ["".join(map(canonical, pair)) for pair in permutations(ends)]
            own = any(said.endswith(way) and len(said) <= len(way) + 1 for way in ways)
            size = abs(figure.true.get(item, 0.0))
            if own and not comes_to(figure, item, Quantity(abs(number)), size):
                return True
    return False


def _said_again(name: str, size: float, results: Collection[tuple[str, float]]) -> bool:
    """Tell whether a result is another's, told by words or by less of its name: P for P_y."""
    plain = canonical(name)
    others = [canonical(one) for one, number in results if number == size and one != name]
    longer = [one for one in others if len(one) > len(plain)]
    less = any(one.startswith(plain) or one.endswith(plain) for one in longer)
    return less or (" " in name and bool(others))


def _is_right(figure: Figure, answer: Answer) -> bool:
    """Tell whether an answer that rests on a line in question has the right value all the same."""
    value, written = answer.value, answer.written
    if answer.status != "carried":
        return False
    if isinstance(value, float) and isinstance(written, float):
        return comes_to(figure, figure.variable(answer.item)[0], Quantity(written), value)
    return value == written


__all__ = ["asked", "in_question"]
