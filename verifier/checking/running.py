"""Inner forces that a working gives along a stretch: `M(x) = 6.2x − 1.5x²`, `V(x) = 6.2 − 3x`.

What is written is held against the body cut at several places: as a polynomial in x, from either
end or any joint, under the loads of either piece. It is at fault only where all else in it is
right but for one term.
"""

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

from verifier.checking.faults import Explanation
from verifier.checking.faults.sign import signed_span
from verifier.checking.figure import Figure
from verifier.checking.forms import NotLinear
from verifier.notation.tree import Add, Expr, Neg, Span
from verifier.statics.actions import Action, FreeBody

Poly = tuple[float, ...]
_DEGREE = 3
_NEAR = 0.01
_ROUNDED = 0.03
_HOGGING = 0.15
_NODES = (0.1, 0.35, 0.65, 0.9)
_HALF_FOR_WHOLE, _HALF_FOR_THIRD = 2.0, 1.5
_MOST_BODIES = 6


@dataclass(frozen=True)
class Stretch:
    """One way to measure x on one stretch: what each action adds there, its ends in x."""

    where: str
    parts: tuple[tuple[str, Poly], ...]
    reach: tuple[float, float]
    right: Poly
    ends: tuple[tuple[str, float], ...]

    @property
    def whole(self) -> Poly:
        """What the parts come to with the working's own values; `right` has the true ones."""
        return _sum([part for _, part in self.parts])


@dataclass(frozen=True)
class Written:
    """A written function: its terms in x, each with its place and sign."""

    terms: tuple[tuple[Span, Poly], ...]

    @property
    def whole(self) -> Poly:
        """What the terms come to."""
        return _sum([poly for _, poly in self.terms])


@dataclass(frozen=True)
class Run:
    """A function that the working has wrong: values taken from it only follow."""

    kind: str
    poly: Poly
    stretch: Stretch

    def gives(self, variable: str, value: float) -> bool:
        """Tell whether an inner force's value is what the function has there."""
        kind, _, place = variable.partition(" at ")
        joint = place.partition(",")[0]
        here = [x for name, x in self.stretch.ends if name == joint]
        size = _size_of(self.poly, self.stretch.reach)
        gaps = (abs(abs(_at(self.poly, x)) - abs(value)) for x in here)
        return kind == self.kind and any(gap <= _NEAR / 2 * size for gap in gaps)


@dataclass(frozen=True)
class Told:
    """What is found of a function: the stretch it is about, and what is at fault in it."""

    stretch: Stretch
    sign: float
    carried: bool = False
    fault: Explanation | None = None


def written_of(side: Expr, value: Callable[[Expr, float], float]) -> Written | None:
    """Return a side as terms in x, None where it is no polynomial; `value` takes a side at an x."""
    rows = []
    parts = side.terms if isinstance(side, Add) else ((1, side),)
    for sign, expr in parts:
        sign, expr = (-sign, expr.inner) if isinstance(expr, Neg) else (sign, expr)
        try:
            values = [sign * value(expr, x) for x in (1.0, 2.0, 3.0, 4.0, 5.0)]
        except NotLinear:
            return None
        poly = _through((1.0, 2.0, 3.0, 4.0), values[:4])
        if abs(_at(poly, 5.0) - values[4]) > 1e-6 * max(map(abs, values), default=1.0):
            return None
        rows.append((expr.span, poly))
    return Written(tuple(rows))


