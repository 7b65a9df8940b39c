"""The one moment asked for that a working seems not to give: it may have it wrong, under M."""

from verifier.checking.answers import answers_of
from verifier.checking.choice import Choice, called
from verifier.checking.derived import same
from verifier.checking.state import Outcome
from verifier.checking.trial import Trial

_M = "M"
_TURNS = " moment"
_KINDS = frozenset(
    {"sign", "lever-arm", "magnitude", "component", "angle", "arithmetic", "algebra"}
)
_SLIPS, _DEAREST = 2, 1.4
_ALIKE = 0.01


def moment_named(trial: Trial, choice: Choice) -> Choice:
    """Return the choice under which M is the fixing moment, where that alone has no answer.

    Only where it then differs from the sum of moments by a slip or two: M may be another moment.
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
    near = [one for one in named if _is_near(trial.run(one))]
    return min(near, key=lambda one: trial.price(one, trial.run(one)), default=choice)


def _is_near(outcome: Outcome) -> bool:
    """Tell whether a pass finds one line at fault, by a slip or two that are plain ones."""
    told = [slip for slip in outcome.slips if not slip.remark]
    plain = all(
        slip.explanation.kind in _KINDS and slip.explanation.cost <= _DEAREST for slip in told
    )
    return 0 < len(told) <= _SLIPS and plain and len({slip.line for slip in told}) == 1
