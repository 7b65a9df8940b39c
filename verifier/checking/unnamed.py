"""The one answer that a working seems not to give: it may have it wrong, under M, V or H."""

import math
from collections.abc import Iterable, Iterator
from itertools import product

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
_OF_AXIS = {
    "x": ("H", "X", "Rx", "RH", "Rh", "RX"),
    "y": ("V", "Y", "Ry", "RV", "Rv", "RY"),
}


def letter_named(trial: Trial, choice: Choice) -> Choice:
    """Return the choice under which M, V or H is the one reaction that has no answer.

    Only where it then differs from its sum by a slip or two: M may be another moment, unless its
    own line says that it is the sum about that support.
    """
    outcome = trial.run(choice)
    missing = [one.item for one in answers_of(trial.figure, outcome) if one.status == "missing"]
    picture = any(one.confidence is not None for one in trial.written)
    if not missing or picture or any(not slip.remark for slip in outcome.slips):
        return choice
    if len(missing) > 1:
        return _all_lettered(trial, choice, missing)
    (item,) = missing
    variable, _ = trial.figure.variable(item)
    said = item.endswith(_TURNS) and _is_sum_about(trial, item.split()[-2])
    dearest = 2 * _DEAREST if said else _DEAREST
    near: list[Choice] = []
    for key, found in outcome.ledger.locals.items():
        own = key.replace("_", "") in _letters(item)
        if not own or _is_known(trial, key, abs(found.quantity.centre)):
            continue
        named = [called(choice, {key: (variable, sense)}) for sense in (1.0, -1.0)]
        for one in named:
            if all(slip.remark for slip in trial.run(one).slips):
                return one  # it fits its sum, rounding on the way aside
        near += [one for one in named if _is_near(trial.run(one), dearest)]
    return min(near, key=lambda one: trial.price(one, trial.run(one)), default=choice)


def _all_lettered(trial: Trial, choice: Choice, missing: list[str]) -> Choice:
    """Return the choice under which V, H and M are the reactions of the one support there is.

    Only where each has one letter, and all that is then at fault are plain slips.
    """
    supports = trial.figure.structure.supports
    own = trial.run(choice).ledger.locals
    given: list[tuple[str, str]] = []
    for item in missing if len(supports) == 1 else ():
        keys = [key for key in own if key.replace("_", "") in _letters(item)]
        known = any(_is_known(trial, key, abs(own[key].quantity.centre)) for key in keys)
        if len(keys) != 1 or known:
            return choice
        given.append((keys[0], trial.figure.variable(item)[0]))
    best, least = choice, math.inf
    for senses in product((1.0, -1.0), repeat=len(given)) if given else ():
        pairs = zip(given, senses, strict=True)
        other = called(choice, {key: (variable, sense) for (key, variable), sense in pairs})
        told = [s.explanation for s in trial.run(other).slips if not s.remark]
        price = trial.price(other, trial.run(other))
        if price < least and all(e.kind in _KINDS and e.cost <= _DEAREST for e in told):
            best, least = other, price
    return best


def _letters(item: str) -> tuple[str, ...]:
    """Return the single letters under which people give a reaction, or the moment asked for."""
    if item.endswith(_TURNS):
        return (_M,)
    axis = item.rpartition(" ")[2] if item.startswith("reaction ") else ""
    return _OF_AXIS.get(axis, ())


def _is_known(trial: Trial, key: str, size: float) -> bool:
    """Tell whether a size is that of something else of the figure that the letter may be."""
    sizes = (v for name, v in trial.figure.true.items() if key != _M or "moment" in name)
    loads = () if key == _M else (load.value for load in trial.figure.loads)
    return any(same(abs(value), size, _ALIKE) for value in (*sizes, *loads))


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
