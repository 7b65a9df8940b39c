"""A picture of a glyph → the strokes of a pen, as polylines along its middle lines."""

import numpy as np
from numpy.typing import NDArray
from skimage.morphology import skeletonize

Stroke = NDArray[np.float32]
_AROUND = [(-1, 0), (0, -1), (0, 1), (1, 0), (-1, -1), (-1, 1), (1, -1), (1, 1)]


def strokes_of(ink: NDArray[np.bool_]) -> list[Stroke]:
    """Return polylines (N, 2) of (x, y) in pixels along the middle of the ink (H, W)."""
    if not ink.any():
        return []
    rows, columns = np.nonzero(skeletonize(np.pad(ink, 2)))
    points = {(int(r), int(c)) for r, c in zip(rows, columns, strict=True)}
    near = {p: _neighbours(p, points) for p in points}
    edges: set[frozenset[tuple[int, int]]] = set()
    found: list[list[tuple[int, int]]] = []
    starts = [p for p in points if len(near[p]) != 2] + sorted(points)
    for start in starts:
        if not near[start]:
            found.append([start])
        for step in near[start]:
            if frozenset((start, step)) not in edges:
                found.append(_follow(start, step, near, edges))
    longest = max((len(f) for f in found), default=0)
    kept = [f for f in found if len(f) > 3 or longest <= 4 or _bridges(f, near)]
    return [_smooth(np.array([(c - 2, r - 2) for r, c in f], np.float32)) for f in kept]


def _bridges(
    path: list[tuple[int, int]], near: dict[tuple[int, int], list[tuple[int, int]]]
) -> bool:
    return len(near[path[0]]) > 1 and len(near[path[-1]]) > 1


def _neighbours(p: tuple[int, int], points: set[tuple[int, int]]) -> list[tuple[int, int]]:
    """Return the neighbours of a pixel, leaving out corners that a straight step reaches too."""
    out = []
    for dr, dc in _AROUND:
        q = (p[0] + dr, p[1] + dc)
        if q not in points:
            continue
        if dr and dc and ((p[0] + dr, p[1]) in points or (p[0], p[1] + dc) in points):
            continue
        out.append(q)
    return out


def _follow(
    start: tuple[int, int],
    step: tuple[int, int],
    near: dict[tuple[int, int], list[tuple[int, int]]],
    edges: set[frozenset[tuple[int, int]]],
) -> list[tuple[int, int]]:
    path = [start]
    here, nxt = start, step
    while True:
        edges.add(frozenset((here, nxt)))
        path.append(nxt)
        if len(near[nxt]) != 2:
            return path
        onward = [q for q in near[nxt] if q != here]
        if not onward or frozenset((nxt, onward[0])) in edges:
            return path
        here, nxt = nxt, onward[0]


def _smooth(stroke: Stroke) -> Stroke:
    if len(stroke) < 4:
        return stroke
    padded = np.concatenate([stroke[:1], stroke, stroke[-1:]])
    soft = (padded[:-2] + 2 * padded[1:-1] + padded[2:]) / 4
    soft[0], soft[-1] = stroke[0], stroke[-1]
    thin = soft[::2]
    return np.concatenate([thin, soft[-1:]]) if (len(soft) - 1) % 2 else thin
