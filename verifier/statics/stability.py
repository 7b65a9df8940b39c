"""Whether loads in balance stay so: the work of existing forces on second-order movements.

A member with force N and length L adds N/L · |Δu|² for the difference Δu of its ends' first
displacements; a body that turns by θ adds θ² Σ F·r over all that acts on it (the virial of its
forces, after Clausius, 1870). Positive: the structure returns, as a hung load does. Negative: it
falls over.
"""

from collections.abc import Mapping

from verifier.statics.freebodies import FreeBodies
from verifier.statics.linear import member_lengths
from verifier.statics.motion import Motion


def stiffness(
    bodies: FreeBodies, values: Mapping[str, float], ways: list[Motion]
) -> list[list[float]]:
    """Return the symmetric matrix of second-order work over some movements, dust set to zero."""
    shares = [*_members(bodies, values, ways), *_bodies(bodies, values, ways)]
    matrix = []
    for i in range(len(ways)):
        row = []
        for j in range(len(ways)):
            parts = [weight * one[i][k] * one[j][k] for weight, one in shares for k in (0, 1)]
            total = sum(parts)
            row.append(0.0 if abs(total) <= 1e-9 * sum(map(abs, parts)) else total)
        matrix.append(row)
    return matrix


def unstable(matrix: list[list[float]]) -> int:
    """Return −1 where some movement has negative work, 0 where some has none, else 1."""
    work = [list(row) for row in matrix]
    left = list(range(len(work)))
    verdict = 1
    scale = max((abs(part) for row in work for part in row), default=0.0)
    while left:
        pivot = max(left, key=lambda i: abs(work[i][i]))
        if abs(work[pivot][pivot]) <= 1e-9 * scale:
            coupled = any(abs(work[i][j]) > 1e-9 * scale for i in left for j in left)
            return -1 if coupled else 0
        if work[pivot][pivot] < 0:
            return -1
        left.remove(pivot)
        for i in left:
            factor = work[i][pivot] / work[pivot][pivot]
            for j in left:
                work[i][j] -= factor * work[pivot][j]
    return verdict


def _members(
    bodies: FreeBodies, values: Mapping[str, float], ways: list[Motion]
) -> list[tuple[float, list[tuple[float, float]]]]:
    lengths = member_lengths(bodies.layout)
    shares = []
    for name, (start, end) in bodies.layout.member_ends.items():
        slips = []
        for way in ways:
            one, two = way.points.get(start, (0.0, 0.0)), way.points.get(end, (0.0, 0.0))
            slips.append((two[0] - one[0], two[1] - one[1]))
        shares.append((values[name] / lengths[name], slips))
    return shares


def _bodies(
    bodies: FreeBodies, values: Mapping[str, float], ways: list[Motion]
) -> list[tuple[float, list[tuple[float, float]]]]:
    shares = []
    for name in bodies.bodies:
        origin = bodies.line(name).points[0]
        virial = 0.0
        for action in bodies.body(name).actions:
            size = values[action.item] if action.value is None else action.value
            x, y = action.at[0] - origin[0], action.at[1] - origin[1]
            virial += size * (action.along[0] * x + action.along[1] * y)
        shares.append((virial, [(way.turns.get(name, 0.0), 0.0) for way in ways]))
    return shares
