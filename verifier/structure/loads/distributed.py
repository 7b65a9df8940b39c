"""A force per length along a straight line of the structure, even or linearly varying.

A load over several bodies or members becomes one load for each, all of the same `source`. On a
body it acts where it lies; on a two-force member it is shared between the two joints, as a beam of
that one length would share it, so that the member stays a two-force member.
"""

from dataclasses import dataclass
from fractions import Fraction

from verifier.structure.carriers import Stretch, stretches
from verifier.structure.draft import Draft
from verifier.structure.geometry import Vector, length
from verifier.structure.model import Couple, Force
from verifier.structure.statements import Node, Statement
from verifier.structure.values import Value, value

WORD = "distributed"
EXAMPLE = "distributed A-B 3 down"
_THIRD, _HALF = value(Fraction(1, 3)), value(Fraction(1, 2))


@dataclass(frozen=True)
class _Line:
    """A load from joint `start` at `first_at` to joint `end` at `last_at`.

    `first` and `last` are the intensities as given there; `on_plan` is the horizontal length for
    each length of the line where they are per horizontal length, else 1. `alike` tells that both
    ends press the same way.
    """

    start: str
    end: str
    first: Value
    last: Value
    direction: Vector
    first_at: Vector
    last_at: Vector
    on: str
    label: str
    source: int
    on_plan: Value = value(1)  # noqa: RUF009 - a Value is immutable
    alike: bool = True
    kind: str = WORD

    @property
    def length(self) -> Value:
        """The length of the loaded line, along the line."""
        return length(_minus(self.last_at, self.first_at))


@dataclass(frozen=True)
class Distributed(_Line):
    """A load on one body; where both ends press the same way, there is one resultant."""

    def intensity(self, share: Value) -> Value:
        """Return the intensity per length of the line, `share` (0 to 1) of the way along it."""
        return (self.first + (self.last - self.first) * share) * self.on_plan

    def spread(self) -> tuple[Value, Value, Value, Value, Value, Value]:
        """Return both ends with their intensities per length of the line: x1 y1 w1 x2 y2 w2."""
        first, last = self.intensity(value(0)), self.intensity(value(1))
        return (*self.first_at, first, *self.last_at, last)

    def resultants(self) -> tuple[Force | Couple, ...]:
        """Return the resultant at the centroid, or two where the load changes its sense."""
        return self.part(value(0), value(1))

    def part(self, start: Value, end: Value) -> tuple[Force, ...]:
        """Return the resultant of what lies between two shares (0 to 1) of the way along.

        A trapezium of ends w1, w2 over the length l has the resultant (w1 + w2) l / 2 at
        (w1 + 2 w2) / (3 (w1 + w2)) of l; where w1 + w2 may vanish, its two triangles stand alone.
        """
        w1, w2 = self.intensity(start), self.intensity(end)
        span = self.length * (end - start)
        if self.alike:
            total = w1 + w2
            centre = _HALF if w1 == w2 else (w1 + w2 + w2) / (total * value(3))
            pieces = [(total * span * _HALF, centre)]
        else:
            pieces = [(w1 * span * _HALF, _THIRD), (w2 * span * _HALF, value(1) - _THIRD)]
        return tuple(
            Force(size, self.direction, self._at(start + (end - start) * share), self.on,
                  self.label, self.source)
            for size, share in pieces
        )  # fmt: skip

    def _at(self, share: Value) -> Vector:
        along = _minus(self.last_at, self.first_at)
        return self.first_at[0] + along[0] * share, self.first_at[1] + along[1] * share


@dataclass(frozen=True)
class SharedLoad(_Line):
    """A distributed load on a two-force member, shared between the member's joints."""

    def resultants(self) -> tuple[Force | Couple, ...]:
        """Return the two shares: l (2 w1 + w2) / 6 at the start, l (w1 + 2 w2) / 6 at the end."""
        sixth = self.length * self.on_plan / value(6)
        ends = (
            (self.start, self.first_at, self.first + self.first + self.last),
            (self.end, self.last_at, self.first + self.last + self.last),
        )
        return tuple(
            Force(sixth * weight, self.direction, at, joint,
                  f"the share at {joint} of {self.label}", self.source)
            for joint, at, weight in ends
        )  # fmt: skip


def build(statement: Statement, draft: Draft) -> tuple[Distributed | SharedLoad, ...]:
    """Return the loads of a `distributed` statement, one for each body or member under it."""
    values = [part for part in statement.parts if _is_value(part)]
    pair = statement.parts[0]
    direction = next(part for part in statement.parts if getattr(part, "data", "") == "direction")
    start, end = draft.pair(statement, pair)
    first = draft.value(statement, values[0])
    last = draft.value(statement, values[-1])
    along = draft.direction(statement, direction, start)
    plan = value(1)
    if statement.parts[-1] is not direction:
        plan = _plan(statement, draft, start, end)
    label = f"the {_amount(statement, draft, values)} on {start}-{end}"
    alike = draft.sign(statement, first) * draft.sign(statement, last) >= 0
    built = []
    under = stretches(statement, pair, draft, start, end)
    for one in under:
        told = label if len(under) == 1 else f"the part {one.start}-{one.end} of {label}"
        built.append(_load(one, draft, (first, last), along, plan, told, alike, statement))
    return tuple(built)


def _load(
    stretch: Stretch,
    draft: Draft,
    ends: tuple[Value, Value],
    along: Vector,
    plan: Value,
    label: str,
    alike: bool,
    statement: Statement,
) -> Distributed | SharedLoad:
    whole = ends[1] - ends[0]
    first = ends[0] + whole * stretch.first_share
    last = ends[0] + whole * stretch.last_share
    at = draft.at(stretch.start), draft.at(stretch.end)
    kind = SharedLoad if stretch.member else Distributed
    return kind(
        stretch.start, stretch.end, first, last, along, *at, stretch.on, label,
        statement.number, plan, alike,
    )  # fmt: skip


def _plan(statement: Statement, draft: Draft, start: str, end: str) -> Value:
    line = _minus(draft.at(end), draft.at(start))
    match draft.sign(statement, line[0]):
        case 0:
            problem = f"{start}-{end} has no length on plan"
            raise statement.error(statement.parts[-1], problem, "a line that is not upright")
        case 1:
            return line[0] / length(line)
    return -line[0] / length(line)


def _amount(statement: Statement, draft: Draft, values: list[Node]) -> str:
    unit = f"{draft.force_unit}/{draft.length_unit}"
    if len(values) == 1:
        return draft.amount(statement, values[0], "load", unit)
    first, last = (statement.written(node) for node in values)
    if any(character.isalpha() for character in first + last):
        return f"load {first} to {last}"
    return f"{first} to {last} {unit} load"


def _is_value(part: Node) -> bool:
    kind = getattr(part, "data", getattr(part, "type", ""))
    return kind not in ("pair", "direction", "PLAN")


def _minus(last: Vector, first: Vector) -> Vector:
    return last[0] - first[0], last[1] - first[1]
