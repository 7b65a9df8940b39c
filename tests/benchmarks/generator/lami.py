"""Particles by the sine rule of their forces; loads gathered into one resultant first."""

from __future__ import annotations

import math
import random
from itertools import pairwise

from .case import Case, Truth
from .families import UNITS, force, names, span
from .frames import particle
from .machines import knot
from .manners import MANNERS
from .plainhand import Short
from .plants import miscopied
from .problem import Problem, Slope
from .style import Style
from .text import Place, T, places

Dice = random.Random
BY = {
    "en": "Lami's theorem:", "de": "Sinussatz im Kräftedreieck:", "fr": "Théorème de Lami :",
    "es": "Teorema de Lamy:", "it": "Teorema di Lamy:", "pl": "Twierdzenie sinusów:",
}  # fmt: skip
RESULTANT = {
    "en": "Resultant of the loads:", "de": "Resultierende der Lasten:",
    "fr": "Résultante des charges :", "es": "Resultante de las cargas:",
    "it": "Risultante dei carichi:", "pl": "Wypadkowa obciążeń:",
}  # fmt: skip


def angle_between(a: float, b: float) -> float:
    return abs((a - b + 180) % 360 - 180)


def lami_case(rng: Dice, style: Style | None, family: str | None) -> Case | None:
    """Three forces on a knot: each over the sine of the angle between the other two."""
    who = style if style is not None and style.tongue else rng.choice(MANNERS)
    p = rng.choice([particle, knot])(rng)
    if p is None or len(p.loads) + len(p.masses) != 1:
        return None
    h = Short(p, who, rng)
    a = next(iter(p.joints))
    bars = [x for x in p.joint_body({a}) if x.kind == "member"]
    load = next(x for x in p.joint_body({a}) if x.value is not None)
    if any(p.truth[b.key] <= 0 for b in bars):
        return None
    assert load.slope is not None
    assert load.value is not None
    degs = [b.slope.deg for b in bars if b.slope] + [load.slope.deg]
    # Opposite angles: of each force, the angle between the other two.
    opposite = [
        angle_between(degs[1], degs[2]),
        angle_between(degs[0], degs[2]),
        angle_between(degs[0], degs[1]),
    ]
    if any(x > 178 or x < 5 for x in opposite):
        return None
    shown = [round(x, who.degree_figures) for x in opposite]
    fault = rng.choice(["", "", "swap", "result"])
    slot = rng.randrange(2)
    used = list(shown)
    if fault == "swap":
        if abs(math.sin(math.radians(shown[0])) - math.sin(math.radians(shown[1]))) < 0.05:
            return None
        used[0], used[1] = shown[1], shown[0]
    text = h.n(load.value) if not load.parts else h.times(h.n(load.parts[0]), h.n(9.81))
    if load.parts and h.s.product != "paren":
        text = f"({text})"
    names_ = [h.w.d.name(b.key) for b in bars]
    sin = who.sine

    def sine(x: float) -> str:
        return f"{sin} {h.w.d.plain(f'{x:.{who.degree_figures}f}')}°"

    h.add(BY[who.tongue])
    h.add(
        T(f"{names_[0]}/{sine(used[0])} = {names_[1]}/{sine(used[1])}").tag(
            "fault" if fault == "swap" else ""
        )
        + f" = {text}/{sine(used[2])}"
    )
    for k in range(2):
        v = load.value * math.sin(math.radians(used[k])) / math.sin(math.radians(used[2]))
        shown_v, v = h.r(v)
        mark = ""
        if fault == "result" and k == slot:
            shown_v, v = h.r(miscopied(v, rng))
            mark = "fault"
        h.add(
            T(f"{names_[k]} = {text}·{sine(used[k])}/{sine(used[2])} = ")
            + T(shown_v).tag(mark)
            + h.unit("load")
        )
    doc = h.doc()
    case = Case("particle, sine rule", who.name, p.sheet(), doc.s + "\n", None, 0, p)
    case.situation = "sine rule, right"
    if not fault:
        return case
    spot = places(doc, "fault")[0]
    wide = Place(spot.line, 0, len(doc.s.split("\n")[spot.line - 1]))
    kinds = {"swap": ("angle", ("component", "geometry")), "result": ("arithmetic", ("algebra",))}
    kind, also = kinds[fault]
    case.truth = Truth(kind, spot.line, (spot, wide), also, (), fault, "sine rule")
    case.situation = "sine rule, faulty"
    return case


