"""The one bar without an answer: a letter may be its force where that explains a faulty working."""

import re
from collections.abc import Iterator

from verifier.checking.answers import answers_of
from verifier.checking.choice import Choice, called
from verifier.checking.derived import same
from verifier.checking.trial import Trial

_OF_BARS = re.compile(r"[TSFN]_?\d?")
_MOST_LETTERS = 3
_GAIN = 1.0


def bar_lettered(trial: Trial, choice: Choice) -> Choice:
    """Return the choice under which a letter is the only bar asked for that has no name.

    Asking why lines are at fault is dear, so that the search leaves a letter without a meaning
    where one slip stands in several lines: it costs once when it is told as the same again.
    """
    outcome = trial.run(choice)
    picture = any(one.confidence is not None for one in trial.written)
    if picture or not outcome.cost:
        return choice
    wrong = any(one.status == "differs" for one in answers_of(trial.figure, outcome))
    if not wrong and all(slip.remark for slip in outcome.slips):
        return choice
    named = {*outcome.stated, *outcome.called, *(v for _, (v, _) in choice.aliases)}
    open_ = [item for item in trial.figure.structure.find if "-" in item and item not in named]
    best, least = choice, trial.price(choice, outcome) - _GAIN
    for key in sorted({*_letters(trial, choice)})[:_MOST_LETTERS] if len(open_) == 1 else ():
        for sense in (1.0, -1.0):
            other = called(choice, {key: (open_[0], sense)})
            price = trial.price(other, trial.run(other))
            if price < least:
                best, least = other, price
    return trial.distrusted(best) if best != choice else choice


def _letters(trial: Trial, choice: Choice) -> Iterator[str]:
    """Yield the letters of bars that have no meaning, or a value of their own and no load's."""
    outcome = trial.run(choice)
    loads = [load.value for load in trial.figure.loads]
    for key in sorted(outcome.loose):
        if _OF_BARS.fullmatch(key):
            yield key
    for key, found in outcome.ledger.locals.items():
        size = abs(found.quantity.centre)
        if _OF_BARS.fullmatch(key) and found.line and not any(same(size, v, 1e-6) for v in loads):
            yield key
