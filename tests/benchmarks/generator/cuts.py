"""Shear and bending moment at two cuts: either convention throughout, or changed on the way."""

from __future__ import annotations

import random

from .case import Case, Truth
from .families import UNITS, force, names, span
from .manners import MANNERS
from .plainhand import Short
from .problem import Problem, Slope
from .style import Style
from .text import T, places

Dice = random.Random


def beam(rng: Dice) -> tuple[Problem, list[str]] | None:
    """A beam on pin and roller, two or three loads, two places to cut."""
    u = rng.choice(UNITS)
    n = rng.choice([2, 3])
    ns = names(rng)
    xs = [0.0]
    for _ in range(n + 1):
        xs.append(round(xs[-1] + span(rng, u, 1, 3), 4))
    js = ns[: n + 2]
    spots = ns[n + 2 : n + 4]
    if len(spots) < 2:
        return None
    gaps = sorted(rng.sample(range(n + 1), 2))
    where = dict(zip(js, xs, strict=True))
    for k, g in zip(spots, gaps, strict=True):
        where[k] = round(xs[g] + rng.choice([0.4, 0.5, 0.6]) * (xs[g + 1] - xs[g]), 4)
    order = sorted(where, key=lambda j: where[j])
    p = Problem("beam, two cuts", u, {j: (where[j], 0.0) for j in order}, title="Rack beam")
    p.bodies = {"beam": tuple(order)}
    p.supports = [("pin", js[0], 0.0), ("roller", js[-1], 90.0)]
    for j in js[1:-1]:
        p.loads.append((j, force(rng, u), Slope(270.0), "down"))
    p.find = ["reactions"] + [f"{q} at {k}" for k in spots for q in ("shear", "moment")]
    p.inner_at = [("beam", k) for k in spots]
    return (p, spots) if p.solve() else None


def convention_case(rng: Dice, style: Style | None, family: str | None) -> Case | None:
    who = style if style is not None and style.tongue else rng.choice(MANNERS)
    made = beam(rng)
    if made is None:
        return None
    p, spots = made
    h = Short(p, who, rng)
    a, b = p.supports[0][1], p.supports[1][1]
    end = p.joints[b][0]
    left, right = h.w.d.name(f"reaction {a} y"), h.w.d.name(f"reaction {b}")
    loads = [(p.joints[j][0], v) for j, v, _, _ in p.loads]
    moment = sum(x * v for x, v in loads)
    tops = " + ".join(h.times(h.n(v), h.n(x)) for x, v in loads)
    text, rb = h.r(moment / end)
    h.add(f"{right} = ({tops})/{h.n(end)} = {text}{h.unit(f'reaction {b}')}")
    total = sum(v for _, v in loads)
    text2, ra = h.r(total - rb)
    sum_ = " + ".join(h.n(v) for _, v in loads)
    h.add(f"{left} = {sum_} {h.minus} {text} = {text2}{h.unit(f'reaction {a} y')}")
    if rng.random() < 0.5:
        h.add(f"{h.w.d.name(f'reaction {a} x')} = 0")
    else:
        p.find = [f"reaction {a} y", f"reaction {b}", *p.find[1:]]
    v_turn, m_turn = rng.choice([1, 1, -1]), rng.choice([1, 1, -1])
    fault = rng.choice(["", "", "shear", "moment"])
    sides = [rng.choice(["left", "right"]) for _ in spots]
    if fault:
        sides = rng.choice([["left", "right"], ["right", "left"]])
    for i, (k, side) in enumerate(zip(spots, sides, strict=True)):
        x = p.joints[k][0]
        word = h.tongue.sides[0 if side == "left" else 1]
        h.add(h.tongue.cut[0].format(k=k, side=word))
        wrong_v = -1 if fault == "shear" and i == 1 else 1
        wrong_m = -1 if fault == "moment" and i == 1 else 1
        if side == "left":
            up, near = ra, [(x - q, v) for q, v in loads if q < x]
            arm, vs = x, v_turn * wrong_v
        else:
            up, near = rb, [(q - x, v) for q, v in loads if q > x]
            arm, vs = end - x, -v_turn * wrong_v
        value = vs * (up - sum(v for _, v in near))
        parts = [(1, h.r(up)[0])] + [(-1, h.n(v)) for _, v in near]
        shown, _ = h.r(value)
        line = T(f"V_{k} = ") + T(joined(h, parts, vs)).tag("shear" * (wrong_v < 0))
        h.add(line + ("" if not near and vs > 0 else f" = {shown}") + h.unit("shear"))
        ms = m_turn * wrong_m
        value = ms * (up * arm - sum(d * v for d, v in near))
        parts = [(1, h.times(h.r(up)[0], h.n(arm)))]
        parts += [(-1, h.times(h.n(v), h.n(round(d, 4)))) for d, v in near]
        shown, _ = h.r(value)
        line = T(f"M_{k} = ") + T(joined(h, parts, ms)).tag("moment" * (wrong_m < 0))
        h.add(line + f" = {shown}{h.unit(f'moment at {k}')}")
    doc = h.doc()
    case = Case("beam, two cuts", who.name, p.sheet(), doc.s + "\n", None, 0, p)
    case.situation = "two cuts, right"
    if not fault:
        return case
    found = places(doc, fault)
    if not found:
        return None
    where = found[0]
    whole = type(where)(where.line, 0, len(doc.s.split("\n")[where.line - 1]))
    case.truth = Truth(
        "inconsistent", where.line, (where, whole), ("sign", "sense"), (),
        f"{fault} from the wrong side at the second cut", "two cuts",
    )  # fmt: skip
    case.situation = "two cuts, faulty"
    return case


def joined(h: Short, parts: list[tuple[int, str]], turn: int) -> str:
    out = ""
    ordered = parts if turn > 0 else parts[1:] + parts[:1]
    for i, (sign, text) in enumerate(ordered):
        minus = sign * turn < 0
        if i == 0:
            out = (h.minus if minus else "") + text
        else:
            out += (f" {h.minus} " if minus else " + ") + text
    return out
