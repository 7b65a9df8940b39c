"""Sheets in other units than the page: millimetres for metres, newtons for kilonewtons."""

from __future__ import annotations

import random
from dataclasses import replace

from .actions import Dist
from .case import Case, make_right
from .every import FAMILIES
from .manners import MANNERS
from .problem import Problem
from .style import Style

Dice = random.Random
HEADER = {
    "en": "All lengths in {n}, forces in {f}.", "de": "Alle Längen in {n}, Kräfte in {f}.",
    "fr": "Longueurs en {n}, forces en {f}.", "es": "Longitudes en {n}, fuerzas en {f}.",
    "it": "Lunghezze in {n}, forze in {f}.", "pl": "Długości w {n}, siły w {f}.",
}  # fmt: skip


def other_sheet(p: Problem) -> str | None:
    """The sheet of the same figure in other units of length, or of force."""
    if p.units == ("kN", "m"):
        names, length, force = ("kN", "mm"), 1000.0, 1.0
        if len(p.joints) % 2:
            names, length, force = ("N", "m"), 1.0, 1000.0
    elif p.units == ("N", "m"):
        names, length, force = ("N", "mm"), 1000.0, 1.0
    else:
        return None
    if p.masses or p.letters:
        return None
    q = replace(
        p,
        units=names,
        joints={j: (x * length, y * length) for j, (x, y) in p.joints.items()},
        loads=[(j, v * force, s, w) for j, v, s, w in p.loads],
        couples=[(j, v * force * length, b) for j, v, b in p.couples],
        dists=[
            Dist(d.a, d.b, d.w1 * force / length, d.w2 * force / length, d.deg, d.on_plan)
            for d in p.dists
        ],
    )
    return q.sheet()


def scaled_case(rng: Dice, style: Style | None, family: str | None) -> Case | None:
    who = style if style is not None and style.tongue else rng.choice(MANNERS)
    everything = rng.random() < 0.5
    if everything:
        who = replace(who, units="all", product="paren" if who.product == "star" else who.product)
    else:
        who = replace(who, units="results")
    made = make_right(rng, family or rng.choice(list(FAMILIES)), who)
    if made is None:
        return None
    p, doc = made[0], made[4].s
    if any(round(d.w1 / 1000, 4) != d.w1 / 1000 for d in p.dists):
        return None
    sheet = other_sheet(p)
    if sheet is None:
        return None
    if not everything or rng.random() < 0.3:
        doc = HEADER[who.tongue].format(n=p.units[1], f=p.units[0]) + "\n" + doc
    case = Case(p.family, who.name, sheet, doc + "\n", None, 0, p)
    case.situation = "other units"
    return case
