"""One case: a problem, a person, a working, and the truth about it."""

from __future__ import annotations

import copy
import random
from dataclasses import dataclass, field

from .every import FAMILIES, PEOPLE
from .faults import PLANTS
from .habits import detail, personal, senses
from .plan import Step, across_bar, across_bars, by_symmetry, make_plan, wanted_keys
from .plants import Plant, shows_sense
from .problem import Problem
from .scribe import Scribe
from .sets import SETS
from .style import Style
from .text import Place, T, places
from .write import Slip, Writer

MIXED = ("lever-arm", "component", "angle", "magnitude", "arithmetic", "geometry")
"""Kinds that nobody can tell apart in a moment that is written as one number."""


@dataclass(frozen=True)
class Truth:
    """What is wrong: the first fault's line and kind, other kinds that explain it equally well,
    and the places that count as its term (the narrow wrong part first)."""

    kind: str
    line: int
    spans: tuple[Place, ...]
    also: tuple[str, ...] = ()
    other_lines: tuple[int, ...] = ()
    what: str = ""
    group: str = "single"


@dataclass
class Case:
    family: str
    style: str
    sheet: str
    working: str
    truth: Truth | None
    number: int = 0
    problem: Problem | None = None
    names: dict[str, float] = field(default_factory=dict)  # what each name of the page is worth
    situation: str = ""  # what it is about, where it is more than a right page or a plant
    alone: bool = False  # judged without its sheet
    strict: bool = False  # judged with strict rounding


def worths(w: Writer) -> dict[str, float]:
    """What every name on a right page is worth."""
    out = {w.d.name(k): v for k, v in w.values.items()}
    out |= {n: w.d.angle_values[a] for a, n in w.d.angle_names.items()}
    return out | {n: w.p.load_size(k) for k, n in w.p.load_names.items()}


def careful(p: Problem, w: Writer) -> bool:
    """Whether the written answers are what a careful person would get (within 1 %)."""
    scale = max(abs(v) for v in p.truth.values())
    loose = 6 if w.s.carry == "rough" else 1
    for key, v in w.values.items():
        true = p.truth[key] * w.sense.get(key, 1)
        if abs(v - true) > loose * (0.012 * abs(true) + 0.002 * scale):
            return False
    return set(wanted_keys(p)) <= set(w.values)


def write(
    p: Problem,
    style: Style,
    steps: list[Step],
    sense: dict[str, int],
    seed: float,
    slip: Slip | None = None,
) -> tuple[T, Writer]:
    hand = Scribe if style.tongue else Writer
    w = hand(p, style, random.Random(seed), sense, slip or Slip())
    return w.page(steps), w


def make_right(
    rng: random.Random, family: str, style: Style
) -> tuple[Problem, list[Step], dict[str, int], float, T, Writer] | None:
    p = FAMILIES[family](rng)
    if p is None:
        return None
    personal(p, style, rng)
    sense = senses(p, style, rng)
    mirrored = bool(p.notes.get("symmetric")) and rng.random() < 0.6
    if mirrored:
        sense |= {k: 1 for k in sense if k.startswith("reaction")}
    method = rng.choice(["joints", "sections", "mixed"])
    steps = make_plan(p, sense, method, style.moment_points == "any", rng)
    if steps and p.family == "particle" and style.sum_label != "none" and rng.random() < 0.35:
        steps = across_bar(p, steps, sense, rng)
    if steps and style.across:
        steps = across_bars(p, steps, sense, rng)
    if steps and mirrored:
        steps = by_symmetry(p, steps)
    if steps:
        detail(p, style, steps, rng)
    if not steps or len(steps) > 24:
        return None
    seed = rng.random()
    doc, w = write(p, style, copy.deepcopy(steps), sense, seed)
    if w.dropped or not careful(p, w):
        return None
    return p, steps, sense, seed, doc, w


def make_case(
    seed: int,
    kind: str | None = None,
    family: str | None = None,
    style: Style | None = None,
    number: int = 0,
) -> Case | None:
    """A right working (kind None) or one with a planted fault; None where the dice fell badly."""
    rng = random.Random(f"{seed}/{number}")
    for _ in range(60):
        fam = family or rng.choice(list(FAMILIES))
        person = style or rng.choice(PEOPLE)
        made = make_right(rng, fam, person)
        if made is None:
            continue
        p, steps, sense, wseed, doc, w = made
        if kind is None:
            text = doc.s + "\n"
            return Case(fam, person.name, p.sheet(), text, None, number, p, worths(w))
        for _ in range(12):
            pl = {**PLANTS, **SETS}[kind](p, copy.deepcopy(steps), person, w, rng)
            if pl is None:
                continue
            group = kind if kind in SETS else "single"
            case = planted(fam, person, p, sense, wseed, doc, w, pl, group)
            if case is not None:
                case.number = number
                return case
    return None


