"""A body under three forces: they meet in a point, and their triangle closes."""

from __future__ import annotations

import math
import random

from .case import Case, Truth
from .families import UNITS, force, names, span
from .manners import MANNERS
from .plainhand import Short
from .plants import miscopied
from .problem import Problem, Slope
from .style import Style
from .text import T, places

Dice = random.Random
MEET = {
    "en": "Only three forces act on the boom, so their lines meet in one point {o}.",
    "de": "Am Ausleger greifen nur drei Kräfte an; ihre Wirkungslinien schneiden sich in {o}.",
    "fr": "La poutre est soumise à trois forces : elles sont concourantes en {o}.",
    "es": "Sobre la pluma actúan tres fuerzas: son concurrentes en {o}.",
    "it": "Sull'asta agiscono tre forze: le rette d'azione si incontrano in {o}.",
    "pl": "Na belkę działają trzy siły: ich linie przecinają się w punkcie {o}.",
}


def boom(rng: Dice) -> Problem | None:
    u = rng.choice([x for x in UNITS if x[1] != "mm"])
    a, c, b, d = names(rng)[:4]
    x1, x2, h = span(rng, u, 0.8, 2.5), span(rng, u, 0.5, 2), span(rng, u, 0.8, 3)
    far = round(x1 + x2, 4)
    p = Problem("three forces", u, {a: (0.0, 0.0), c: (x1, 0.0), b: (far, 0.0), d: (0.0, h)})
    p.title = "Davit boom"
    p.bodies = {"boom": (a, c, b)}
    p.cables = [(b, d)]
    p.supports = [("pin", a, 0.0), ("pin", d, 0.0)]
    p.loads.append((c, force(rng, u), Slope(270.0), "down"))
    p.find = [f"{b}-{d}", f"reaction {a} x", f"reaction {a} y"]
    return p if p.solve() else None


def three_force_case(rng: Dice, style: Style | None, family: str | None) -> Case | None:
    who = style if style is not None and style.tongue else rng.choice(MANNERS)
    p = boom(rng)
    if p is None:
        return None
    h = Short(p, who, rng)
    (a, c, b, d), w = list(p.joints), p.loads[0][1]
    x, far, height = p.joints[c][0], p.joints[b][0], p.joints[d][1]
    o = next(n for n in "OXYZ" if n not in p.joints)
    bar = h.w.d.name(f"{b}-{d}")
    ax, ay = h.w.d.name(f"reaction {a} x"), h.w.d.name(f"reaction {a} y")
    fault = rng.choice(["", "", "height", "triangle", "result"])
    h.add(MEET[who.tongue].format(o=o))
    run = x if fault == "height" else far - x
    if abs(run - (far - x)) < 0.1 * far and fault == "height":
        return None
    text, y = h.r(height * run / far)
    expr = T(f"{h.n(height)}·{h.n(run)}/{h.n(far)}").tag("fault" if fault == "height" else "")
    h.add(T(f"y_{o} = ") + expr + f" = {text} {p.units[1]}")
    phi = round(math.degrees(math.atan2(y, x)), 2)
    alpha = round(math.degrees(math.atan2(height, far)), 2)
    tan = who.tangent
    h.add(f"{tan} φ = {text}/{h.n(x)} ⇒ φ = {h.w.d.plain(f'{phi:.2f}')}°")
    h.add(f"{tan} α = {h.n(height)}/{h.n(far)} ⇒ α = {h.w.d.plain(f'{alpha:.2f}')}°")
    sin = who.sine
    wide = math.sin(math.radians(phi + alpha))
    slip = fault == "triangle"
    top = math.sin(math.radians(90 - (alpha if slip else phi)))
    t = w * top / wide
    text, t = h.r(t)
    if fault == "result":
        t = miscopied(t, rng)
        text, t = h.r(t)
    f = "α" if slip else "φ"
    how = rng.choice(["rule", "components", "components"])
    if how == "rule" or slip:
        ratio = T(f"{bar}/{sin}(90° {h.minus} {f})").tag("fault" if slip else "")
        h.add(ratio + f" = {h.n(w)}/{sin}(φ + α)")
        result = T(text).tag("fault" if fault == "result" else "")
        inner = T(f"{h.n(w)}·{sin}(90° {h.minus} {f})/{sin}(φ + α)").tag("result" * slip)
        h.add(T(f"{bar} = ") + inner + " = " + result + h.unit("load"))
    else:
        h.add(f"{ax} = {bar} cos α")
        h.add(f"{ay} = {ax} {tan} φ")
        h.add(f"{ay} + {bar} {sin} α = {h.n(w)}")
        expr = f"{h.n(w)}/(cos α {tan} φ + {sin} α)"
        result = T(text).tag("fault" if fault == "result" else "")
        h.add(T(f"{bar} = {expr} = ") + result + h.unit("load"))
    xv = t * math.cos(math.radians(alpha))
    xt, xv = h.r(xv)
    h.add(f"{ax} = {text} cos α = {xt}{h.unit('load')}")
    yt, _ = h.r(xv * math.tan(math.radians(phi)))
    h.add(f"{ay} = {xt} {tan} φ = {yt}{h.unit('load')}")
    doc = h.doc()
    case = Case("three forces", who.name, p.sheet(), doc.s + "\n", None, 0, p)
    case.situation = "three forces, right"
    if not fault:
        return case
    spots = places(doc, "fault")
    kinds = {
        "height": ("geometry", ("lever-arm", "arithmetic", "magnitude")),
        "triangle": ("angle", ("component", "geometry")),
        "result": ("arithmetic", ("algebra",)),
    }[fault]
    line = spots[0].line
    wide_span = type(spots[0])(line, 0, len(doc.s.split("\n")[line - 1]))
    case.truth = Truth(kinds[0], line, (spots[0], wide_span), kinds[1], (), fault, "three forces")
    case.situation = "three forces, faulty"
    return case
