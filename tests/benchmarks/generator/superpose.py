"""Superposition: the reactions to each load alone, then added."""

from __future__ import annotations

import random
from itertools import pairwise

from .case import Case, Truth
from .families import UNITS, force, intensity, names, span
from .manners import MANNERS
from .plainhand import Short
from .plants import miscopied
from .problem import Dist, Problem, Slope
from .style import Style
from .text import T, places

Dice = random.Random


def two_load_beam(rng: Dice) -> Problem | None:
    """A beam on a pin and a roller (perhaps overhanging) with two or three upright loads."""
    u = rng.choice(UNITS)
    k = rng.choice([4, 5])
    js = names(rng)[:k]
    xs = [0.0]
    for _ in js[1:]:
        xs.append(round(xs[-1] + span(rng, u, 0.8, 2.5), 4))
    p = Problem("superposition", u, {j: (x, 0.0) for j, x in zip(js, xs, strict=True)})
    p.title = "Staging plank"
    p.bodies = {"plank": tuple(js)}
    right = rng.choice([k - 1, k - 1, k - 2])
    p.supports = [("pin", js[0], 0.0), ("roller", js[right], 90.0)]
    free = [j for i, j in enumerate(js) if i not in (0, right)]
    for j in rng.sample(free, 2):
        up = rng.random() < 0.15
        p.loads.append((j, force(rng, u), Slope(90.0 if up else 270.0), "up" if up else "down"))
    if rng.random() < 0.4:
        w = intensity(rng, u)
        i, j = rng.choice(list(pairwise(js)))
        p.dists.append(Dist(i, j, w, w))
    p.find = ["reactions"]
    return p if p.solve() else None


def superposed_case(rng: Dice, style: Style | None, family: str | None) -> Case | None:
    who = style if style is not None and style.tongue else rng.choice(MANNERS)
    p = two_load_beam(rng)
    if p is None:
        return None
    h = Short(p, who, rng)
    a, b = p.supports[0][1], p.supports[1][1]
    length = p.joints[b][0] - p.joints[a][0]
    right = h.w.d.name(f"reaction {b}")
    left = h.w.d.name(f"reaction {a} y")
    acts = [x for x in p.load_acts(set(p.joints)) if x.value is not None]
    form = rng.choice(["digit", "digit", "prime", "comma"])

    def part(name: str, i: int) -> str:
        if form == "prime":
            return name + "'" * i
        if form == "comma":
            return f"{name},{i}" if "_" in name else f"{name}_{i}"
        return f"{name}{i}" if "_" in name else f"{name}_{i}"

    fault = rng.choice(["", "", "arm", "load", "result", "left out", "sign"])
    at = rng.randrange(len(acts))
    sides: dict[str, list[float]] = {left: [], right: []}
    what = ""
    for i, act in enumerate(acts, 1):
        hit = i - 1 == at
        size, arm = abs(act.value or 0), act.point[0] - p.joints[a][0]
        up = act.slope is not None and act.slope.deg == 90.0
        turn = -1.0 if up else 1.0
        shown = h.times(*[h.n(x) for x in act.parts]) if act.parts else h.n(size)
        if fault == "load" and hit:
            size = miscopied(size, rng)
            shown, what = h.n(size), "load miscopied"
        if fault == "arm" and hit:
            arm = length - arm
            if abs(arm - (length - arm)) < 0.1 * length or arm <= 0:
                return None
            what = "the arm from the other support"
        title = f"{h.n(abs(act.value or 0))} {h.w.d.force_unit}" if not act.parts else f"w{i}"
        if act.parts and h.s.tongue != "en":
            title = f"q{i}"
        h.add(h.tongue.only[0].format(x=title))
        mark = ("fault",) if fault in ("arm", "load") and hit else ()
        x = turn * size * arm / length
        text, v = h.r(x)
        if fault == "result" and hit:
            v = miscopied(v, rng)
            text, v = h.r(v)
            what = "slip in the result"
        top = f"{shown}·{h.n(arm)}" if h.s.product == "paren" else shown + h.op + h.n(arm)
        minus = h.minus if up else ""
        term = T(f"{minus}{top}/{h.n(length)}").tag(*mark)
        result = T(text).tag("fault" if fault == "result" and hit else "")
        h.add(T(f"{part(right, i)} = ") + term + " = " + result + h.unit(f"reaction {b}"))
        sides[right].append(v)
        rest = turn * size - v
        text2, v2 = h.r(rest)
        sign = f"{h.minus} {h.n(v)}" if v >= 0 else f"+ {h.n(v)}"
        expr = f"{minus}{shown} {sign}"
        h.add(f"{part(left, i)} = {expr} = {text2}{h.unit(f'reaction {a} y')}")
        sides[left].append(v2)
    lead = rng.choice([*h.tongue.together, ""])
    for k, (name, values) in enumerate(sides.items()):
        used = list(values)
        mark = ""
        if fault == "left out" and k == 1:
            if len(used) < 3 or abs(used[at]) < 1e-9:
                return None
            del used[at]
            mark, what = "fault", "one load left out of the total"
        if fault == "sign" and k == 1:
            used[at] = -used[at]
            mark, what = "fault", "a part taken with the other sign"
        body = h.r(used[0])[0]
        for v in used[1:]:
            body += f" + {h.r(v)[0]}" if v >= 0 else f" {h.minus} {h.r(-v)[0]}"
        text, _ = h.r(sum(used))
        h.add(
            T((lead if k == 0 else "") + f"{name} = ")
            + T(body).tag(mark)
            + f" = {text}{h.unit(f'reaction {a} y')}"
        )
    if rng.random() < 0.5:
        h.add(f"{h.w.d.name(f'reaction {a} x')} = 0")
    else:
        p.find = [f"reaction {a} y", f"reaction {b}"]
    doc = h.doc()
    case = Case("superposition", who.name, p.sheet(), doc.s + "\n", None, 0, p)
    case.situation = "superposition, right"
    if not fault:
        return case
    kinds = {
        "arm": ("lever-arm", ("geometry",)),
        "load": ("magnitude", ()),
        "result": ("arithmetic", ()),
        "left out": ("missing-force", ("arithmetic", "algebra", "magnitude")),
        "sign": ("sign", ("inconsistent", "algebra")),
    }[fault]
    spots = places(doc, "fault")
    if not spots:
        return None
    line = doc.s.split("\n")[spots[0].line - 1]
    wide = type(spots[0])(spots[0].line, 0, len(line))
    spans = (spots[0], wide) if fault in ("left out", "sign") else tuple(spots)
    case.truth = Truth(kinds[0], spots[0].line, spans, kinds[1], (), what, "superposition")
    case.situation = "superposition, faulty"
    return case
