"""The equilibrium sums that a line may be about, and whether it says the same."""

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from verifier.checking.figure import Axis, Figure
from verifier.checking.forms import Form
from verifier.checking.ledger import ROUNDINGS, Ledger, round_to
from verifier.checking.quantity import Quantity
from verifier.statics.actions import Action, FreeBody

_NOISE = 1e-9
_LOOSE = 2e-3
_COARSE = 0.06
_AS_IT_IS = ((1.0, 0.0), (-1.0, 0.0))
"""The factors of a line without a force: none to measure it by."""


@dataclass(frozen=True)
class Contribution:
    """What one action adds to one sum: `amount` per unit of its variable, or in all if known."""

    action: Action
    variable: str
    amount: float

    def __hash__(self) -> int:
        """Leave out the action: it is slow to hash, and tells hardly more apart."""
        return hash((self.variable, self.amount))


@dataclass(frozen=True)
class Expected:
    """One equilibrium sum of one free body: Σ amount · variable + Σ known amounts = 0."""

    body: FreeBody
    axis: Axis
    contributions: tuple[Contribution, ...]

    @property
    def where(self) -> str:
        """What reports call it."""
        return f"{self.body.name}, {self.axis.words}"

    @cached_property
    def coefficients(self) -> dict[str, float]:
        """Each variable's coefficient, zeros left out."""
        found: dict[str, float] = {}
        for one in self.contributions:
            if one.variable:
                found[one.variable] = found.get(one.variable, 0.0) + one.amount
        return {name: c for name, c in found.items() if abs(c) > _NOISE * self.scale}

    @cached_property
    def load(self) -> float:
        """The sum of the known contributions."""
        return sum(one.amount for one in self.contributions if not one.variable)

    @cached_property
    def scale(self) -> float:
        """The largest amount: what counts as zero is measured against it."""
        return max((abs(one.amount) for one in self.contributions), default=1.0) or 1.0

    @property
    def moment(self) -> bool:
        """Whether this is a sum of moments."""
        return self.axis.about is not None


@dataclass(frozen=True)
class Fit:
    """A line that says what a sum says.

    `scale` is the common factor; `carried` is true where a value that comes from a fault went in,
    `borrowed` where true values stood in for the working's; `unfound` are the variables whose
    values the working had not shown.
    """

    expected: Expected
    scale: float
    carried: bool
    unfound: tuple[str, ...] = ()
    borrowed: bool = False


class Sums:
    """Makes the sums of one figure, each once."""

    def __init__(self, figure: Figure) -> None:
        self.figure = figure
        self._made: dict[tuple[str, Axis], Expected] = {}

    def sum(self, body: FreeBody, axis: Axis) -> Expected:
        """Return one sum of one free body."""
        key = (body.name, axis)
        if key not in self._made:
            self._made[key] = Expected(body, axis, tuple(self._contributions(body, axis)))
        return self._made[key]

    def _contributions(self, body: FreeBody, axis: Axis) -> Iterator[Contribution]:
        for action in body.actions:
            unit = self.figure.contribution(action, axis)
            if action.value is None:
                variable, sign = self.figure.variable(action.item)
                yield Contribution(action, variable, unit * sign)
            else:
                yield Contribution(action, "", unit * action.value)

    def axes(self, body: FreeBody) -> list[Axis]:
        """Return the sums that people take of a free body: x, y, moments about joints."""
        if body.name.startswith("joint "):
            return self._few
        return [*self._all, *self._at_the_cut(body)] if body.cut else self._all

    def _at_the_cut(self, body: FreeBody) -> list[Axis]:
        """Return the axes along and across an inclined body at its cut."""
        slopes = [
            math.degrees(math.atan2(a.along[1], a.along[0])) % 180
            for a in body.actions
            if a.kind == "cut" and min(map(abs, a.along)) > _NOISE
        ]
        return [self.inclined(round(slope, 9)) for slope in dict.fromkeys(slopes)]

    @cached_property
    def _few(self) -> list[Axis]:
        return [horizontal(), vertical()]

    @cached_property
    def _all(self) -> list[Axis]:
        return self._few + [self.about(joint) for joint in self.figure.points]

    def about(self, joint: str) -> Axis:
        """Return the axis of moments about a joint."""
        return Axis(f"moments about {joint}", about=self.figure.points[joint])

    def inclined(self, degrees: float) -> Axis:
        """Return the axis at an angle from +x, in degrees."""
        turn = math.radians(degrees)
        return Axis(f"sum along {round(degrees, 2):g}°", (math.cos(turn), math.sin(turn)))

    def usual(self) -> list[FreeBody]:
        """Return the free bodies that need no heading: the whole, the bodies, the joints."""
        bodies = [self.figure.bodies.whole()]
        for body in self.figure.structure.bodies:
            bodies.append(self.figure.bodies.body(body.name, with_joints=True))
            bodies.append(self.figure.bodies.body(body.name))
        if len(self.figure.structure.bodies) == 1 and not self.figure.structure.members:
            bodies = bodies[:1]
        bodies = list({body.name: body for body in bodies}.values())
        return bodies + list(self.figure.every_joint.values())


