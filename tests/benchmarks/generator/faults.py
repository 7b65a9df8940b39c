"""Planting exactly one fault in a plan, with the truth that statics alone gives for it."""

from __future__ import annotations

import math
import random
from collections.abc import Callable
from dataclasses import dataclass, field

from .plan import Step, Term
from .problem import Act, Problem, Slope
from .style import Style
from .write import Slip, Writer

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


def plant(
    kind: str, p: Problem, steps: list[Step], s: Style, right: Writer, rng: Dice
) -> Plant | None:
    """A random plant of that kind, or None where these dice give none."""
    return PLANTS[kind](p, steps, s, right, rng)


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


def used_later(steps: list[Step], i: int) -> bool:
    key = steps[i].target
    return any(t.act.key == key for s in steps[i + 1 :] for t in s.terms)


# ---- in the terms
def plant_sign(p: Problem, steps: list[Step], s: Style, right: Writer, rng: Dice) -> Plant | None:
    spot = choose(steps, rng, lambda st, t: t.act.key not in st.unknowns and nonzero(t, right))
    if spot is None:
        return None
    i, mark, step, j = spot
    t = step.terms[j]
    by_name = t.act.value is None and s.substitute != "value"
    wider: tuple[str, ...] = ("fault",)
    also: tuple[str, ...] = ("inconsistent",) if by_name else ()
    if seen(step, right) == 2:
        if step.target == "" or not shows_sense(s, step):
            return None
        wider = ("fault", f"sum:{mark}")
    t.sign, t.mark = -t.sign, "fault"
    return Plant("sign", steps, i, "signed", wider, also=also, what=f"sign of {t.act.key}")


def plant_arm(p: Problem, steps: list[Step], s: Style, right: Writer, rng: Dice) -> Plant | None:
    spot = choose(
        steps,
        rng,
        lambda st, t: (
            nonzero(t, right)
            and (seen(st, right) > 2 or not unnamed_point(st, s))
            and (t.arm is not None or (t.act.kind == "couple" and t.act.slope is None))
        ),
    )
    if spot is None:
        return None
    i, _, step, j = spot
    t = step.terms[j]
    true = t.arm
    choices = [a for a in lengths(p) if true is None or abs(a - true) > 0.08 * true]
    if true is not None:
        choices += [round(true / 2, 4), round(true * 2, 4)]
        if t.act.kind == "dist":
            choices = [
                round(true + d, 4)
                for part in [t.act.parts[-1]]
                for d in (part / 2, -part / 2, part / 6, -part / 6)
                if true + d > 0.05 and abs(round(true + d, 3) - (true + d)) < 1e-6
            ]
    choices = [a for a in choices if abs(a - 1.0) > 1e-6 or true is not None]
    if not choices:
        return None
    t.arm, t.mark, t.pieces = rng.choice(choices), "fault", ()
    return Plant(
        "lever-arm", steps, i, "fault", ("signed",), what=f"arm {true} of {t.act.key} as {t.arm}"
    )


def plant_component(
    p: Problem, steps: list[Step], s: Style, right: Writer, rng: Dice
) -> Plant | None:
    spot = choose(steps, rng, lambda st, t: t.fn is not None and nonzero(t, right))
    if spot is None:
        return None
    i, _, step, j = spot
    t = step.terms[j]
    a = t.slope_deg
    also: tuple[str, ...] = ()
    if rng.random() < 0.7 and abs(a - 45) > 2:
        t.fn = "sin" if t.fn == "cos" else "cos"
        if any(abs(90 - a - other) < 0.6 for other in figure_angles(p)):
            also = ("angle",)
        what = "sine for cosine"
    else:
        t.fn = None
        what = "left unresolved"
    t.mark = "fault"
    return Plant(
        "component", steps, i, "fault", ("signed",), also=also, what=f"{what}: {t.act.key}"
    )


def plant_angle(p: Problem, steps: list[Step], s: Style, right: Writer, rng: Dice) -> Plant | None:
    written = s.trig in ("degrees", "named")
    spot = choose(
        steps,
        rng,
        lambda st, t: (
            t.fn is not None
            and nonzero(t, right)
            and (written or (t.act.slope is not None and t.act.slope.legs is None))
        ),
    )
    if spot is None:
        return None
    i, _, step, j = spot
    t = step.terms[j]
    a = t.slope_deg
    known = figure_angles(p)
    if s.trig == "named":
        known = [k for k in known if round(k, 4) in right.d.angle_names] or known
    others = [o for o in known if abs(o - a) > 3 and abs(o - (90 - a)) > 3]
    if not others:
        return None
    t.theta, t.mark = rng.choice(others), "fault"
    return Plant(
        "angle", steps, i, "fault", ("signed",), what=f"{a:.2f} as {t.theta:.2f}: {t.act.key}"
    )


