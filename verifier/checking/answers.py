"""What the working says of each item that the sheet asks for."""

import re
from collections.abc import Sequence
from dataclasses import replace

from verifier.checking.derived import same
from verifier.checking.faults.base import say
from verifier.checking.figure import Figure
from verifier.checking.ledger import Found, three_figures
from verifier.checking.quantity import Quantity
from verifier.checking.state import Outcome
from verifier.checking.sums import differs
from verifier.findings import Answer, AnswerStatus
from verifier.statics import Solution, answers
from verifier.statics.wording import sense

_LETTER = re.compile(r"[A-Z]_?(?:\d|[xyhv])?")
_AXIS = {"X": "X", "H": "X", "Y": "Y", "V": "Y"}
_EARLY = 6e-3
"""How far, relative to an answer, rounding to three figures on the way may carry it."""


def answers_of(
    figure: Figure, outcome: Outcome, solution: Solution | None = None
) -> tuple[Answer, ...]:
    """Return one answer for each item of `find`, in the sheet's order; letters stay letters."""
    found = tuple(_answer(figure, outcome, item) for item in figure.structure.find)
    found = told_by_letter(figure, outcome, found)
    if not figure.structure.letters or solution is None:
        return found
    exact = {answer.item: answer for answer in answers(figure.structure, solution)}
    return tuple(_lettered(figure, answer, exact.get(answer.item)) for answer in found)


def told_by_letter(
    figure: Figure, outcome: Outcome, found: tuple[Answer, ...]
) -> tuple[Answer, ...]:
    """Fill in an answer that the working gives under a letter of its own: `T = √(3² + 4²) = 5`.

    Only where it is the right one, and that of a single item: no other reading is likely.
    """
    open_ = [answer for answer in found if answer.status == "missing"]
    own = [
        (key, local.quantity.centre)
        for key, local in outcome.ledger.locals.items()
        if _LETTER.fullmatch(key) and not local.tainted and local.kind in ("plain", "force")
    ]
    loads = [datum.value for datum in figure.loads]
    filled = {}
    for answer in open_:
        size = abs(figure.true.get(answer.item, 0.0))
        alike = sum(same(size, abs(figure.true.get(other.item, 0.0)), 0.02) for other in open_)
        given = any(same(size, load, 0.02) for load in loads)
        axis = answer.item.rpartition(" ")[2].upper()
        fits = [key for key, v in own if same(abs(v), size, 5e-3)]
        told = any(_AXIS.get(key[:1]) == axis for key in fits) if given else bool(fits)
        if size and alike == 1 and told:
            filled[answer.item] = replace(answer, written=answer.value, status="agrees")
    return tuple(filled.get(answer.item, answer) for answer in found)


def _lettered(figure: Figure, answer: Answer, exact: Answer | None) -> Answer:
    written = answer.written
    said = say(figure, written) if isinstance(written, float) else written
    if exact is None:
        return replace(answer, written=said)
    return replace(answer, value=exact.value, sense=exact.sense, written=said)


def unfinished(answers: Sequence[Answer]) -> bool:
    """Tell whether some item has no answer in the working."""
    return any(answer.status == "missing" for answer in answers)


def _answer(figure: Figure, outcome: Outcome, item: str) -> Answer:
    sheet = figure.structure
    truth = figure.true.get(item, 0.0)
    if abs(truth) <= 1e-9 * max((abs(one) for one in figure.true.values()), default=0.0):
        truth = 0.0
    variable, sign = figure.variable(item)
    told = next((name for name in _sides(figure, variable) if name in outcome.stated), variable)
    found = outcome.stated.get(told) or outcome.ledger.values.get(told)
    unit = sheet.force_unit
    if item.startswith("moment at") or item.endswith(" moment"):
        unit = f"{unit} {sheet.length_unit}"
    if found is None:
        found = _from_other_body(figure, outcome, item)
    written = None if found is None else found.quantity.centre * sign
    status: AnswerStatus = "missing"
    if found is not None:
        wrong = not comes_to(figure, variable, found.quantity.scaled(sign), truth, found.coarse)
        if variable in outcome.rounded:
            wrong = False
        status = "agrees" if not wrong else "carried" if found.tainted else "differs"
    elif _idle(figure, item, truth):
        status = "agrees"
    said = None if written is None else _tidy(written)
    said = written if sheet.letters else said  # told in letters yet, by all its digits
    return Answer(item, _tidy(truth), unit, sense(sheet, item, truth), said, status)


def comes_to(
    figure: Figure, variable: str, value: Quantity, truth: float, coarse: float = 0.0
) -> bool:
    """Tell whether a force's value is the true one to three figures, rounded on the way at most."""
    early = max(_EARLY * abs(truth), _EARLY / 5 * figure.scale(variable))
    slack = max(value.radius, coarse, three_figures(truth), early)
    return not differs(Quantity(value.centre, slack), truth)


def _from_other_body(figure: Figure, outcome: Outcome, item: str) -> Found | None:
    """Return a pin's force on a body as the opposite of that on the other, where they are that."""
    if not item.startswith("pin "):
        return None
    joint, axis, _, name = item.split()[1:]
    for other in (body.name for body in figure.structure.bodies):
        opposite = f"pin {joint} {axis} on {other}"
        found = outcome.stated.get(opposite)
        if other == name or found is None or opposite not in figure.true:
            continue
        truth = figure.true[item]
        for share in (-1.0, 1.0):  # a load at the pin may make both alike
            if abs(figure.true[opposite] - share * truth) <= 1e-9 * abs(truth):
                return replace(found, quantity=found.quantity.scaled(share))
    return None


def _sides(figure: Figure, item: str) -> tuple[str, ...]:
    """Return an item, and a cut's either side of it where that has the same value."""
    truth = figure.true.get(item)
    sides = (f"{item}, {side}" for side in ("left", "right")) if " at " in item else ()
    return (item, *(one for one in sides if truth is not None and figure.true.get(one) == truth))


def _idle(figure: Figure, item: str, truth: float) -> bool:
    """Tell whether an item is a reaction that has nothing to hold, which people leave unsaid."""
    scale = max((abs(value) for value in figure.true.values()), default=1.0) or 1.0
    return item.startswith(("reaction", "pin")) and abs(truth) <= 1e-9 * scale


def _tidy(number: float) -> float:
    rounded = float(f"{number:.6g}")
    return 0.0 if abs(rounded) < 1e-12 else rounded
