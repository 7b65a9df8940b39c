"""What of a solution is made only when asked for."""

from collections.abc import Callable, Mapping
from typing import Any

from verifier.statics.freebodies import FreeBodies
from verifier.statics.linear import Outcome
from verifier.statics.solution import Step
from verifier.statics.sums import Sum
from verifier.statics.values import Values
from verifier.statics.wording import number, sense, symbol, unit_of


def exact_of(bodies: FreeBodies, outcome: Outcome) -> Callable[[str], Any]:
    """Return the function that gives an item's exact sympy expression."""
    made: list[Any] = []

    def exact(item: str) -> Any:
        from verifier.statics.exact import ExactSolution

        if not made:
            made.append(ExactSolution(bodies, outcome.rows))
        return made[0].item(item)

    return exact


def steps_of(
    bodies: FreeBodies, values: Values, exact: Callable[[str], Any]
) -> Callable[[], tuple[Step, ...]]:
    """Return the function that gives the equations in the order in which a person takes them."""

    def numeric(one: Sum, known: Mapping[str, float], gives: tuple[str, ...]) -> Step:
        results = tuple(_result(bodies, item, values[item]) for item in gives)
        return Step(one.body.name, one.name, one.text(known), results)

    def steps() -> tuple[Step, ...]:
        from verifier.statics.steps import written_steps

        if not bodies.structure.letters:
            return written_steps(bodies, values, numeric)
        from verifier.statics.lettered import Lettered

        return written_steps(bodies, values, Lettered(bodies, exact).step)

    return steps


def _result(bodies: FreeBodies, item: str, value: float) -> str:
    """Return a result as a person boxes it: `PR = −15.6 kN (C)`."""
    structure = bodies.structure
    text = f"{symbol(item)} = {number(value)}"
    if not value:
        return text
    text += f" {unit_of(structure, item)}"
    way = sense(structure, item, value)
    short = {"tension": "T", "compression": "C"}.get(way, way)
    return f"{text} ({short})" if short else text
