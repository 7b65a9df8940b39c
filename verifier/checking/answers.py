"""What the working says of each item that the sheet asks for."""

from collections.abc import Sequence
from dataclasses import replace

from verifier.checking.faults.base import say
from verifier.checking.figure import Figure
from verifier.checking.ledger import three_figures
from verifier.checking.quantity import Quantity
from verifier.checking.state import Outcome
from verifier.checking.sums import differs
from verifier.findings import Answer, AnswerStatus
from verifier.statics import Solution, answers


def answers_of(
    figure: Figure, outcome: Outcome, solution: Solution | None = None
) -> tuple[Answer, ...]:
    """Return one answer for each item of `find`, in the sheet's order; letters stay letters."""
    found = tuple(_answer(figure, outcome, item) for item in figure.structure.find)
    if not figure.structure.letters or solution is None:
        return found
    exact = {answer.item: answer for answer in answers(figure.structure, solution)}
    return tuple(_lettered(figure, answer, exact.get(answer.item)) for answer in found)


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
    variable, sign = figure.variable(item)
    found = outcome.stated.get(variable) or outcome.ledger.values.get(variable)
    unit = sheet.force_unit
    if item.startswith("moment at") or item.endswith(" moment"):
        unit = f"{unit} {sheet.length_unit}"
    written = None if found is None else found.quantity.centre * sign
    status: AnswerStatus = "missing"
    if found is not None:
        value = found.quantity.scaled(sign)
        slack = max(value.radius, found.coarse, three_figures(truth))
        wrong = differs(Quantity(value.centre, slack), truth)
        status = "agrees" if not wrong else "carried" if found.tainted else "differs"
    elif _idle(figure, item, truth):
        status = "agrees"
    said = None if written is None else _tidy(written)
    return Answer(item, _tidy(truth), unit, sense_words(item, truth), said, status)


def _idle(figure: Figure, item: str, truth: float) -> bool:
    """Tell whether an item is a reaction that has nothing to hold, which people leave unsaid."""
    scale = max((abs(value) for value in figure.true.values()), default=1.0) or 1.0
    return item.startswith(("reaction", "pin")) and abs(truth) <= 1e-9 * scale


def _tidy(number: float) -> float:
    rounded = float(f"{number:.6g}")
    return 0.0 if abs(rounded) < 1e-12 else rounded


def sense_words(item: str, value: float) -> str:
    """Return in words which way an item acts: tension, up, anticlockwise and so on."""
    if abs(value) < 1e-12:
        return "zero"
    plus = value > 0
    if item.endswith(" moment") or item.startswith("moment"):
        return "anticlockwise" if plus else "clockwise"
    if item.endswith(" x") or " x on " in item:
        return "right" if plus else "left"
    if item.endswith(" y") or " y on " in item:
        return "up" if plus else "down"
    if item.startswith("reaction "):
        return "along its direction" if plus else "against its direction"
    return "tension" if plus else "compression"
