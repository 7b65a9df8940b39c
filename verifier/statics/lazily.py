"""What of a solution is made only when asked for."""

from collections.abc import Callable
from typing import Any

from verifier.statics.freebodies import FreeBodies
from verifier.statics.linear import Outcome
from verifier.statics.solution import Step
from verifier.statics.values import Values


def exact_of(bodies: FreeBodies, outcome: Outcome) -> Callable[[str], Any]:
    """Return the function that gives an item's exact sympy expression."""
    made: list[Any] = []

    def exact(item: str) -> Any:
        from verifier.statics.exact import ExactSolution

        if not made:
            made.append(ExactSolution(bodies, outcome.rows))
        return made[0].item(item)

    return exact


def steps_of(bodies: FreeBodies, values: Values) -> Callable[[], tuple[Step, ...]]:
    """Return the function that gives the equations in the order in which a person takes them."""

    def steps() -> tuple[Step, ...]:
        from verifier.statics.steps import written_steps

        return written_steps(bodies, values)

    return steps