def miscopied(v: float, rng: Dice) -> float:
    """The number with two digits changed over, or one digit misread."""
    text = f"{abs(v):g}"
    spots = [k for k in range(len(text)) if text[k].isdigit()]
    if len(spots) > 1 and rng.random() < 0.5:
        a, b = spots[0], spots[1]
        chars = list(text)
        chars[a], chars[b] = chars[b], chars[a]
        if chars[0] != "0":
            return math.copysign(float("".join(chars)), v)
    k = spots[0]
    digit = rng.choice([d for d in "123456789" if d != text[k]])
    return math.copysign(float(text[:k] + digit + text[k + 1 :]), v)


def plant_magnitude(
    p: Problem, steps: list[Step], s: Style, right: Writer, rng: Dice
) -> Plant | None:
    def fits(st: Step, t: Term) -> bool:
        if t.act.value is not None:
            return True
        return (
            s.substitute == "value"
            and t.act.key not in st.unknowns
            and right.values.get(t.act.key, 0.0) != 0.0
        )

    spot = choose(steps, rng, fits)
    if spot is None:
        return None
    i, _, step, j = spot
    t = step.terms[j]
    t.mark = "fault"
    also: tuple[str, ...] = ()
    if t.act.kind == "dist":
        if t.act.parts[0] == 0.5 and rng.random() < 0.6:
            t.parts = t.act.parts[1:]
            what = "triangle as rectangle"
        else:
            parts = list(t.act.parts)
            if p.letters:
                parts[0] = 2.0
            else:
                parts[-2] = miscopied(parts[-2], rng)
            t.parts, what = tuple(parts), "intensity miscopied"
    elif t.act.value is not None:
        others = [
            abs(v) for _, v, _, _ in p.loads if abs(abs(v) - abs(t.act.value)) > 0.06 * abs(v)
        ]
        t.value = (
            rng.choice(others)
            if others and rng.random() < 0.4
            else miscopied(abs(t.act.value), rng)
        )
        what = f"{t.act.value} as {t.value}"
    else:
        if p.letters:
            t.value = right.values[t.act.key] * rng.choice([2, 0.5, 1.5])
        else:
            t.value = miscopied(right.values[t.act.key], rng)
        what = f"{right.values[t.act.key]} as {t.value}"
    return Plant(
        "magnitude", steps, i, "fault", ("signed",), also=also, what=f"{what}: {t.act.key}"
    )


def plant_missing(
    p: Problem, steps: list[Step], s: Style, right: Writer, rng: Dice
) -> Plant | None:
    def fits(st: Step, t: Term) -> bool:
        mine = [u for u in st.terms if u.act.key == t.act.key]
        return (
            t.act.key not in st.unknowns
            and seen(st, right) >= 3
            and len(mine) < seen(st, right) - 1
            and nonzero(t, right)
            and not unnamed_point(st, s)
        )

    spot = choose(steps, rng, fits)
    if spot is None:
        return None
    i, mark, step, j = spot
    gone = step.terms[j]
    step.terms = [t for k, t in enumerate(step.terms) if k != j]
    return Plant(
        "missing-force", steps, i, f"sum:{mark}", (f"label:{mark}",), what=f"without {gone.act.key}"
    )