def stretches_of(
    figure: Figure, kind: str, value: Callable[[str], float | None]
) -> Iterator[Stretch]:
    """Yield every way to measure x; `value` gives what the working has for a force, if anything."""
    for body in figure.structure.bodies[:_MOST_BODIES]:
        for line in figure.bodies.lines(body.name):
            places = list(zip(line.joints, line.points, line.distances, strict=True))
            for (one, p, s), (two, q, t) in pairwise(places):
                if t - s < 1e-9:
                    continue
                tangent = ((q[0] - p[0]) / (t - s), (q[1] - p[1]) / (t - s))
                nodes = [s + share * (t - s) for share in _NODES]
                for before in (True, False):
                    pieces = [
                        figure.bodies.through_body(
                            body.name,
                            (p[0] + (n - s) * tangent[0], p[1] + (n - s) * tangent[1]),
                            "before" if before else "after",
                            with_joints=True,
                        )
                        for n in nodes
                    ]
                    own = _parts(figure, kind, pieces, nodes, tangent, (p, s), before, value)
                    true = _parts(figure, kind, pieces, nodes, tangent, (p, s), before, None)
                    if own is None or true is None:
                        continue
                    right = _sum([part for _, part in true])
                    where = f"{body.name}, between {one} and {two}"
                    for origin in dict.fromkeys(d for _, _, d in places):
                        for way in (1.0, -1.0):
                            ends = sorted(((s - origin) * way, (t - origin) * way))
                            if ends[0] < -1e-9:
                                continue
                            moved = [(label, _moved(part, origin, way)) for label, part in own]
                            yield Stretch(
                                where,
                                tuple(moved),
                                (ends[0], ends[1]),
                                _moved(right, origin, way),
                                tuple((j, (d - origin) * way) for j, _, d in places),
                            )


def _parts(
    figure: Figure,
    kind: str,
    pieces: Sequence[FreeBody],
    nodes: Sequence[float],
    tangent: tuple[float, float],
    start: tuple[tuple[float, float], float],
    before: bool,
    value: Callable[[str], float | None] | None,
) -> list[tuple[str, Poly]] | None:
    """Return what each action on a piece adds to an inner force, as polynomials in the distance."""
    found: dict[str, list[float]] = {}
    (x, y), s = start
    for index, (piece, node) in enumerate(zip(pieces, nodes, strict=True)):
        at = (x + (node - s) * tangent[0], y + (node - s) * tangent[1])
        for action in piece.actions:
            if action.kind == "cut" and action.item.startswith(("axial", "shear", "moment")):
                continue
            size = _size(figure, action, value)
            if size is None:
                return None
            adds = size * _share(action, kind, tangent, at) * (1.0 if before else -1.0)
            found.setdefault(action.label or action.item, [0.0] * len(nodes))[index] += adds
    return [(label, _through(nodes, values)) for label, values in found.items() if any(values)]


def _size(
    figure: Figure, action: Action, value: Callable[[str], float | None] | None
) -> float | None:
    if action.value is not None:
        return action.value
    variable, sign = figure.variable(action.item)
    own = value(variable) if value is not None else None
    size = own if own is not None else figure.true.get(variable)
    return None if size is None else sign * size


def _share(
    action: Action, kind: str, tangent: tuple[float, float], at: tuple[float, float]
) -> float:
    """Return what one unit of an action on the piece before a cut adds to the inner force there."""
    if kind == "moment":
        return -action.moment(at)
    if kind == "shear":
        return action.component((-tangent[1], tangent[0]))
    return -action.component(tangent)


def judged(written: Written, stretches: Sequence[Stretch], text: str, letter: str) -> Told | None:
    """Return what a function is, the likeliest stretch first; None where nothing comes near."""
    for stretch in stretches:
        for sign in (1.0, -1.0):
            if _same(written.whole, _scaled(stretch.right, sign), stretch.reach):
                return Told(stretch, sign)
    for stretch in stretches:
        for sign in (1.0, -1.0):
            if _same(written.whole, _scaled(stretch.whole, sign), stretch.reach):
                return Told(stretch, sign, carried=True)
    faults = [
        told
        for stretch in stretches
        for sign in (1.0, -1.0)
        if (told := _odd(written, stretch, sign, text, letter)) is not None
    ]
    return min(faults, key=_price, default=None)


