"""The one moment asked for that a working seems not to give: it may have it wrong, under M."""

from collections.abc import Iterable, Iterator

from verifier.checking.answers import answers_of
from verifier.checking.choice import Choice, called
from verifier.checking.derived import bare_unit, same
from verifier.checking.faults import Explanation
from verifier.checking.names import key_of
from verifier.checking.state import Outcome, Slip
from verifier.checking.trial import Trial
from verifier.notation.tree import Line, Name, Part, Relation, SumLabel

_M = "M"
_TURNS = " moment"
_KINDS = frozenset(
    {"sign", "lever-arm", "magnitude", "component", "angle", "arithmetic", "algebra"}
)
_SLIPS, _DEAREST = 2, 1.4
_ALIKE = 0.01


def moment_named(trial: Trial, choice: Choice) -> Choice:
    """Return the choice under which M is the fixing moment, where that alone has no answer.

    Only where it then differs from the sum of moments by a slip or two: M may be another moment,
    unless its own line says that it is the sum about that support.
    """
    outcome = trial.run(choice)
    missing = [one.item for one in answers_of(trial.figure, outcome) if one.status == "missing"]
    found = outcome.ledger.locals.get(_M)
    picture = any(one.confidence is not None for one in trial.written)
    if len(missing) != 1 or not missing[0].endswith(_TURNS) or found is None or picture:
        return choice
    moments = [v for name, v in trial.figure.true.items() if "moment" in name]
    known = any(same(abs(v), abs(found.quantity.centre), _ALIKE) for v in moments)
    if known or any(not slip.remark for slip in outcome.slips):
        return choice
    variable, _ = trial.figure.variable(missing[0])
    named = [called(choice, {_M: (variable, sense)}) for sense in (1.0, -1.0)]
    said = _is_sum_about(trial, missing[0].split()[-2])
    near = [one for one in named if _is_near(trial.run(one), 2 * _DEAREST if said else _DEAREST)]
    return min(near, key=lambda one: trial.price(one, trial.run(one)), default=choice)


def _is_sum_about(trial: Trial, joint: str) -> bool:
    """Tell whether M's line, or its chain's next, is labelled as moments about a joint."""
    lines = [one.line for one in trial.written]
    return any(
        any(_gives_m(part) for part in line.parts) and _turns_about(joint, (line, *below[:1]))
        for line, below in ((line, lines[place + 1 :]) for place, line in enumerate(lines))
    )


def _gives_m(part: Part) -> bool:
    first = part.sides[0] if isinstance(part, Relation) else None
    return isinstance(first, Name) and key_of(first) == _M


def _turns_about(joint: str, lines: Iterable[Line]) -> bool:
    labels = [part for line in lines for part in line.parts if isinstance(part, SumLabel)]
    return any(label.axis == "moment" and label.about == joint for label in labels)


def _is_near(outcome: Outcome, dearest: float) -> bool:
    """Tell whether a pass finds one line at fault, by a slip or two that are plain ones."""
    told = [slip for slip in outcome.slips if not slip.remark]
    plain = all(
        slip.explanation.kind in _KINDS and slip.explanation.cost <= dearest for slip in told
    )
    return 0 < len(told) <= _SLIPS and plain and len({slip.line for slip in told}) == 1


def wrong_units(trial: Trial, outcome: Outcome) -> Iterator[Slip]:
    """Yield moments asked for that are told under an M of the writer's own in a unit of force."""
    sheet = trial.figure.structure
    moments = [item for item in sheet.find if "moment" in item]
    asked = [trial.figure.true.get(item, 0.0) for item in moments]
    for key, found in outcome.ledger.locals.items():
        size = abs(found.quantity.centre)
        moment = any(value and same(size, abs(value), 5e-3) for value in asked)
        if key[:1] != _M or found.kind != "force" or not moment:
            continue
        for one in trial.written:
            for part in one.line.parts if one.line.number == found.line else ():
                first = part.sides[0] if isinstance(part, Relation) else None
                unit = bare_unit(part.sides[-1]) if isinstance(part, Relation) else None
                if isinstance(first, Name) and key_of(first) == key and unit is not None:
                    message = (
                        f"{first.text} is a moment, a force times a length; {unit.text} is no unit "
                        "of that."
                    )
                    wanted = f"{sheet.force_unit} {sheet.length_unit}"
                    told = Explanation("unit", unit.span, wanted, message, 1.0, key=f"unit {key}")
                    yield Slip(found.line, told, "result")
