"""Wrong answers without a fault found: what nothing explains well is explained as it can be."""

from collections.abc import Sequence

from verifier.checking.answers import answers_of
from verifier.checking.choice import Choice
from verifier.checking.concluded import wrong_result
from verifier.checking.figure import Figure
from verifier.checking.rounding import unseen_slip
from verifier.checking.state import Outcome, Slip
from verifier.checking.trial import Trial
from verifier.findings import Answer

_ROUNDED, _OF_LARGEST = 0.03, 0.01
"""How far values rounded before use may move an answer: a share of it, or of the largest force."""


def certain(trial: Trial, choice: Choice, outcome: Outcome) -> Outcome:
    """Return a pass that finds the fault behind a wrong answer, where one has found none.

    A force of a pin is left alone: it may be told on the other body. So is a picture, and a
    working whose values are rounded so early that results move.
    """
    if any(not slip.remark or slip.explanation.kind == "rounding" for slip in outcome.slips):
        return outcome
    if any(one.confidence is not None or one.others for one in trial.written):
        return outcome
    differing = [
        answer
        for answer in answers_of(trial.figure, outcome)
        if answer.status == "differs" and not answer.item.startswith("pin ")
    ]
    far = [answer for answer in differing if _is_far(answer, trial.figure)]
    wrong = [trial.figure.variable(answer.item)[0] for answer in far]
    guessed = {v for key, (v, _) in choice.aliases if " " in key and trial.lines_with(key) < 2}
    wrong = [variable for variable in wrong if variable not in guessed]
    if differing and not wrong:
        return _rounded(trial, outcome, differing)
    if not wrong or any(j.status == "unread" for j in outcome.lines.values()):
        return outcome
    course = trial.course(choice)
    course.blames = True
    again = course.run(trial.written)
    if not any(not slip.remark for slip in again.slips):
        _blame_answer(trial, again, wrong)
    return again


def _is_far(answer: Answer, figure: Figure) -> bool:
    """Tell whether an answer is off by more than values rounded before use may move it."""
    written, value = answer.written, answer.value
    if isinstance(written, float) and isinstance(value, float):
        largest = figure.scale(figure.variable(answer.item)[0])
        return abs(written - value) > max(_ROUNDED * abs(value), _OF_LARGEST * largest)
    return True


def _rounded(trial: Trial, outcome: Outcome, differing: Sequence[Answer]) -> Outcome:
    """Take answers to which every line leads as moved by rounding: a remark, and no fault."""
    if any(j.status in ("unread", "undecided", "carried") for j in outcome.lines.values()):
        return outcome
    for answer in differing:
        variable = trial.figure.variable(answer.item)[0]
        place, found = outcome.places.get(variable), outcome.stated.get(variable)
        if place is not None and found is not None:
            name, truth = outcome.called.get(variable, variable), trial.figure.true[variable]
            outcome.slips.append(unseen_slip(place, name, found.quantity.centre, truth))
            outcome.rounded.add(variable)
    return outcome


def _blame_answer(trial: Trial, outcome: Outcome, wrong: list[str]) -> None:
    """Tell the first wrong answer itself, where no line that leads to it is at fault."""
    texts = {one.line.number: one.line.whole for one in trial.written}
    placed = [(outcome.places[v], v) for v in wrong if v in outcome.places]
    if not placed:
        return
    (line, span), variable = min(placed)
    found = outcome.stated.get(variable) or outcome.ledger.values[variable]
    name = outcome.called.get(variable, variable)
    truth = trial.figure.true[variable]
    written = texts[line][span[0] : span[1]]
    told = wrong_result(
        variable, name, found.quantity, None, truth, (), span, written, trial.figure
    )
    outcome.slips.append(Slip(line, told, "result", "best explanation"))
    outcome.lines[line].worsen("fault")