def _price(told: Told) -> float:
    """Return how far-fetched an account is: most people have a moment positive where it sags."""
    return (told.fault.cost if told.fault else 0.0) + _HOGGING * (told.sign < 0)


def _odd(written: Written, stretch: Stretch, sign: float, text: str, letter: str) -> Told | None:
    """Return the one term that is at odds where all others are what an action adds."""
    left = [(label, _scaled(part, sign)) for label, part in stretch.parts]
    left = [one for one in left if _size_of(one[1], stretch.reach) > 1e-9]
    odd: list[tuple[Span, Poly]] = []
    struck = 0
    for span, poly in written.terms:
        fits = [one for one in left if _same(poly, one[1], stretch.reach)]
        if fits:
            left.remove(fits[0])
            struck += 1
        else:
            odd.append((span, poly))
    if not struck or len(odd) > 1 or len(left) > 1 or not (odd or left):
        return None
    fault = _explained(written, odd, left, stretch, text, letter)
    return None if fault is None else Told(stretch, sign, fault=fault)


def _explained(
    written: Written,
    odd: list[tuple[Span, Poly]],
    left: list[tuple[str, Poly]],
    stretch: Stretch,
    text: str,
    letter: str,
) -> Explanation | None:
    if not odd:
        ((label, part),) = left
        spans = [span for span, _ in written.terms]
        span = (min(a for a, _ in spans), max(b for _, b in spans))
        return Explanation(
            "missing-force",
            span,
            _in_words(part, letter),
            f"{label} acts on the piece that is cut off ({stretch.where}), but no term stands for "
            "it.",
            1.5,
            key=f"running missing {label}",
        )
    ((span, poly),) = odd
    if not left:
        return Explanation(
            "extra-force",
            span,
            "no such term",
            f"Nothing that acts on the piece that is cut off ({stretch.where}) accounts for this "
            "term.",
            1.7,
            key=f"running extra {text[slice(*span)]}",
        )
    ((label, part),) = left
    first = span == written.terms[0][0]
    if _same(poly, _scaled(part, -1.0), stretch.reach):
        place = signed_span(text, span)
        sign = "−" if text[place[0] : place[0] + 1] == "+" or place == span else "+"
        return Explanation(
            "sign",
            place,
            f"{sign} {text[slice(*span)]}",
            f"{label} counts against the terms beside it, so this term takes {sign}.",
            1.0 + 0.1 * first,
            key=f"running sign {label}",
        )
    ratio = _ratio(poly, part, stretch.reach)
    top = max((k for k, c in enumerate(part) if abs(c) > 1e-9), default=0)
    shifted = _shift(poly, part, stretch.reach)
    spread = top > 1
    if (spread and ratio in (_HALF_FOR_WHOLE, _HALF_FOR_THIRD)) or shifted:
        return Explanation(
            "lever-arm",
            span,
            _in_words(part, letter).lstrip("−"),
            f"{label} adds {_in_words(part, letter)} here: its arm is measured from its line to "
            "the cut.",
            1.1,
            key=f"running arm {label}",
        )
    if ratio is None or abs(ratio - 1) < _ROUNDED or _begun_elsewhere(written, stretch):
        return None
    return Explanation(
        "magnitude",
        span,
        _in_words(part, letter).lstrip("−"),
        f"{label} adds {_in_words(part, letter)} here.",
        1.4 + 0.1 * first,
        key=f"running size {label}",
    )


def _begun_elsewhere(written: Written, stretch: Stretch) -> bool:
    """Tell whether a shear force is right with x from some place that is no joint: 10 − 4x."""
    whole, own = written.whole, stretch.whole
    linear = max(map(abs, whole[2:])) <= 1e-9 * max(map(abs, whole), default=0.0)
    ends = [abs(_at(own, x)) for x in stretch.reach]
    return linear and bool(whole[1]) and min(ends) <= abs(whole[0]) <= max(ends)


