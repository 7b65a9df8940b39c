"""Workings with more than one fault, a repeated one, or a question misread from the start."""

from __future__ import annotations

import random
from collections.abc import Callable

from .faults import PLANTS
from .plan import Step
from .plants import Plant, choose, figure_angles, lengths, miscopied, nonzero, seen
from .problem import Problem
from .style import Style
from .write import Slip, Writer

Dice = random.Random


def set_compound(p: Problem, steps: list[Step], s: Style, right: Writer, rng: Dice) -> Plant | None:
    """Two slips in one term: sine for cosine and a sign, or a wrong arm and a sign."""
    spot = choose(
        steps,
        rng,
        lambda st, t: (
            t.act.key not in st.unknowns
            and seen(st, right) > 2
            and nonzero(t, right)
            and (t.fn is not None or t.arm is not None)
        ),
    )
    if spot is None:
        return None
    i, _, _, j = spot
    t = spot[2].terms[j]
    if t.fn is not None and abs(t.slope_deg - 45) > 3:
        t.fn = "sin" if t.fn == "cos" else "cos"
        kinds: tuple[str, ...] = ("sign", "component")
    elif t.arm is not None:
        others = [a for a in lengths(p) if abs(a - (t.arm or 0)) > 0.1 * (t.arm or 1)]
        if not others:
            return None
        t.arm, t.pieces = rng.choice(others), ()
        kinds = ("sign", "lever-arm")
    else:
        return None
    t.sign, t.mark = -t.sign, "fault"
    return Plant(
        kinds[1],
        steps,
        i,
        "fault",
        ("signed",),
        also=(kinds[0], "component", "angle"),
        what="compound " + "+".join(kinds),
    )


def set_repeated(p: Problem, steps: list[Step], s: Style, right: Writer, rng: Dice) -> Plant | None:
    """The same misread angle or swapped component in every line that has it."""
    slanted = [
        t
        for st in steps
        for part in (st, st.pair)
        if part
        for t in part.terms
        if t.fn and nonzero(t, right)
    ]
    if not slanted or s.trig in ("slope", "decimal"):
        return None
    pick = rng.choice(slanted)
    a = pick.slope_deg
    same = [t for t in slanted if t.act.kind == pick.act.kind and abs(t.slope_deg - a) < 1e-6]
    if len(same) < 2 or abs(a - 45) < 3:
        return None
    swap = rng.random() < 0.5
    others = [o for o in figure_angles(p) if abs(o - a) > 3 and abs(o - 90 + a) > 3]
    if not swap and not others:
        return None
    wrong = rng.choice(others) if others else 0.0
    for t in same:
        t.mark = "fault"
        if swap:
            t.fn = "sin" if t.fn == "cos" else "cos"
        else:
            t.theta = wrong
    # All swapped alike, the angle's definition may be what was got wrong.
    also = ("angle", "geometry") if swap else ("geometry",)
    return Plant(
        "component" if swap else "angle",
        steps,
        -1,
        "fault",
        ("signed",),
        also=also,
        moves=False,
        what=f"repeated {len(same)} times",
        elsewhere=(f"definition:{round(a, 4)}",) if swap else (),
    )


def set_two(p: Problem, steps: list[Step], s: Style, right: Writer, rng: Dice) -> Plant | None:
    """Two independent slips in different lines: the first one counts."""
    kinds = ["sign", "lever-arm", "component", "magnitude", "arithmetic", "missing-force"]
    first, second = rng.sample(kinds, 2)
    one = PLANTS[first](p, steps, s, right, rng)
    if one is None or one.slip.where:
        return None
    for st in steps:
        for part in (st, st.pair):
            for t in part.terms if part else []:
                t.mark = "first" if t.mark else ""
    two = PLANTS[second](p, steps, s, right, rng)
    if two is None or two.step <= one.step:
        return None
    mark = {"fault": "first", "signed": "first"}.get(one.mark, one.mark)
    return Plant(
        one.kind,
        steps,
        one.step,
        mark,
        ("signed", *one.wider),
        two.slip,
        one.also,
        what=f"{one.what} and then {two.what}",
        elsewhere=one.elsewhere,
    )


def set_cancelling(
    p: Problem, steps: list[Step], s: Style, right: Writer, rng: Dice
) -> Plant | None:
    """A sign slip in a sum whose answer comes out right all the same."""
    if s.form == "solve" or s.steps != "short" or s.substitute == "name then value":
        return None
    spot = choose(
        steps,
        rng,
        lambda st, t: (
            t.act.key not in st.unknowns
            and seen(st, right) > 2
            and bool(right.full.get(st.target))
            and nonzero(t, right)
        ),
    )
    if spot is None:
        return None
    i, _, step, j = spot
    t = step.terms[j]
    t.sign, t.mark = -t.sign, "fault"
    slip = Slip(i, "value", "", right.full[step.target])
    return Plant(
        "sign",
        steps,
        i,
        "signed",
        ("fault",),
        slip,
        moves=False,
        what="right answer through a sign slip",
    )


