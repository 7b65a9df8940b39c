"""One case: a problem, a person, a working, and the truth about it."""

from __future__ import annotations

import copy
import random
from dataclasses import dataclass, field

from .every import FAMILIES
from .faults import Plant, plant
from .plan import Step, make_plan, wanted_keys
from .problem import Problem
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
    sense = senses(p, style, rng)
    method = rng.choice(["joints", "sections", "mixed"])
    steps = make_plan(p, sense, method, style.moment_points == "any", rng)
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
            pl = plant(kind, p, copy.deepcopy(steps), person, w, rng)
            if pl is None:
                continue
            case = planted(fam, person, p, sense, wseed, doc, w, pl)
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
) -> Case | None:
    bad, w = write(p, person, pl.steps, sense, wseed, pl.slip)
    if w.dropped or bad.s == right.s:
        return None
    a, b = rw.solved.get(pl.step), w.solved.get(pl.step)
    if pl.moves and (a is None or b is None or abs(a - b) < 0.05 * max(abs(a), 0.03 * w.scale)):
        return None
    found = places(bad, pl.mark)
    if not found:
        return None
    first = min(found, key=lambda q: q.line)
    spans = [q for m in (pl.mark, *pl.wider) for q in places(bad, m) if q.line == first.line]
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
    truth = Truth(pl.kind, first.line, tuple(spans), pl.also, (), pl.what)
    return Case(fam, person.name, p.sheet(), bad.s + "\n", truth, 0, p)