def plant_extra(p: Problem, steps: list[Step], s: Style, right: Writer, rng: Dice) -> Plant | None:
    i = rng.choice(sums(steps) or [0])
    step = steps[i]
    if step.inspection or step.symmetry or step.pair:
        return None
    here = {t.act.key for t in step.terms}
    loads = [a for a in p.load_acts(set(p.joints)) if a.kind == "load" and a.key not in here]
    options: list[tuple[Act, str | None, float | None]] = []
    also: tuple[str, ...] = ()
    for a in loads:
        assert a.slope is not None
        inside = any(b.key == a.key for b in step.acts)
        if step.axis == "M":
            if inside:
                also = ("lever-arm",)
                options += [(a, "sin" if not a.slope.axis else None, x) for x in lengths(p)]
        elif inside and a.slope.axis:
            options.append((a, None, None))
            also = ("component",)
        elif not inside:
            across = a.slope.deg % 180 == 0 if step.axis == "x" else a.slope.deg % 180 == 90
            fn = None if a.slope.axis else ("cos" if step.axis == "x" else "sin")
            if across or fn:
                options.append((a, fn, None))
    for key, v in right.values.items():
        if key in here or "-" not in key or v == 0 or step.body[0] == "section" or step.axis == "M":
            continue
        act = next(
            (
                t.act
                for q in steps[:i]
                for t in q.terms
                if t.act.key == key and t.act.kind == "member"
            ),
            None,
        )
        if act is None or act.slope is None or any(b.key == key for b in step.acts):
            continue
        fn = None if act.slope.axis else ("cos" if step.axis == "x" else "sin")
        if act.slope.axis and (act.slope.deg % 180 == 0) != (step.axis == "x"):
            continue
        options.append((act, fn, None))
    if not options:
        return None
    act, fn, arm = rng.choice(options)
    inside = any(b.key == act.key for b in step.acts)
    step.terms.insert(
        rng.randint(1, len(step.terms)), Term(rng.choice([-1, 1]), act, fn, arm, mark="fault")
    )
    return Plant(
        "extra-force",
        steps,
        i,
        "fault",
        ("signed",),
        also=also if inside else (),
        what=f"extra {act.key}",
    )


def plant_inconsistent(
    p: Problem, steps: list[Step], s: Style, right: Writer, rng: Dice
) -> Plant | None:
    """A pin force in the same sense on both bodies, or a bar pulling here and pushing there."""
    met: dict[str, tuple[str, ...]] = {}
    spots: list[tuple[int, str, Step, Term]] = []
    for i, step in enumerate(steps):
        for part, mark in ((step, f"{i}"), (step.pair, f"{i}b")):
            for t in (
                part.terms if part is not None and not (step.inspection or step.symmetry) else []
            ):
                before = met.get(t.act.key)
                pins = t.act.kind == "pin"
                bars = t.act.kind == "member" and s.substitute != "value"
                if before and before != part.body and (pins or bars) and nonzero(t, right):
                    clear = seen(part, right) > 2 or (part.target and shows_sense(s, part))
                    if t.act.key not in part.unknowns and clear:
                        spots.append((i, mark, part, t))
        for t in step.terms:
            met.setdefault(t.act.key, step.body)
    if not spots:
        return None
    i, mark, part, t = rng.choice(spots)
    for u in part.terms:
        if u.act.key == t.act.key:
            u.sign, u.mark = -u.sign, "fault"
    wider = ("fault", f"sum:{mark}") if seen(part, right) == 2 else ("fault",)
    return Plant(
        "inconsistent", steps, i, "signed", wider, also=("sign",), what=f"two senses of {t.act.key}"
    )


# ---- in the working out
def plant_arithmetic(
    p: Problem, steps: list[Step], s: Style, right: Writer, rng: Dice
) -> Plant | None:
    spots = [i for i in sums(steps) if right.values.get(steps[i].target)]
    if not spots:
        return None
    i = rng.choice(spots)
    v = right.values[steps[i].target]
    wrong = (
        v * 10 if rng.random() < 0.12 else (v / 10 if rng.random() < 0.08 else miscopied(v, rng))
    )
    also = () if s.steps in ("chain", "expr", "gather chain", "gather") else ("algebra",)
    slip = Slip(i, "result", "", wrong / v)
    return Plant(
        "arithmetic",
        steps,
        i,
        "fault",
        ("result",),
        slip,
        also,
        moves=False,
        what=f"{v} as {wrong:g}",
    )