def _ratio(poly: Poly, part: Poly, reach: tuple[float, float]) -> float | None:
    """Return how many times what it should be a term is, None where it is no multiple."""
    top = max(range(len(part)), key=lambda k: abs(part[k]) * reach[1] ** k)
    ratio = poly[top] / part[top]
    near = next((r for r in (_HALF_FOR_WHOLE, _HALF_FOR_THIRD) if abs(ratio - r) < _NEAR), ratio)
    return near if ratio > 0 and _same(poly, _scaled(part, ratio), reach) else None


def _shift(poly: Poly, part: Poly, reach: tuple[float, float]) -> bool:
    """Tell whether a point force is right but for where it acts: 6(x − 4) for 6(x − 5)."""
    linear = all(abs(c) * reach[1] ** k < 1e-9 for k, c in enumerate(part) if k > 1)
    same = abs(poly[1] - part[1]) <= _NEAR * abs(part[1]) and abs(poly[0] - part[0]) > 1e-9
    high = all(abs(c) < 1e-9 for c in poly[2:])
    return linear and high and same and abs(part[1]) > 1e-9


def _in_words(poly: Poly, letter: str) -> str:
    """Return a polynomial as people write it, highest power last."""
    raised = {0: "", 1: letter, 2: f"{letter}²", 3: f"{letter}³"}
    size = max((abs(c) for c in poly), default=0.0)
    if poly[0] * poly[1] < 0 and max(map(abs, poly[2:])) <= 1e-7 * size:
        lead = "−" if poly[1] < 0 else ""
        return f"{lead}{abs(poly[1]):.4g}({letter} − {-poly[0] / poly[1]:.4g})"
    said = ""
    for power, c in enumerate(poly):
        if abs(c) <= 1e-7 * size:
            continue
        number = f"{abs(c):.4g}"
        lead = "" if number == "1" and power else number
        sign = ("− " if c < 0 else "+ ") if said else ("−" if c < 0 else "")
        said += (" " if said else "") + sign + lead + raised[power]
    return said or "0"


def _sum(polys: Sequence[Poly]) -> Poly:
    return tuple(math.fsum(p[k] for p in polys) for k in range(_DEGREE + 1))


def _scaled(poly: Poly, factor: float) -> Poly:
    return tuple(c * factor for c in poly)


def _at(poly: Poly, x: float) -> float:
    return sum(c * x**k for k, c in enumerate(poly))


def _size_of(poly: Poly, reach: tuple[float, float]) -> float:
    return max(abs(c) * reach[1] ** k for k, c in enumerate(poly))


def _same(one: Poly, other: Poly, reach: tuple[float, float]) -> bool:
    slack = _NEAR * max(_size_of(one, reach), _size_of(other, reach))
    return all(
        abs(a - b) * reach[1] ** k <= slack for k, (a, b) in enumerate(zip(one, other, strict=True))
    )


def _moved(poly: Poly, origin: float, way: float) -> Poly:
    """Return a polynomial in the distance s as one in x, where s = origin + way · x."""
    out = [0.0] * (_DEGREE + 1)
    for power, c in enumerate(poly):
        for k in range(power + 1):
            out[k] += c * math.comb(power, k) * origin ** (power - k) * way**k
    return tuple(out)


def _through(xs: Sequence[float], ys: Sequence[float]) -> Poly:
    """Return the polynomial of the third degree through four points."""
    out = [0.0] * (_DEGREE + 1)
    for i, (xi, yi) in enumerate(zip(xs, ys, strict=True)):
        basis = [1.0]
        for j, xj in enumerate(xs):
            if i != j:
                below = xi - xj
                longer = [0.0] * (len(basis) + 1)
                for k, c in enumerate(basis):
                    longer[k] -= c * xj / below
                    longer[k + 1] += c / below
                basis = longer
        for k, c in enumerate(basis):
            out[k] += yi * c
    size = max(map(abs, out), default=0.0)
    return tuple(0.0 if abs(c) < 1e-11 * size else c for c in out)
