"""Why equilibrium alone does not solve a structure: what can move, or what is more than needed."""

from verifier.statics.elimination import null_space, transposed
from verifier.statics.freebodies import FreeBodies
from verifier.statics.linear import Outcome, pushes_on
from verifier.statics.motion import Motion, describe, motion_of, single
from verifier.statics.precise import enough_digits
from verifier.statics.solution import NoSolution
from verifier.statics.stability import stiffness, unstable

_MANY = 12


def diagnose(bodies: FreeBodies, outcome: Outcome) -> NoSolution | tuple[str, ...]:
    """Return why there is no solution, or notes where the loads are in balance all the same.

    A structure that could move but is not pushed is solved where it hangs (any sway lifts its
    loads) or where it can only drift as a whole; where sway lowers the loads, or costs nothing
    inside the structure, it is a mechanism.
    """
    ways = _motions(bodies, outcome)
    if not outcome.consistent:
        return _mechanism(bodies, outcome, ways)
    if outcome.free:
        return _indeterminate(bodies, outcome, ways)
    assert outcome.values is not None
    weak = unstable(stiffness(bodies, outcome.values, ways))
    if weak < 0:
        return _mechanism(bodies, outcome, ways)
    loose = [way for way in ways if abs(_own(bodies, outcome, way)) == 0]
    drifts = [way for way in loose if _drifts(bodies, way)]
    if len(drifts) < len(loose):
        return _mechanism(bodies, outcome, [way for way in loose if way not in drifts])
    return tuple(f"{describe(bodies, way)}, but these loads do not push it" for way in drifts)


def _own(bodies: FreeBodies, outcome: Outcome, way: Motion) -> float:
    assert outcome.values is not None
    return stiffness(bodies, outcome.values, [way])[0][0]


def _motions(bodies: FreeBodies, outcome: Outcome) -> list[Motion]:
    """Return the independent movements that nothing prevents, driven ways first."""
    if not outcome.idle or outcome.numbers is None:
        return []
    system = outcome.system
    with enough_digits(outcome.numbers):
        vectors = null_space(
            transposed(system.rows, len(system.items)), len(system.rows), outcome.numbers.dust
        )
        plain = [{key: float(part) for key, part in vector.items()} for vector in vectors]
    pushes = pushes_on(bodies.layout, system)
    ways = []
    for vector in plain:
        work = sum(part * pushes.get(system.keys[key], 0.0) for key, part in vector.items())
        scale = sum(abs(part * pushes.get(system.keys[key], 0.0)) for key, part in vector.items())
        work = 0.0 if abs(work) <= 1e-9 * scale else work
        named = {system.keys[key]: part for key, part in vector.items()}
        ways.append(motion_of(bodies, system, named, work))
    return sorted(ways, key=lambda way: (not way.work, len(way.points)))


def _drifts(bodies: FreeBodies, way: Motion) -> bool:
    """Return whether everything that hangs together moves as one."""
    if single(way) is None:
        return False
    moving = way.parts
    return any(moving == group for group in bodies.fragments(frozenset()))


def _mechanism(bodies: FreeBodies, outcome: Outcome, ways: list[Motion]) -> NoSolution:
    detail = describe(bodies, ways[0])
    if len(ways) > 1:
        detail += f"; {len(ways)} independent movements in all"
    return NoSolution("mechanism", detail, len(ways))


def _indeterminate(bodies: FreeBodies, outcome: Outcome, ways: list[Motion]) -> NoSolution:
    assert outcome.numbers is not None
    system = outcome.system
    width = len(system.items)
    with enough_digits(outcome.numbers):
        vectors = null_space(system.copied(), width, outcome.numbers.dust)
    kinds = {touch.item: touch.kind for touch in bodies.layout.touches}
    rank = {"member": 0, "reaction": 1, "fixing": 2, "pin": 3}
    involved = sorted(
        {column for vector in vectors for column in vector},
        key=lambda column: (rank[kinds[system.items[column]]], column),
    )
    removable = [c for c in involved if kinds[system.items[c]] != "pin"] or involved
    names = tuple(system.items[column] for column in removable)
    degree = len(vectors)
    latest = sorted(removable, key=lambda c: (rank[kinds[system.items[c]]], -c))
    some = sorted(_removable_set([dict(vector) for vector in vectors], latest))
    detail = f"to degree {degree}: " + _taken_away(names, [system.items[c] for c in some])
    if ways:
        detail += f"; besides, {describe(bodies, ways[0])}"
    return NoSolution("indeterminate", detail, degree, names)


def _taken_away(names: tuple[str, ...], some: list[str]) -> str:
    if len(some) == 1:
        listed = ", ".join(names[:_MANY]) + (", …" if len(names) > _MANY else "")
        return f"any one of {listed} could be taken away"
    return f"{', '.join(some[:-1])} and {some[-1]}, for example, could be taken away together"


def _removable_set(vectors: list[dict[int, object]], columns: list[int]) -> list[int]:
    """Return columns that can all go at once: rows of the null space that are independent."""
    chosen: list[int] = []
    rest = [{key: float(part) for key, part in vector.items()} for vector in vectors]  # type: ignore[arg-type]
    for column in columns:
        pivot = max(rest, key=lambda vector: abs(vector.get(column, 0.0)), default=None)
        if pivot is None or abs(pivot.get(column, 0.0)) < 1e-9:
            continue
        chosen.append(column)
        rest = [vector for vector in rest if vector is not pivot]
        for vector in rest:
            factor = vector.get(column, 0.0) / pivot[column]
            for key, part in pivot.items():
                vector[key] = vector.get(key, 0.0) - factor * part
    return chosen
