"""Lengths and loads by their letters from the sheet: formulas first, numbers last."""

from __future__ import annotations

import random

from .case import Case, Truth
from .families import PLAIN, force, intensity, names, span
from .manners import MANNERS
from .plainhand import Short
from .plants import miscopied
from .problem import Dist, Problem, Slope
from .style import Style
from .text import T, places

Dice = random.Random


class Lettered(Problem):
    """A beam whose sheet gives lengths and loads by `let`."""

    def sheet(self) -> str:
        text = super().sheet()
        for old, new in self.notes.items():
            text = text.replace(old, new, 1)
        return text


def beam(rng: Dice) -> tuple[Problem, dict[str, float], list[str]] | None:
    u = rng.choice([x for x in PLAIN if x[1] != "mm"])
    js = [n for n in names(rng)[:6] if n not in "FQPW"][:4]
    if len(js) < 4:
        return None
    a, b, c = (span(rng, u, 1, 3) for _ in range(3))
    xs = [0.0, a, round(a + b, 4), round(a + b + c, 4)]
    p = Lettered("named lengths", u, {j: (x, 0.0) for j, x in zip(js, xs, strict=True)})
    p.title = "Staging beam"
    p.bodies = {"beam": tuple(js)}
    p.supports = [("pin", js[0], 0.0), ("roller", js[3], 90.0)]
    values = {"a": a, "b": b, "c": c}
    p.lets = [f"let     {n} = {v:g}" for n, v in values.items()]
    sums = ["0", "a", "a + b", "a + b + c"]
    for j, x, text in zip(js, xs, sums, strict=True):
        shown = f"{x:.4f}".rstrip("0").rstrip(".")
        p.notes[f"joint   {j}  {shown or '0'}  0"] = f"joint   {j}  {text}  0"
    f1, f2 = force(rng, u), force(rng, u)
    p.loads = [(js[1], f1, Slope(270.0), "down"), (js[2], f2, Slope(270.0), "down")]
    p.load_names = {"load 0": "F1", "load 1": "F2"}
    values |= {"F1": f1, "F2": f2}
    if rng.random() < 0.4:
        w = intensity(rng, u)
        p.dists.append(Dist(js[0], js[3], w, w))
        values["q"] = w
        p.lets.append(f"let     q = {w:g}")
    p.find = ["reactions"]
    return (p, values, js) if p.solve() else None


def named_case(rng: Dice, style: Style | None, family: str | None) -> Case | None:
    who = style if style is not None and style.tongue else rng.choice(MANNERS)
    made = beam(rng)
    if made is None:
        return None
    p, values, js = made
    h = Short(p, who, rng)
    right, left = h.w.d.name(f"reaction {js[3]}"), h.w.d.name(f"reaction {js[0]} y")
    if {right, left, h.w.d.name(f"reaction {js[0]} x")} & set(values):
        return None
    dot = rng.choice(["·", " ", "·"])
    fault = rng.choice(["", "", "arm", "copy", "result", "missing"])
    spread = "q" in values
    at = rng.randrange(2)
    arms = [["a"], ["a", "b"]]
    if fault == "arm":
        arms[at] = rng.choice([x for x in (["a"], ["b"], ["a", "b"], ["b", "c"]) if x != arms[at]])

    def joined(letters: list[str], numbers: bool) -> str:
        shown = [h.n(values[x]) if numbers else x for x in letters]
        return f"({' + '.join(shown)})" if len(shown) > 1 else shown[0]

    length = ["a", "b", "c"]
    wrong = dict(values)
    if fault == "copy":
        wrong[f"F{at + 1}"] = miscopied(values[f"F{at + 1}"], rng)
    tops: list[list[T]] = [[], []]
    for k in range(2):
        if fault == "missing" and k == at:
            continue
        name = f"F{k + 1}"
        mark = "fault" if fault == "arm" and k == at else ""
        tops[0].append(T(f"{name}{dot}{joined(arms[k], False)}").tag(mark))
        mark = "fault" if fault in ("arm", "copy") and k == at else ""
        tops[1].append(T(f"{h.n(wrong[name])}·{joined(arms[k], True)}").tag(mark))
    if spread:
        tops[0].append(T(f"q{dot}{joined(length, False)}²/2"))
        tops[1].append(T(f"{h.n(values['q'])}·{joined(length, True)}²/2"))
    whole = sum(values[x] for x in length)
    k = sum(
        wrong[f"F{i + 1}"] * sum(values[x] for x in arms[i])
        for i in range(2)
        if not (fault == "missing" and i == at)
    )
    k += values.get("q", 0.0) * whole**2 / 2
    text, v = h.r(k / whole)
    if fault == "result":
        text, v = h.r(miscopied(v, rng))
    label = h.tongue.labels[who.label_set % len(h.tongue.labels)]
    given = [f"{n} = {h.n(x)}" for n, x in values.items()]
    if rng.random() < 0.5:
        h.add(("; " if who.comma else ", ").join(given))
    mark = "fault" if fault == "missing" else ""
    turn = T(f"{right}{dot}{joined(length, False)} = ") + T.join(" + ", tops[0])
    h.add(T(label[2].format(a=js[0])) + turn.tag(mark))
    numbers = T("(") + T.join(" + ", tops[1]) + f")/{joined(length, True)}"
    if fault == "arm":
        numbers = T(numbers.s)
    result = T(text).tag("fault" if fault == "result" else "")
    h.add(T(f"{right} = ") + numbers + " = " + result + h.unit("load"))
    loads = ["F1", "F2"] + (["q"] if spread else [])
    total = values["F1"] + values["F2"] + values.get("q", 0.0) * whole
    text2, _ = h.r(total - v)
    words = [x if x != "q" else f"q{dot}{joined(length, False)}" for x in loads]
    shown = [
        h.n(values[x]) if x != "q" else f"{h.n(values[x])}·{joined(length, True)}" for x in loads
    ]
    h.add(
        f"{label[1]}{left} = {' + '.join(words)} {h.minus} {right} = "
        f"{' + '.join(shown)} {h.minus} {text} = {text2}{h.unit('load')}"
    )
    h.add(f"{label[0]}{h.w.d.name(f'reaction {js[0]} x')} = 0")
    doc = h.doc()
    case = Case("named lengths", who.name, p.sheet(), doc.s + "\n", None, 0, p)
    case.situation = "named lengths, right"
    if not fault:
        return case
    spots = places(doc, "fault")
    if not spots:
        return None
    kinds = {
        "arm": ("lever-arm", ("geometry",)), "copy": ("magnitude", ()),
        "result": ("arithmetic", ()), "missing": ("missing-force", ()),
    }[fault]  # fmt: skip
    line = spots[0].line
    wide = type(spots[0])(line, 0, len(doc.s.split("\n")[line - 1]))
    spans = (spots[0], wide) if fault == "missing" else (spots[0],)
    case.truth = Truth(kinds[0], line, spans, kinds[1], (), fault, "named lengths")
    case.situation = "named lengths, faulty"
    return case