def plant_algebra(
    p: Problem, steps: list[Step], s: Style, right: Writer, rng: Dice
) -> Plant | None:
    spots = [i for i in sums(steps) if right.values.get(steps[i].target)]
    if not spots:
        return None
    i = rng.choice(spots)
    rest = [t for t in steps[i].terms if t.act.key != steps[i].target]
    mine = [t for t in steps[i].terms if t.act.key == steps[i].target]
    hows = []
    if len(rest) == 1:
        hows.append("sign")
    if len(mine) == 1 and (mine[0].fn or (mine[0].arm and abs(mine[0].arm - 1) > 0.1)):
        hows.append("multiply")
    if not hows or s.form == "solve":
        return None
    also = () if s.steps in ("chain", "expr") else ("arithmetic",)
    how = rng.choice(hows)
    if how == "sign":
        also = (*also, "sign")
    return Plant(
        "algebra",
        steps,
        i,
        "fault",
        ("result", f"stated:{i}"),
        Slip(i, "expr", how),
        also,
        moves=False,
        what=how,
    )


def plant_sense(p: Problem, steps: list[Step], s: Style, right: Writer, rng: Dice) -> Plant | None:
    spots = []
    for i in sums(steps):
        act = next(t.act for t in steps[i].terms if t.act.key == steps[i].target)
        labelled = (act.kind == "member" and s.member_label != "none") or (
            act.kind == "react"
            and s.reaction_arrow != "none"
            and act.slope is not None
            and act.slope.axis
        )
        if labelled and right.values.get(steps[i].target):
            spots.append(i)
    if not spots:
        return None
    i = rng.choice(spots)
    # Undeclared, the label may show what was meant and the sum have the force the wrong way.
    free = not s.declare
    return Plant(
        "sense",
        steps,
        i,
        "fault",
        ("result",),
        Slip(i, "label"),
        ("sign",) if free else (),
        moves=False,
        what="label turned",
        elsewhere=(f"line:{i}",) if free else (),
    )


def plant_unit(p: Problem, steps: list[Step], s: Style, right: Writer, rng: Dice) -> Plant | None:
    spots = [i for i in sums(steps) if right.values.get(steps[i].target)]
    if not spots or s.units == "none" or p.letters:
        return None
    i = rng.choice(spots)
    moment = steps[i].target.endswith("moment")
    f, m = right.d.force_unit, right.d.moment_unit
    other = {"kN": "N", "N": "kN", "kip": "lb", "lbf": "kip"}[p.units[0]]
    word = rng.choice([f] if moment else [m, other, p.units[1]])
    text = (
        f" [{word}]"
        if s.units == "square"
        else (rf"\,\mathrm{{{word}}}" if s.latex else f" {word}")
    )
    return Plant(
        "unit", steps, i, "fault", ("result",), Slip(i, "unit", text), moves=False, what=word
    )


def plant_geometry(
    p: Problem, steps: list[Step], s: Style, right: Writer, rng: Dice
) -> Plant | None:
    defined = [t for st in steps for t in st.terms if t.fn and t.act.slope and t.act.slope.legs]
    if s.trig != "named" or not defined:
        return None
    order: list[tuple[float, float]] = []
    for t in defined:
        assert t.act.slope
        assert t.act.slope.legs
        if t.act.slope.legs not in order and round(t.act.slope.acute, 4) not in [
            round(math.degrees(math.atan2(b, a)), 4) for a, b in order
        ]:
            order.append(t.act.slope.legs)
    which = rng.randrange(min(len(order), 5))
    dx, dy = order[which]
    how = rng.choice(["dx", "dy"])
    good = figure_angles(p)
    wrong = []
    for n in [*lengths(p), round(2 * dx, 4), round(dy / 2, 4)]:
        a = math.degrees(math.atan2(dy, n) if how == "dx" else math.atan2(n, dx))
        if all(abs(a - g) > 2 and abs(90 - a - g) > 2 for g in good):
            wrong.append(n)
    if not wrong:
        return None
    slip = Slip(which + len(p.angles), "definition", how, rng.choice(wrong))
    return Plant(
        "geometry",
        steps,
        -1,
        "fault",
        ("stated:definition",),
        slip,
        moves=False,
        what=f"{how} as {slip.amount}",
    )


PLANTS: dict[str, Callable[[Problem, list[Step], Style, Writer, Dice], Plant | None]] = {
    "sign": plant_sign,
    "lever-arm": plant_arm,
    "component": plant_component,
    "angle": plant_angle,
    "magnitude": plant_magnitude,
    "missing-force": plant_missing,
    "extra-force": plant_extra,
    "arithmetic": plant_arithmetic,
    "algebra": plant_algebra,
    "sense": plant_sense,
    "unit": plant_unit,
    "geometry": plant_geometry,
    "inconsistent": plant_inconsistent,
}
