"""What people put at the end: a check, a resultant, and the frame of the page."""

from __future__ import annotations

import math
import re
from typing import TYPE_CHECKING

from .plan import Step, sum_terms
from .text import T

if TYPE_CHECKING:
    from .write import Writer


LEANS = {
    "en": " at {angle} to the horizontal", "de": " unter {angle} zur Horizontalen",
    "fr": " à {angle} de l'horizontale", "es": " a {angle} de la horizontal",
    "it": " a {angle} dall'orizzontale", "pl": " pod kątem {angle} do poziomu",
}  # fmt: skip


def by_symmetry(w: Writer, i: int, step: Step, lead: T) -> None:
    """Both reactions as half of the load."""
    loads = [w.piece(t, 1, True, ()) for t in step.terms if t.act.value is not None]
    total = sum(abs(q.worth) for q in loads)
    first, second = (w.d.name(k) for k in step.unknowns)
    many = len(loads) > 1
    shown = T.join(" + ", [q.body.tag(q.term.mark) for q in loads])
    half = (
        (T("(") + shown + ")/2" if many else shown + "/2")
        if not w.s.latex
        else (T(r"\frac{") + shown + "}{2}")
    )
    tongue = getattr(w, "tongue", None)
    leads = tongue.symmetry if tongue else ("By symmetry, ", "By symmetry ", "Symmetry: ")
    words = w.rng.choice(leads)
    v = w.d.result_value(total / 2)
    for key in step.unknowns:
        w.values[key], w.full[key] = v, total / 2
    value = w.d.result(total / 2) + w.d.unit(step.unknowns[0])
    line = T(f"{words}{first} = {second} = ") + half + f" = {value}"
    w.doc.append(lead + line.tag(f"line:{i}", "symmetry"))


def closing_check(w: Writer) -> None:
    """A sum over the whole that was not needed, with the values found: nothing, or nearly."""
    acts = w.p.whole()
    if any(a.value is None and a.key not in w.values for a in acts) or w.p.family == "particle":
        return
    points = [j for j in w.p.joints]
    axis, point = w.rng.choice([("y", ""), ("y", ""), ("M", w.rng.choice(points)), ("x", "")])
    terms = sum_terms(acts, axis, w.p.joints.get(point, (0.0, 0.0)), w.sense)
    if len(terms) < 3:
        return
    w.panel = 1.0
    pieces = w.without_zeros([w.piece(t, 1, True, ()) for t in terms])
    total = sum(q.worth for q in pieces)
    size = max(abs(q.worth) for q in pieces)
    if abs(total) > 0.005 * size:
        return
    about = f"M_{point}" if axis == "M" else f"F_{axis}"
    tongue = getattr(w, "tongue", None)
    sigma = "Sum " if w.s.ascii else (r"\sum " if w.s.latex else "Σ")
    lead = (
        w.rng.choice(tongue.check if tongue else ("Check ", "Check: ", "check "))
        + sigma
        + about.replace("_", "" if w.s.ascii else "_")
    )
    tick = "" if w.s.ascii else (r"\ \checkmark" if w.s.latex else " ✓")
    text = T(lead + (": " if not lead.endswith(":") else " ")) + w.signed(pieces)
    if abs(total) < 1e-6 * size:
        end = " = 0" + (tick or " OK")
    else:
        end = {True: " -> 0 OK", False: " ≈ 0" + tick}[w.s.ascii]
        if w.s.latex:
            end = r" \approx 0" + tick
        if w.s.ascii:
            end = f" = {w.d.result(total)}, ok"
    w.doc.append(text + end)


def whole_reaction(w: Writer) -> None:
    """The size of a pin's reaction from its two components."""
    for kind, j, _ in w.p.supports:
        x, y = w.values.get(f"reaction {j} x", 0.0), w.values.get(f"reaction {j} y", 0.0)
        if kind != "pin" or not x or not y or w.p.letters or "R" in w.p.joints:
            continue
        v = math.hypot(x, y)
        name = w.d._sub(f"R_{j}")
        if any(w.d.name(k) == name for k in w.values):
            continue
        a, b = (f"({n})" if "/" in n else n for n in (w.d.result(abs(x)), w.d.result(abs(y))))
        root = (
            rf"\sqrt{{{a}^2 + {b}^2}}" if w.s.latex
            else f"sqrt({a}^2 + {b}^2)" if w.s.ascii else f"√({a}² + {b}²)"
        )  # fmt: skip
        line = f"{name} = {root} = {w.d.result(v)}{w.d.unit(f'reaction {j} y')}"
        if w.rng.random() < 0.3 and not w.s.latex:
            angle, _ = w.d.degrees(math.degrees(math.atan2(abs(y), abs(x))))
            line += LEANS[w.s.tongue or "en"].format(angle=angle)
        w.doc.append(T(line))
        return


def frame(w: Writer, lines: list[T]) -> T:
    """The lines as a page; LaTeX writers wrap their mathematics."""
    if w.s.tex not in ("dollars", "align"):
        return T.join("\n", lines)
    flat = [piece for line in lines for piece in split(line)]
    if w.s.tex == "dollars":
        return T.join("\n", [dollars(q) for q in flat])
    out: list[T] = [T(r"\begin{align*}")]
    out += [aligned(q) + r" \\" for q in flat]
    return T.join("\n", [*out, T(r"\end{align*}")])


LEAD = re.compile(r"(?:[^\W\d_][\w,;()\- ]+ ?: ?|By inspection, |So |, |[Cc]heck:? )")


def parted(line: T) -> tuple[T, T]:
    """The words before a line's mathematics, and the mathematics."""
    if "\\" not in line.s and "=" not in line.s:
        return line, T()
    found = LEAD.match(line.s)
    at = found.end() if found else 0
    return cut(line, 0, at), cut(line, at, len(line.s))


def dollars(line: T) -> T:
    words, sums = parted(line)
    return words + "$" + sums + "$" if sums else words


def aligned(line: T) -> T:
    words, sums = parted(line)
    lead = T(r"\text{") + words + "}" if words else T()
    if not sums:
        return "&" + lead
    at = sums.s.find("=", sums.s.find(r"\quad") if r"\quad" in sums.s else 0)
    if at < 0:
        return lead + "&" + sums
    return lead + cut(sums, 0, at, 1) + cut(sums, at, len(sums.s))


def cut(text: T, a: int, b: int, extra: int = 0) -> T:
    """The piece from a to b with its marks; `extra` adds the alignment sign at its end."""
    marks = tuple((m, max(x, a) - a, min(y, b) - a) for m, x, y in text.marks if x < b and y > a)
    return T(text.s[a:b] + "&" * extra, marks)


def split(line: T) -> list[T]:
    """A piece of several lines as its lines, marks kept where they do not cross a break."""
    parts, at = [], 0
    for text in line.s.split("\n"):
        end = at + len(text)
        marks = tuple(
            (m, max(a, at) - at, min(b, end) - at) for m, a, b in line.marks if a < end and b > at
        )
        parts.append(T(text, marks))
        at = end + 1
    return parts
