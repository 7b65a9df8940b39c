"""One case: a problem, a person, a working, and the truth about it."""

from __future__ import annotations

import copy
import math
import random
from dataclasses import dataclass, field

from .dress import significant
from .every import FAMILIES
from .faults import PLANTS, Plant
from .plan import Step, Term, by_symmetry, make_plan, wanted_keys
from .problem import Problem
from .sets import SETS
from .style import STYLES, Style
from .text import Place, T, places
from .write import Slip, Writer


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
    notes: list[str] = field(default_factory=list)


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
    if style.names_loads and p.loads:
        base = rng.choice(["P", "F", "Q", "W"])
        if base not in p.joints and len({x[0] for x in p.loads}) == len(p.loads):
            many = len(p.loads) > 1
            for i in range(len(p.loads)):
                p.load_names[f"load {i}"] = f"{base}{i + 1}" if many else base
    if style.numbers_bars and p.members and not p.bodies and rng.random() < 0.7:
        base = rng.choice(["S", "N", "F"])
        under = "_" if style.latex or rng.random() < 0.5 else ""
        if base not in p.joints and base not in "".join(p.load_names.values()):
            for i, (a, b) in enumerate(p.members, 1):
                p.calls[f"{base}{under}{i}" if i < 10 or not style.latex else f"{base}_{{{i}}}"] = (
                    f"{a}-{b}"
                )
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


def detail(p: Problem, style: Style, steps: list[Step], rng: random.Random) -> None:
    """Arms as sums of the distances they span; a slanted force by its square distance."""
    for one in steps:
        for step in (one, one.pair):
            if step is None or step.axis != "M":
                continue
            at = p.joints[step.point]
            if (
                style.perpendicular
                and not p.letters
                and step.target
                and step.body[0] in ("section", "body", "whole")
            ):
                step.terms = squared(step.terms, at, rng)
            for t in step.terms:
                t.pieces = spanned(p, t, at)


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
    gaps = tuple(round(b - a, 4) for a, b in zip(xs, xs[1:], strict=False))
    return gaps if 2 <= len(gaps) <= 3 else ()


def careful(p: Problem, w: Writer) -> bool:
    """Whether the written answers are what a careful person would get (within 1 %)."""
    scale = max(abs(v) for v in p.truth.values())
    for key, v in w.values.items():
        true = p.truth[key] * w.sense.get(key, 1)
        if abs(v - true) > 0.012 * abs(true) + 0.002 * scale:
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
    w = Writer(p, style, random.Random(seed), sense, slip or Slip())
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
        person = style or rng.choice(STYLES)
        made = make_right(rng, fam, person)
        if made is None:
            continue
        p, steps, sense, wseed, doc, w = made
        if kind is None:
            return Case(fam, person.name, p.sheet(), doc.s + "\n", None, number, p)
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
    truth = Truth(pl.kind, first.line, tuple(spans + beside), pl.also, lines, pl.what, group)
    return Case(fam, person.name, p.sheet(), bad.s + "\n", truth, 0, p)


def twins(doc: T, spans: list[Place]) -> list[Place]:
    """Other terms of the line that read exactly as the faulty one: nobody can say which is meant."""
    lines = doc.s.split("\n")
    texts = {(q.line, lines[q.line - 1][q.start : q.end]) for q in spans}
    names = {m for m, _, _ in doc.marks if m.startswith("term:")}
    others = [q for m in names for q in places(doc, m)]
    return [
        q
        for q in others
        if (q.line, lines[q.line - 1][q.start : q.end]) in texts and q not in spans
    ]


def moved(keys: tuple[str, ...], right: Writer, faulty: Writer) -> bool:
    """Whether a value of these differs by more than rounding could."""
    for k in keys:
        a, b = right.values.get(k), faulty.values.get(k)
        if a is None or b is None or abs(a - b) > 0.05 * max(abs(a), abs(b), 0.05 * right.scale):
            return True
    return False
