"""Habits that shape the sheet or the plan: drawn senses, names, arms as sums, square distances."""

from __future__ import annotations

import math
import random
import re
from itertools import pairwise

from .dress import significant
from .plan import Step, Term
from .problem import Problem
from .style import Style


def senses(p: Problem, style: Style, rng: random.Random) -> dict[str, int]:
    out = {}
    for key, v in p.truth.items():
        match style.assume:
            case "positive":
                out[key] = 1
            case "likely":
                out[key] = -1 if v < 0 else 1
            case _:
                out[key] = rng.choice([1, 1, -1])
    return out


def personal(p: Problem, style: Style, rng: random.Random) -> None:
    """What the figure calls things, where this person's teacher names loads, bars or an angle."""
    if p.letters:
        return
    if style.numbers_joints and not p.bodies and len(p.joints) < 10 and not p.spots:
        number_joints(p)
    if style.chords and p.members and not p.bodies and len(p.members) > 4:
        chord_names(p)
    if style.names_loads and p.loads:
        base = rng.choice(["P", "F", "Q", "W"])
        if base not in p.joints and len({x[0] for x in p.loads}) == len(p.loads):
            many = len(p.loads) > 1
            for i in range(len(p.loads)):
                p.load_names[f"load {i}"] = f"{base}{i + 1}" if many else base
    if style.numbers_bars and not p.calls and p.members and not p.bodies and rng.random() < 0.7:
        base = rng.choice(["S", "N", "F"])
        under = "_" if style.latex or rng.random() < 0.5 else ""
        if base not in p.joints and base not in "".join(p.load_names.values()):
            for i, (a, b) in enumerate(p.members, 1):
                p.calls[f"{base}{under}{i}"] = f"{a}-{b}"
    flat = [m for m in p.bars() if p.joints[m[0]][1] == p.joints[m[1]][1]]
    if rng.random() < 0.25 and flat and not style.ascii:
        for a, b in rng.sample(p.bars(), len(p.bars())):
            slope = p.slope_between(a, b)
            if slope.axis:
                continue
            for c, d in flat:
                for corner, end, far in ((c, d, b if a == c else a), (d, c, b if a == d else a)):
                    if corner in (a, b):
                        one, two = p.slope_between(corner, far), p.slope_between(corner, end)
                        between = abs((one.deg - two.deg + 180) % 360 - 180)
                        if abs(between - slope.acute) < 1e-6:
                            name = "θ" if not style.latex else "theta"
                            p.angles[name] = (f"{corner}-{end} to {corner}-{far}", slope.acute)
                            return


def number_joints(p: Problem) -> None:
    """Joints 1, 2, 3 … in the order of the figure."""
    to = {j: str(i) for i, j in enumerate(p.joints, 1)}

    def renamed(item: str) -> str:
        return re.sub(
            r"(?<![A-Za-z])[A-Z](?![A-Za-z])", lambda m: to.get(m.group(), m.group()), item
        )

    p.joints = {to[j]: at for j, at in p.joints.items()}
    p.members = [(to[a], to[b]) for a, b in p.members]
    p.cables = [(to[a], to[b]) for a, b in p.cables]
    p.supports = [(kind, to[j], deg) for kind, j, deg in p.supports]
    p.loads = [(to[j], v, slope, renamed(words)) for j, v, slope, words in p.loads]
    p.masses = [(to[j], m) for j, m in p.masses]
    p.find = [renamed(item) for item in p.find]
    p.solve()


def chord_names(p: Problem) -> None:
    """Bars called by their place: U below, O above, V upright, D sloping, numbered."""
    low = min(y for _, y in p.joints.values())
    count = dict.fromkeys("UOVD", 0)
    if set("UOVD") & set(p.joints):
        return
    for a, b in p.members:
        (x1, y1), (x2, y2) = p.joints[a], p.joints[b]
        kind = "V" if x1 == x2 else "D" if y1 != y2 else "U" if y1 == low else "O"
        count[kind] += 1
        p.calls[f"{kind}{count[kind]}"] = f"{a}-{b}"


def detail(p: Problem, style: Style, steps: list[Step], rng: random.Random) -> None:
    """Arms as sums of the distances they span; a slanted force by its square distance."""
    for one in steps:
        if style.cancels and one.pair is None:
            divided(one)
        for step in (one, one.pair):
            if step is None or step.axis != "M":
                continue
            at = p.where(step.point)
            if (
                style.perpendicular
                and not p.letters
                and step.target
                and step.body[0] in ("section", "body", "whole")
            ):
                step.terms = squared(step.terms, at, rng)
            for t in step.terms:
                t.pieces = panels(p, t, at) if style.tongue else spanned(p, t, at)


def divided(step: Step) -> None:
    """A sum whose every term has the same sine or cosine, divided through by it."""
    first = step.terms[0]
    if len(step.terms) < 2 or first.fn is None or step.axis == "M":
        return
    if all(t.fn == first.fn and abs(t.slope_deg - first.slope_deg) < 1e-9 for t in step.terms):
        for t in step.terms:
            t.fn = None


def squared(terms: list[Term], at: tuple[float, float], rng: random.Random) -> list[Term]:
    """A bar's two moment terms as one: its force times its distance from the point."""
    out: list[Term] = []
    done: set[str] = set()
    for t in terms:
        same = [u for u in terms if u.act.key == t.act.key]
        if t.act.kind != "member" or len(same) < 2:
            out.append(t)
            continue
        if t.act.key in done:
            continue
        done.add(t.act.key)
        total = sum(
            u.sign
            * (u.arm or 0)
            * getattr(math, u.fn or "cos")(math.radians(u.slope_deg) if u.fn else 0)
            for u in same
        )
        out.append(Term(1 if total > 0 else -1, t.act, None, significant(abs(total), 4)))
    return out


def spanned(p: Problem, t: Term, at: tuple[float, float]) -> tuple[float, ...]:
    """The gaps between the joints of a level beam that lie along an arm."""
    if (
        t.arm is None
        or t.act.slope is None
        or t.act.kind == "dist"
        or abs(t.act.point[1] - at[1]) > 1e-9
    ):
        return ()
    lo, hi = sorted((at[0], t.act.point[0]))
    if abs(hi - lo - t.arm) > 1e-6:
        return ()
    xs = sorted(
        {x for x, y in p.joints.values() if lo - 1e-9 <= x <= hi + 1e-9 and abs(y - at[1]) < 1e-9}
    )
    gaps = tuple(round(b - a, 4) for a, b in pairwise(xs))
    whole = abs(sum(gaps) - t.arm) < 1e-6  # the point may be none of the joints
    return gaps if whole and 2 <= len(gaps) <= 3 else ()


def panels(p: Problem, t: Term, at: tuple[float, float]) -> tuple[float, ...]:
    """The gaps between the joints that lie along an arm, whichever way it runs."""
    if t.arm is None or t.act.slope is None or t.act.kind == "dist":
        return ()
    for axis in (0, 1):
        lo, hi = sorted((at[axis], t.act.point[axis]))
        if abs(hi - lo - t.arm) > 1e-6:
            continue
        marks = sorted({q[axis] for q in p.joints.values() if lo - 1e-9 <= q[axis] <= hi + 1e-9})
        gaps = tuple(round(b - a, 4) for a, b in pairwise(marks))
        if 2 <= len(gaps) <= 4 and abs(sum(gaps) - t.arm) < 1e-6 and min(gaps) > 0.04:
            return gaps
    return ()