def horizontal() -> Axis:
    """Return the axis of sums along x."""
    return Axis("sum along x", (1.0, 0.0))


def vertical() -> Axis:
    """Return the axis of sums along y."""
    return Axis("sum along y", (0.0, 1.0))


def fit(form: Form, expected: Expected, ledger: Ledger, true: Mapping[str, float]) -> Fit | None:
    """Return how a line says what a sum says, or None where it does not.

    Known forces may stand as numbers with the working's own values, or with the true ones.
    """
    written, wanted = form.present, expected.coefficients
    if not written.keys() <= wanted.keys():
        return None
    for scale, slack in _scales(form, wanted):
        if all(_agrees(q, scale * wanted[n], slack) for n, q in written.items()):
            found = _constant_agrees(form, expected, ledger, true, scale, slack)
            if found is not None:
                return found
    return None


def _agrees(written: Quantity, wanted: float, slack: float) -> bool:
    """Hold a coefficient against what it should be; rounded angles move it by a few thousandths."""
    centre, radius = written
    loose = _LOOSE if radius > 0 else 0.0
    return abs(centre - wanted) <= radius + (slack + loose + _NOISE) * abs(wanted)


def _scales(form: Form, wanted: Mapping[str, float]) -> Sequence[tuple[float, float]]:
    """Return the factors that a line may have a sum with, each with its doubt as a share."""
    if not form.present:
        return _AS_IT_IS
    name = max(form.present, key=lambda n: abs(wanted[n]))
    centre, radius = form.present[name]
    if radius and form.exact:
        return ((form.present[form.exact].centre / wanted[form.exact], 0.0),)
    return ((centre / wanted[name], radius / abs(centre)),)


def _constant_agrees(
    form: Form,
    expected: Expected,
    ledger: Ledger,
    true: Mapping[str, float],
    scale: float,
    slack: float,
) -> Fit | None:
    centre, own_radius = form.constant
    present, values = form.present, ledger.values
    rest = [(n, part) for n, part in expected.coefficients.items() if n not in present]
    noise = _NOISE * max(form.size, abs(scale) * expected.scale)
    known = sum(name in values for name, _ in rest)
    if known and known == len(rest):
        names = [name for name, _ in rest]
        if _fits_rounded(form, expected, names, ledger, scale, own_radius + noise):
            return Fit(expected, scale, any(values[name].tainted for name in names))
    for own in (True, False) if known else (True,):  # without a value found both are the same
        total, radius, carried, unfound = expected.load, 0.0, False, []
        for name, part in rest:
            found, truth = values.get(name) if own else None, true.get(name)
            if found is not None:
                total += part * found.quantity.centre
                radius += abs(part) * found.quantity.radius
                carried = carried or (found.tainted and differs(found.quantity, truth))
            elif truth is None:
                return None
            else:
                total += part * truth
                if abs(truth) > _NOISE and name not in values:
                    unfound.append(name)
        spread = own_radius + abs(scale) * radius + slack * abs(scale * total) + noise
        if abs(centre - scale * total) <= spread:
            return Fit(expected, scale, carried, tuple(unfound), not own)
    return None


def _fits_rounded(
    form: Form,
    expected: Expected,
    rest: list[str],
    ledger: Ledger,
    scale: float,
    spread: float,
) -> bool:
    """Tell whether the values found of `rest` were rounded first, all alike, then worked out.

    A value that stands in the line with all its figures was not; nor was one where every product
    shows its factors and none is that value, nor where every number is a load of the sum.
    """
    constant = form.constant.centre
    values = {name: ledger.values[name].quantity.centre for name in rest}
    parts = {n: expected.coefficients[n] * values[n] for n in rest}
    total = expected.load + sum(parts.values())
    largest = max(map(abs, parts.values()))
    if not spread < abs(constant - scale * total) <= abs(scale) * _COARSE * largest:
        return False
    known = [t for t in form.terms if not t.variable and t.coefficient.centre]
    loads = [abs(scale * one.amount) for one in expected.contributions if not one.variable]
    if known and all(
        any(abs(abs(t.coefficient.centre) - load) <= _NOISE * load for load in loads) for t in known
    ):
        return False
    sizes = [abs(f.quantity.centre) for t in known for f in t.factors]
    worked_out = any(sum(f.power > 0 for f in t.factors) == 1 for t in known)  # over an arm, or not
    shown = {n for n, v in values.items() if any(abs(s - abs(v)) <= _NOISE * s for s in sizes)}
    for figures in ROUNDINGS:
        put_in = (abs(round_to(values[n], figures)) for n in rest if n not in shown)
        if not worked_out and not any(abs(s - v) <= _NOISE * s for v in put_in for s in sizes):
            continue
        rounded = expected.load + sum(
            expected.coefficients[n] * (values[n] if n in shown else round_to(values[n], figures))
            for n in rest
        )
        if abs(constant - scale * rounded) <= spread + abs(scale) * _LOOSE / 4 * largest:
            return True
    return False


def differs(quantity: Quantity, truth: float | None) -> bool:
    """Tell whether a working's value is not the true one, beyond its rounding."""
    centre, radius = quantity
    return truth is None or abs(centre - truth) > radius + 1e-6 * max(abs(centre), abs(truth))