def gathered_case(rng: Dice, style: Style | None, family: str | None) -> Case | None:
    """All upright loads of a beam as one resultant at its place, then the reactions."""
    who = style if style is not None and style.tongue else rng.choice(MANNERS)
    u = rng.choice(UNITS)
    js = names(rng)[: rng.choice([4, 5])]
    xs = [0.0]
    for _ in js[1:]:
        xs.append(round(xs[-1] + span(rng, u, 0.8, 2.5), 4))
    p = Problem("one resultant", u, {j: (x, 0.0) for j, x in zip(js, xs, strict=True)})
    p.title = "Loaded plank"
    p.bodies = {"plank": tuple(js)}
    p.supports = [("pin", js[0], 0.0), ("roller", js[-1], 90.0)]
    for j in js[1:-1]:
        p.loads.append((j, force(rng, u), Slope(270.0), "down"))
    p.find = [f"reaction {js[0]} y", f"reaction {js[-1]}"]
    if not p.solve():
        return None
    h = Short(p, who, rng)
    left, right = h.w.d.name(f"reaction {js[0]} y"), h.w.d.name(f"reaction {js[-1]}")
    name = next((n for n in ("R", "F", "W", "Q") if n not in js and n not in (left, right)), None)
    if name is None:
        return None
    loads = [(p.joints[j][0], v) for j, v, _, _ in p.loads]
    total = sum(v for _, v in loads)
    fault = rng.choice(["", "", "place", "result"])
    h.add(RESULTANT[who.tongue])
    h.add(f"{name} = {' + '.join(h.n(v) for _, v in loads)} = {h.n(total)}{h.unit('load')}")
    arms = [x for x, _ in loads]
    k = rng.randrange(len(arms))
    if fault == "place":
        others = [
            x for x, _ in pairwise(sorted({*xs[1:], *arms})) if abs(x - arms[k]) > 0.1 * arms[k]
        ]
        if not others:
            return None
        arms[k] = rng.choice(others)
    tops = [
        T(h.times(h.n(v), h.n(x)) if h.s.product != "paren" else f"{h.n(v)}({h.n(x)})").tag(
            "fault" if fault == "place" and i == k else ""
        )
        for i, ((_, v), x) in enumerate(zip(loads, arms, strict=True))
    ]
    moment = sum(v * x for (_, v), x in zip(loads, arms, strict=True))
    text, place = h.r(moment / total)
    h.add(T(f"x_{name} = (") + T.join(" + ", tops) + f")/{h.n(total)} = {text} {u[1]}")
    v = total * place / xs[-1]
    shown, v = h.r(v)
    mark = ""
    if fault == "result":
        shown, v = h.r(miscopied(v, rng))
        mark = "fault"
    h.add(
        T(f"{right} = {name}·x_{name}/{h.n(xs[-1])} = {h.n(total)}·{text}/{h.n(xs[-1])} = ")
        + T(shown).tag(mark)
        + h.unit("load")
    )
    rest, _ = h.r(total - v)
    sums = f"{h.n(total)} {h.minus} {shown} = {rest}"
    h.add(f"{left} = {name} {h.minus} {right} = {sums}{h.unit('load')}")
    doc = h.doc()
    case = Case("one resultant", who.name, p.sheet(), doc.s + "\n", None, 0, p)
    case.situation = "one resultant, right"
    if not fault:
        return case
    spot = places(doc, "fault")[0]
    kind, also = {
        "place": ("lever-arm", ("geometry",)), "result": ("arithmetic", ("algebra",))
    }[fault]  # fmt: skip
    case.truth = Truth(kind, spot.line, (spot,), also, (), fault, "one resultant")
    case.situation = "one resultant, faulty"
    return case
