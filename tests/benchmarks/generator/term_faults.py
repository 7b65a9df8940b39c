"""Faults in the terms of a sum: planted in the plan, so that what follows, follows."""

from __future__ import annotations

from .plan import Step, Term
from .plants import (
    Dice,
    Plant,
    choose,
    figure_angles,
    lengths,
    miscopied,
    nonzero,
    seen,
    shows_sense,
    sums,
    unnamed_point,
)
from .problem import Act, Problem
from .style import Style
from .write import Writer


def turned_by_both(step: Step) -> bool:
    """Whether a pair of sums has one known term only: its sign is the senses of both unknowns."""
    if step.pair is None:
        return False
    both = [t for part in (step, step.pair) for t in part.terms]
    return sum(t.act.key not in step.unknowns for t in both) == 1


def armed(step: Step, right: Writer) -> int:
    """How many terms of a moment sum have an arm that could tell the point."""
    return sum(t.arm is not None and nonzero(t, right) for t in step.terms)


def free_sense(s: Style) -> tuple[str, ...]:
    """What else may be wrong where nobody said how the unknown was drawn."""
    return ("sense", "algebra") if s.size_only and s.steps == "short" else ("sense",)


def plant_sign(p: Problem, steps: list[Step], s: Style, right: Writer, rng: Dice) -> Plant | None:
    spot = choose(steps, rng, lambda st, t: t.act.key not in st.unknowns and nonzero(t, right))
    if spot is None:
        return None
    i, mark, step, j = spot
    t = step.terms[j]
    if turned_by_both(steps[i]) and not s.declare:
        return None
    wider: tuple[str, ...] = ("fault",)
    also: tuple[str, ...] = ("inconsistent",) if t.act.value is None else ()
    elsewhere: tuple[str, ...] = ()
    if seen(step, right) == 2:
        if step.target == "" or not shows_sense(s, step):
            return None
        wider = ("fault", f"sum:{mark}")
        if not s.declare:  # drawn the other way the sum is right, and the stated sense wrong
            also, elsewhere = (*also, *free_sense(s)), (f"line:{i}",)
    elif seen(step, right) == 3 and not (step.target and shows_sense(s, step)):
        wider = ("fault", f"sum:{mark}")  # the unknown drawn the other way, the third is at fault
    t.sign, t.mark = -t.sign, "fault"
    what = f"sign of {t.act.key}"
    return Plant("sign", steps, i, "signed", wider, also=also, what=what, elsewhere=elsewhere)


def plant_arm(p: Problem, steps: list[Step], s: Style, right: Writer, rng: Dice) -> Plant | None:
    spot = choose(
        steps,
        rng,
        lambda st, t: (
            nonzero(t, right)
            and (armed(st, right) > 2 or not unnamed_point(st, s))
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
    what = f"arm {true} of {t.act.key} as {t.arm}"
    # Divided through by a panel, an arm of one panel is not written at all.
    also = ("magnitude",) if s.panels else ()
    return Plant("lever-arm", steps, i, "fault", ("signed",), also=also, what=what)


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
        if step.axis == "M":
            also = ("lever-arm",)  # the way to the point taken for the distance square to the force
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
            and (s.sum_label != "none" or seen(st, right) > 3)
        )

    spot = choose(steps, rng, fits)
    if spot is None:
        return None
    i, mark, step, j = spot
    gone = step.terms[j]
    step.terms = [t for k, t in enumerate(step.terms) if k != j]
    # A trapezium of which one part is left out may as well be a load of the wrong size.
    part = gone.act.kind == "dist" and any(
        t.act.kind == "dist" and t.act.key.split()[1] == gone.act.key.split()[1] for t in step.terms
    )
    return Plant(
        "missing-force",
        steps,
        i,
        f"sum:{mark}",
        (f"label:{mark}",),
        also=("magnitude",) if part else (),
        what=f"without {gone.act.key}",
    )


def plant_extra(p: Problem, steps: list[Step], s: Style, right: Writer, rng: Dice) -> Plant | None:
    i = rng.choice(sums(steps) or [0])
    step = steps[i]
    unclear = s.heading == "none" and step.body[0] == "joint"  # it may be the next joint's sum
    if step.inspection or step.symmetry or step.pair or step.axis == "⊥" or unclear:
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
    found = {k for q in steps[:i] for k in q.unknowns}
    for a in step.acts:  # a two-force member given a force across its line
        level = a.kind == "member" and a.slope is not None and a.slope.axis
        if level and step.axis in "xy" and a.key in found - here and right.values.get(a.key):
            options.append((a, None, None))
            also = ("component",)
    for key, v in right.values.items():
        inner = "-" in key or key.startswith("pin")
        if key in here or not inner or v == 0 or step.body[0] == "section":
            continue
        act = next(
            (
                t.act
                for q in steps[:i]
                for t in q.terms
                if t.act.key == key and t.act.kind in ("member", "pin")
            ),
            None,
        )
        if act is None or act.slope is None or any(b.key == key for b in step.acts):
            continue
        if step.axis == "M":
            at = p.where(step.point)
            arm = abs(
                act.point[1 if act.slope.deg % 180 == 0 else 0]
                - at[1 if act.slope.deg % 180 == 0 else 0]
            )
            if arm > 0.05:
                options.append((act, None if act.slope.axis else "sin", round(arm, 4)))
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
    first: dict[str, int] = {}
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
            first.setdefault(t.act.key, i)
    if not spots:
        return None
    i, mark, part, t = rng.choice(spots)
    for u in part.terms:
        if u.act.key == t.act.key:
            u.sign, u.mark = -u.sign, "fault"
    loose = seen(part, right) == 2 and not s.declare
    few = seen(part, right) == 2 or (
        seen(part, right) == 3 and not (part.target and shows_sense(s, part))
    )
    wider = ("fault", f"sum:{mark}") if few else ("fault",)
    return Plant(
        "inconsistent",
        steps,
        i,
        "signed",
        wider,
        also=("sign", *free_sense(s)) if loose else ("sign",),
        what=f"two senses of {t.act.key}",
        elsewhere=tuple(f"{m}:{k}" for k in (i, first[t.act.key]) for m in ("line", "sum"))
        if loose
        else (),
    )