def planted(
    fam: str,
    person: Style,
    p: Problem,
    sense: dict[str, int],
    wseed: float,
    right: T,
    rw: Writer,
    pl: Plant,
    group: str,
) -> Case | None:
    """The faulty working with its truth, unless the plant changes nothing that anyone could see."""
    bad, w = write(p, person, pl.steps, sense, wseed, pl.slip)
    if w.dropped or bad.s == right.s:
        return None
    if pl.moves and not moved(pl.steps[pl.step].unknowns, rw, w):
        return None
    if pl.moves and pl.kind not in ("sign", "inconsistent") and turned(pl, person, rw, w):
        return None
    if pl.step < 0 and not moved(tuple(rw.values), rw, w):
        return None
    found = places(bad, pl.mark)
    if not found:
        return None
    first = min(found, key=lambda q: q.line)
    spans = [q for m in (pl.mark, *pl.wider) for q in places(bad, m) if q.line == first.line]
    spans += [q for q in places(bad, "wide") if q.line == first.line]
    spans += twins(bad, spans)
    beside = [q for m in pl.elsewhere for q in places(bad, m)]
    if person.wraps:
        beside += [q for q in found if q.line == first.line + 1]
    beside += first_use(bad.s, w, pl, first)
    lines = tuple(sorted({q.line for q in beside} - {first.line}))
    if pl.kind == "missing-force":
        ends = [q for q in spans if q.line == first.line]
        spans = [Place(first.line, min(q.start for q in ends), max(q.end for q in ends))]
    changed = next(
        (
            i + 1
            for i, (x, y) in enumerate(zip(right.s.split("\n"), bad.s.split("\n"), strict=False))
            if x != y
        ),
        0,
    )
    if changed and changed < first.line:
        return None
    also = pl.also
    if person.premultiplies and pl.kind in MIXED:
        also = tuple({*also, *MIXED} - {pl.kind})
    truth = Truth(pl.kind, first.line, tuple(spans + beside), also, lines, pl.what, group)
    return Case(fam, person.name, p.sheet(), bad.s + "\n", truth, 0, p)


def first_use(text: str, w: Writer, pl: Plant, first: Place) -> list[Place]:
    """Where a badly worked out angle, said by bare sine and cosine, is used first."""
    if pl.kind != "geometry" or "angle" not in pl.also or "/" in text.split("\n")[first.line - 1]:
        return []
    wrong = list(w.d.angle_names.values())[pl.slip.step]
    for number, line in enumerate(text.split("\n"), 1):
        if number > first.line and wrong in line:
            return [Place(number, 0, len(line))]
    return []


def twins(doc: T, spans: list[Place]) -> list[Place]:
    """Other terms of the line that read just as the faulty one: nobody knows which is meant."""
    lines = doc.s.split("\n")
    texts = {(q.line, lines[q.line - 1][q.start : q.end]) for q in spans}
    names = {m for m, _, _ in doc.marks if m.startswith("term:")}
    others = [q for m in names for q in places(doc, m)]
    return [
        q
        for q in others
        if (q.line, lines[q.line - 1][q.start : q.end]) in texts and q not in spans
    ]


def turned(pl: Plant, person: Style, right: Writer, faulty: Writer) -> bool:
    """Whether only the sign of the answer came out otherwise, and no sense is told: no fault."""
    step = pl.steps[pl.step]
    if not step.target or shows_sense(person, step):
        return False
    a, b = right.values.get(step.target, 0.0), faulty.values.get(step.target, 0.0)
    return abs(abs(a) - abs(b)) < 1e-3 * max(abs(a), 1e-12)


def moved(keys: tuple[str, ...], right: Writer, faulty: Writer) -> bool:
    """Whether a value of these differs by more than rounding could."""
    for k in keys:
        a, b = right.values.get(k), faulty.values.get(k)
        if a is None or b is None or abs(a - b) > 0.05 * max(abs(a), abs(b), 0.05 * right.scale):
            return True
    return False
