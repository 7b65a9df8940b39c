"""What every plant asks of a figure and a plan, and the form in which a plant is handed on."""

from __future__ import annotations

import math
import random
from collections.abc import Callable
from dataclasses import dataclass, field

from .hand import Slip
from .plan import Step, Term
from .problem import Problem, Slope
from .style import Style
from .write import Writer

Dice = random.Random


@dataclass
class Plant:
    """A faulty plan or slip, and which marks in the page say where it lies."""

    kind: str
    steps: list[Step]
    step: int
    mark: str = "fault"
    wider: tuple[str, ...] = ()
    slip: Slip = field(default_factory=Slip)
    also: tuple[str, ...] = ()
    moves: bool = True
    what: str = ""
    elsewhere: tuple[str, ...] = ()  # marks on whose lines the fault may be seen as well


def sums(steps: list[Step]) -> list[int]:
    return [i for i, s in enumerate(steps) if not (s.inspection or s.symmetry) and s.pair is None]


Spot = tuple[int, str, Step, int]


def choose(steps: list[Step], rng: Dice, fits: Callable[[Step, Term], bool]) -> Spot | None:
    """A random term that fits: the step's number, its mark's name, the sum, the term's number."""
    spots: list[Spot] = []
    for i, step in enumerate(steps):
        if step.inspection or step.symmetry:
            continue
        for part, mark in ((step, f"{i}"), (step.pair, f"{i}b")):
            if part is not None:
                spots += [(i, mark, part, j) for j, t in enumerate(part.terms) if fits(part, t)]
    return rng.choice(spots) if spots else None


def nonzero(t: Term, right: Writer) -> bool:
    return not (t.act.value is None and right.values.get(t.act.key, 1.0) == 0.0)


def seen(step: Step, right: Writer) -> int:
    """How many terms of a sum count: a force found to be nothing does not."""
    return sum(nonzero(t, right) for t in step.terms)


def unnamed_point(step: Step, s: Style) -> bool:
    """Whether the page leaves open about which point a moment sum is taken."""
    return step.axis == "M" and s.sum_label == "none"


def shows_sense(s: Style, step: Step) -> bool:
    """Whether the page says in which sense the target acts."""
    act = next(t.act for t in step.terms if t.act.key == step.target)
    if act.kind == "member":
        return s.declare or s.member_label != "none"
    if act.kind in ("react", "moment"):
        plain = act.slope is not None and act.slope.axis
        return (s.declare and plain and act.kind == "react") or (
            s.reaction_arrow != "none" and (plain or act.slope is None)
        )
    return False


def lengths(p: Problem) -> list[float]:
    js = list(p.joints.values())
    out = set()
    for i, a in enumerate(js):
        for b in js[i + 1 :]:
            out |= {round(abs(a[0] - b[0]), 6), round(abs(a[1] - b[1]), 6)}
    return sorted(v for v in out if v > 1e-6)


def figure_angles(p: Problem) -> list[float]:
    out = [p.slope_between(a, b).acute for a, b in p.bars()]
    out += [s.acute for _, _, s, _ in p.loads]
    out += [Slope(d).acute for k, _, d in p.supports if k == "roller"]
    return sorted({round(a, 4) for a in out if 0.5 < a < 89.5})


def miscopied(v: float, rng: Dice) -> float:
    """The number with two digits changed over, or one digit misread."""
    text = f"{abs(v):g}"
    spots = [k for k in range(len(text)) if text[k].isdigit()]
    if len(spots) > 1 and rng.random() < 0.5:
        a, b = spots[0], spots[1]
        chars = list(text)
        chars[a], chars[b] = chars[b], chars[a]
        if chars[0] != "0" and chars != list(text):
            return math.copysign(float("".join(chars)), v)
    k = spots[0]
    digit = rng.choice([d for d in "123456789" if d != text[k]])
    return math.copysign(float(text[:k] + digit + text[k + 1 :]), v)
