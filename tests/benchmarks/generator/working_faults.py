"""Faults in the working out: rearranging, arithmetic, units, senses, worked-out angles."""

from __future__ import annotations

import math

from .hand import Slip
from .plan import Step
from .plants import (
    Dice,
    Plant,
    figure_angles,
    lengths,
    miscopied,
    sums,
)
from .problem import Problem
from .style import Style
from .write import Writer


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
        elsewhere=(f"line:{i}",) if how == "sign" else (),
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
    other = {"kN": "N", "N": "kN", "kip": "lb", "lbf": "kip", "kgf": "kN"}[p.units[0]]
    word = rng.choice([f] if moment else [m, other])
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
    defined = [
        t
        for st in steps
        for t in st.terms
        if t.fn and not t.across and t.act.slope and t.act.slope.legs
    ]
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
        # No triangle shown and no bar named: the first use may as well be the wrong line.
        ("angle",) if s.tongue and s.defs == "sincos" else (),
        moves=False,
        what=f"{how} as {slip.amount}",
    )
