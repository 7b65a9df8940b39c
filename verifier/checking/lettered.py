"""The one bar without an answer: a letter may be its force where that explains a faulty working."""

import re
from collections.abc import Iterator

from verifier.checking.answers import answers_of
from verifier.checking.choice import Choice, called
from verifier.checking.derived import same
from verifier.checking.names import key_of
from verifier.checking.state import Outcome
from verifier.checking.trial import Trial
from verifier.notation.tree import Name, Relation

_OF_BARS = re.compile(r"[TSFN]_?\d?")
_MOST_LETTERS = 3
_GAIN = 1.0
_LABELS = {"tension": 1.0, "compression": -1.0}


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


def against_its_label(trial: Trial, choice: Choice) -> Choice:
    """Return the choice under which a letter is a bar whose size it has and whose sense it lacks.

    `T = 2700/2.12 = 1273 N, in compression` is no number of the writer's own where one bar asked
    for is in tension by as much.
    """
    outcome = trial.run(choice)
    if any(not slip.remark for slip in outcome.slips):
        return choice
    true = trial.figure.true
    open_ = [i for i in trial.figure.structure.find if "-" in i and i not in outcome.stated]
    for key, value, sense in _labelled(trial, outcome):
        fits = [i for i, v in true.items() if "-" in i and same(abs(v), value, 5e-3)]
        if len(fits) != 1 or fits[0] not in open_ or true[fits[0]] * sense > 0:
            continue
        other = called(choice, {key: (fits[0], 1.0)})
        told = [slip.explanation.kind for slip in trial.run(other).slips if not slip.remark]
        if told and set(told) == {"sense"}:
            return other
    return choice


def _labelled(trial: Trial, outcome: Outcome) -> Iterator[tuple[str, float, float]]:
    """Yield own letters told with their value as pulling or pushing: key, size, sense."""
    for one in trial.written:
        for part in one.line.parts:
            if not isinstance(part, Relation) or not isinstance(part.sides[0], Name):
                continue
            key, marks = key_of(part.sides[0]), part.marks[-1] if part.marks else ()
            found = outcome.ledger.locals.get(key)
            senses = {_LABELS[mark.meaning] for mark in marks if mark.meaning in _LABELS}
            if found is not None and found.quantity.centre > 0 and len(senses) == 1:
                yield key, found.quantity.centre, senses.pop()


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
