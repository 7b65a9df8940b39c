"""Whether a fault behind lines that are open is one whatever those say.

`F = 20 (pushing)` where the rest of the page gives 20 pulling is wrong in itself, though a line
above, which is about other forces, could not be read.
"""

from collections.abc import Collection

from verifier.checking.bearing import blanked, said_of
from verifier.checking.choice import Choice
from verifier.checking.names import key_of
from verifier.checking.state import Outcome
from verifier.checking.trial import Trial
from verifier.checking.written import Written
from verifier.notation.tree import Line, Prose, Relation

_IN_ITSELF = frozenset({"sense", "algebra", "arithmetic", "geometry", "unit"})
"""Kinds that tell of the line's own step; a value put in may come from the line that is open."""

_READ = 0.65  # how likely the line says so


def unrelated(
    trial: Trial, choice: Choice, outcome: Outcome, line: int, left_open: Collection[int]
) -> bool:
    """Tell whether a line read surely has one fault that no open line before it can explain.

    None of their readings has a name of its own, and without them it is at fault the same way.
    """
    said = said_of(outcome, line)
    one = next(other for other in trial.written if other.line.number == line)
    if len(said) != 1 or not {kind for kind, _ in said} <= _IN_ITSELF:
        return False
    before = [other for other in trial.written if other.line.number in {*left_open} - {line}]
    before = [other for other in before if other.line.number < line]
    names = _names(one.line)
    if one.chance() < _READ or not names or any(_tells_of(names, other) for other in before):
        return False
    left = blanked(trial, {other.line.number for other in before}).run(choice)
    return left.lines[line].status == "fault" and said_of(left, line) == said


def _tells_of(names: set[str], one: Written) -> bool:
    """Tell whether a line may be about a name: it has it in a reading, or says no equation."""
    ways = (one.line, *(other for other, _ in one.others))
    words = any(all(isinstance(part, Prose) for part in way.parts) for way in ways)
    return words or any(names & _names(way) for way in ways)


def _names(line: Line) -> set[str]:
    relations = (part for part in line.parts if isinstance(part, Relation))
    return {key_of(name) for relation in relations for name in relation.named}
