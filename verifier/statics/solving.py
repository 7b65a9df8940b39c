"""The independent solution of a structure, or the reason why equilibrium alone gives none."""

from verifier.statics.answers import wanted
from verifier.statics.freebodies import FreeBodies
from verifier.statics.linear import Outcome, solve_equations
from verifier.statics.solution import NoSolution, Solution
from verifier.statics.values import UnclearCut, Values, cut_of
from verifier.structure.model import Structure

_STRAINED = 1e5


def solve(structure: Structure, bodies: FreeBodies | None = None) -> Solution | NoSolution:
    """Return every reaction, member force and pin force of a structure in equilibrium.

    Floats at once, exact expressions and written steps on demand. `bodies` may hand in free
    bodies already made. Falsy where equilibrium has no single answer: see `NoSolution`.
    """
    bodies = bodies or FreeBodies(structure)
    refused = _refused(bodies)
    if refused is not None:
        return refused
    outcome = solve_equations(bodies.layout, bodies.size)
    if outcome.values is None or outcome.idle:
        from verifier.statics.diagnosis import diagnose

        verdict = diagnose(bodies, outcome)
        if isinstance(verdict, NoSolution):
            return verdict
        return _solution(bodies, outcome, verdict)
    return _solution(bodies, outcome, ())


def _refused(bodies: FreeBodies) -> NoSolution | None:
    layout = bodies.layout
    for touch in layout.touches:
        if touch.kind == "fixing" and len(layout.on_bodies.get(touch.joint, ())) > 1:
            held = " and ".join(layout.on_bodies[touch.joint])
            return NoSolution(
                "not solved",
                f"the fixed support at {touch.joint} holds more than one body ({held}): "
                "a fixing moment needs a single body to act on",
            )
    for known in layout.knowns:
        if known.part not in layout.parts:
            return NoSolution("not solved", f"{known.given.label} acts on nothing")
    for item in wanted(bodies.structure):
        try:
            cut_of(bodies, item)
        except UnclearCut as why:
            return NoSolution(
                "not solved",
                f"where {', '.join(why.joints)} hangs on body {why.body} is not clear, and {item} "
                "depends on it: list it beside the joint that it stands on",
            )
        except KeyError:
            continue
    return None


def _solution(bodies: FreeBodies, outcome: Outcome, notes: tuple[str, ...]) -> Solution:
    from verifier.statics.lazily import exact_of, steps_of

    values = Values(bodies, outcome.values or {})
    exact = exact_of(bodies, outcome)
    said = (*notes, *_slack(bodies, values), *_strained(bodies, values))
    return Solution(values, exact, steps_of(bodies, values, exact), said)


def _strained(bodies: FreeBodies, values: Values) -> tuple[str, ...]:
    """Return a caution where forces are out of all proportion to the loads."""
    loads = sum(
        abs(action.value or 0.0) for action in bodies.whole().actions if action.kind == "load"
    )
    turning = {touch.item for touch in bodies.layout.touches if touch.axis == "turn"}
    item = max((i for i in values if i not in turning), key=lambda i: abs(values[i]), default="")
    if not loads or not item or abs(values[item]) < _STRAINED * loads:
        return ()
    times = abs(values[item]) / loads
    return (f"{item} is {times:.0e} times the loads: the figure is within a hair of a mechanism",)


def _slack(bodies: FreeBodies, values: Values) -> tuple[str, ...]:
    largest = max((abs(value) for value in values.values()), default=0.0)
    return tuple(
        f"cable {member.name} would have to push"
        for member in bodies.structure.members
        if member.cable and values[member.name] < -1e-9 * largest
    )
