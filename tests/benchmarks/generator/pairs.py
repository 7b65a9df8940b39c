"""Two sums with the same two unknowns: numbered, one put into the other, or just solved."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from .hand import Slip
from .plan import Step
from .text import T

if TYPE_CHECKING:
    from .hand import Piece
    from .write import Writer


def write_pair(w: Writer, i: int, step: Step, lead: T) -> None:
    """Write both sums and their solution; values come from the numbers as written."""
    assert step.pair is not None
    forms = []
    targets = step.unknowns
    w.numbered += 2
    tags = (w.mark(w.numbered - 1), w.mark(w.numbered))
    other_body = step.pair.body != step.body
    for part, tag, mark in ((step, tags[0], f"{i}"), (step.pair, tags[1], f"{i}b")):
        label, flip = w.label(part)
        if part is step.pair and other_body:
            head = w.heading(part)
            if head:
                w.doc.append(T(head))
            lead = T()
        pieces = w.ordered([w.piece(t, flip, True, targets) for t in part.terms])
        pieces = w.without_zeros(pieces)
        lead_in = (lead + T(label).tag(f"label:{mark}")) if label else lead
        w.doc.append(
            lead_in + w.equation(pieces).tag(f"sum:{mark}") + w.rng.choice(["   ", " ... "]) + tag
        )
        lead = T()
        forms.append(linear(pieces, targets))
    solve(w, i, step, forms, tags)


def linear(pieces: list[Piece], targets: tuple[str, ...]) -> tuple[float, float, float]:
    c = [sum(q.worth for q in pieces if q.key == t) for t in targets]
    return c[0], c[1], sum(q.worth for q in pieces if q.key not in targets)


def solve(
    w: Writer, i: int, step: Step, forms: list[tuple[float, float, float]], tags: tuple[str, str]
) -> None:
    (a1, b1, k1), (a2, b2, k2) = forms
    det = a1 * b2 - a2 * b1
    if abs(det) < 0.02 * max(abs(a1 * b2), abs(a2 * b1), 1e-12):
        w.dropped = True
        return
    tongue = getattr(w, "tongue", None)
    first, second = step.unknowns
    if abs(a1) < 1e-9 or (w.rng.random() < 0.25 and abs(a1) > 0):
        x, y = (-k1 * b2 + k2 * b1) / det, (-a1 * k2 + a2 * k1) / det
        if abs(x) > 1e-9 and abs(y) > 1e-9:
            lead = w.rng.choice(["Solving: ", f"Solving {tags[0]} and {tags[1]}: ", "Solve: "])
            if tongue:
                lead = tongue.pair[2].format(t=tags[0], u=tags[1])
            sep = "; " if w.s.comma else ", "
            w.doc.append(
                T(lead) + stated(w, i, step, first, x) + sep + stated(w, i, step, second, y)
            )
            return
    if abs(a1) < 1e-9:
        w.dropped = True
        return
    if w.s.eliminates and eliminated(w, i, step, forms, tags):
        return
    r, q = -b1 / a1, -k1 / a1
    rt, r = w.number(r)
    expr = "" if abs(r - 1) < 1e-9 else (w.d.minus if abs(r + 1) < 1e-9 else rt + " ")
    text = f"{w.d.name(first)} = {expr}{w.d.name(second)}"
    if abs(q) > 1e-9:
        qt, q = w.number(q)
        text += f" + {qt}" if q > 0 else f" {w.d.minus} {qt.replace(w.d.minus, '')}"
    source = (
        tongue.pair[0].format(t=tags[0])
        if tongue
        else w.rng.choice([f"From {tags[0]}: ", f"{tags[0]} gives "])
    )
    w.doc.append(T(source + text))
    c, k = a2 * r + b2, -(k2 + a2 * q)
    if c < 0:
        c, k = -c, -k
    if abs(c) < 1e-6 or abs(k) < 1e-9:
        w.dropped = True
        return
    ct, c = w.number(c)
    kt, k = w.number(k)
    into = w.rng.choice(
        [f"Sub into {tags[1]}: ", f"Into {tags[1]}: ", f"sub ({tags[0][1:-1]}) into {tags[1]}: "]
    )
    if tongue:
        into = tongue.pair[1].format(t=tags[1])
    w.doc.append(T(f"{into}{ct} {w.d.name(second)} = {kt}"))
    w.doc.append(stated(w, i, step, second, k / c))
    v = w.values[second]
    w.doc.append(stated(w, i, step, first, r * v + q))


def eliminated(
    w: Writer, i: int, step: Step, forms: list[tuple[float, float, float]], tags: tuple[str, str]
) -> bool:
    """One equation times a number taken from the other: the first unknown drops out."""
    (a1, b1, k1), (a2, b2, k2) = forms
    if abs(a2) < 1e-9:
        return False
    first, second = step.unknowns
    mt, m = w.number(abs(a2 / a1))
    m = m if a2 / a1 > 0 else -m
    c, k = b2 - m * b1, -(k2 - m * k1)
    if abs(c) < 0.02 * max(abs(b2), abs(m * b1), 1e-12) or abs(k) < 1e-9:
        return False
    sign = w.d.minus if m > 0 else "+"
    op = "·" if not w.s.ascii else "*"
    times = tags[0] if abs(abs(m) - 1) < 1e-12 else f"{mt}{op}{tags[0]}"
    if w.s.latex:
        times = times.replace("·", r" \cdot ")
    if c < 0:
        c, k = -c, -k
    ct, c = w.number(c)
    kt, k = w.number(k)
    w.doc.append(T(f"{tags[1]} {sign} {times}: {ct} {w.d.name(second)} = {kt}"))
    w.doc.append(stated(w, i, step, second, k / c))
    x = (-k1 - b1 * w.values[second]) / a1
    tongue = getattr(w, "tongue", None)
    lead = tongue.pair[0].format(t=tags[0]) if tongue else f"From {tags[0]}: "
    w.doc.append(T(lead) + stated(w, i, step, first, x))
    return True


def stated(w: Writer, i: int, step: Step, key: str, x: float) -> T:
    assert step.pair is not None
    terms = step.terms if any(t.act.key == key for t in step.terms) else step.pair.terms
    alone = replace(step, target=key, terms=terms, pair=None)
    return T(f"{w.d.name(key)} = ") + w.conclude(i, alone, x, Slip())
