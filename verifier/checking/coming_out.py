"""What a line comes to tells how it was written: `T = (1232 + 580)/cos α = 2420`, no `T − …`.

Where a line by hand is bad, and another of its readings works out to three figures as the first
does not, the reader made the difference: numbers seldom come out by chance, and a writer's slips
in reckoning seldom come right by misreading. What equilibrium wants is not asked, so a line may
well be at fault as it comes out.
"""

from dataclasses import replace

from verifier.checking.bearing import BAD, burden, says_less
from verifier.checking.choice import Choice
from verifier.checking.habits import needed
from verifier.checking.reckoned import comes_out, values_told
from verifier.checking.state import Outcome
from verifier.checking.trial import Trial
from verifier.checking.written import Written
from verifier.notation.tree import Line


def as_it_comes_out(
    trial: Trial, choice: Choice, outcome: Outcome
) -> tuple[Trial, Choice, Outcome]:
    """Return the pass with bad lines read as they come out, where that costs no more."""
    values = values_told([one.line for one in trial.written])
    changed = [
        _coming_out(trial, one, values)
        if one.by_hand and outcome.lines[one.line.number].status in BAD
        else one
        for one in trial.written
    ]
    if all(one is other for one, other in zip(changed, trial.written, strict=True)):
        return trial, choice, outcome
    second = trial.like(changed)
    anew = second.rough()
    if burden(second.skim(choice)) <= burden(second.skim(anew)):
        anew = choice
    if burden(second.skim(anew)) > burden(trial.skim(choice)):
        return trial, choice, outcome
    return second, anew, second.run(anew)


def _coming_out(trial: Trial, one: Written, values: dict[str, float]) -> Written:
    if one.line.above or comes_out(one.line, values):
        return one
    ways = [
        (chance, other)
        for other, chance in one.others
        if chance >= needed(one.line, other) * one.chance()
        and comes_out(other, values)
        and not says_less(trial, one, other)
    ]
    line: Line | None = max(ways, key=lambda way: way[0])[1] if ways else None
    return replace(one, line=line) if line is not None else one