def set_misread_load(
    p: Problem, steps: list[Step], s: Style, right: Writer, rng: Dice
) -> Plant | None:
    """A load copied wrongly from the sheet once and used so throughout."""
    loads = sorted(
        {
            t.act.key
            for st in steps
            for part in (st, st.pair)
            if part
            for t in part.terms
            if t.act.kind == "load" and not t.act.parts
        }
    )
    if not loads or p.letters:
        return None
    key = rng.choice(loads)
    wrong: float | None = None
    for st in steps:
        for part in (st, st.pair):
            for t in part.terms if part else []:
                if t.act.key == key:
                    assert t.act.value is not None
                    wrong = wrong or miscopied(abs(t.act.value), rng)
                    t.value, t.mark = wrong, "fault"
    return Plant(
        "magnitude", steps, -1, "fault", ("signed",), moves=False, what=f"misread {key} as {wrong}"
    )


def set_misread_length(
    p: Problem, steps: list[Step], s: Style, right: Writer, rng: Dice
) -> Plant | None:
    """One distance misread and used so in every arm that equals it."""
    arms = [
        t
        for st in steps
        for part in (st, st.pair)
        if part
        for t in part.terms
        if t.arm is not None and nonzero(t, right)
    ]
    if not arms or any(t.fn for t in arms):
        return None
    value = rng.choice(arms).arm
    assert value is not None
    same = [t for t in arms if t.arm is not None and abs(t.arm - value) < 1e-6]
    wrong = round(value * rng.choice([0.5, 2.0, 1.5]), 4) if p.letters else miscopied(value, rng)
    if any(abs(wrong - t.arm) < 0.02 for t in arms if t.arm) or wrong < 0.1:
        return None
    for t in same:
        t.arm, t.mark, t.pieces = wrong, "fault", ()
    return Plant(
        "lever-arm",
        steps,
        -1,
        "fault",
        ("signed",),
        also=("geometry",),
        moves=False,
        what=f"misread {value} as {wrong}",
    )


def set_misread_angle(
    p: Problem, steps: list[Step], s: Style, right: Writer, rng: Dice
) -> Plant | None:
    """The angle of a slanted load read as its complement or with a wrong digit, throughout."""
    mine = [
        t
        for st in steps
        for part in (st, st.pair)
        for t in (part.terms if part else [])
        if t.act.kind == "load" and t.fn and t.act.slope is not None and t.act.slope.legs is None
    ]
    keys = sorted({t.act.key for t in mine})
    if not keys or p.letters or any(st.axis in "⊥∥" for st in steps):
        return None
    key = rng.choice(keys)
    true = next(t.slope_deg for t in mine if t.act.key == key)
    others = [a for a in (90 - true, true + 10, true - 10, true + 5) if 5 < a < 85]
    others = [a for a in others if all(abs(a - b) > 2 for b in figure_angles(p))]
    others = [a for a in others if abs(a - true) > 4]
    if not others:
        return None
    wrong = rng.choice(others)
    for t in mine:
        if t.act.key == key:
            t.theta, t.mark = wrong, "fault"
    swapped = abs(wrong + true - 90) < 1e-6
    return Plant(
        "angle",
        steps,
        -1,
        "fault",
        ("signed",),
        also=("component", "geometry") if swapped else ("geometry",),
        moves=False,
        what=f"misread {true} as {wrong}: {key}",
    )


def set_misread_sense(
    p: Problem, steps: list[Step], s: Style, right: Writer, rng: Dice
) -> Plant | None:
    """A load taken to act the other way, throughout."""
    sums_ = [part for st in steps for part in (st, st.pair) if part]
    keys = sorted({t.act.key for part in sums_ for t in part.terms if t.act.kind == "load"})
    if len(keys) < 2 or p.letters or any(st.symmetry for st in steps):
        return None
    key = rng.choice(keys)
    hit = [part for part in sums_ if any(t.act.key == key for t in part.terms)]
    if not hit or seen(hit[0], right) < 3:
        return None
    for part in hit:
        for t in part.terms:
            if t.act.key == key:
                t.sign, t.mark = -t.sign, "fault"
    few = seen(hit[0], right) == 3
    return Plant(
        "sign",
        steps,
        -1,
        "signed",
        ("fault", *((f"sum:{steps.index(hit[0])}",) if few and hit[0] in steps else ())),
        moves=False,
        what=f"{key} the other way throughout",
    )


SETS: dict[str, Callable[[Problem, list[Step], Style, Writer, Dice], Plant | None]] = {
    "compound": set_compound,
    "repeated": set_repeated,
    "two faults": set_two,
    "cancelling": set_cancelling,
    "misread load": set_misread_load,
    "misread length": set_misread_length,
    "misread angle": set_misread_angle,
    "misread sense": set_misread_sense,
}
