"""Claims of symmetry, true and false: of both reactions, of mirrored bars."""

from __future__ import annotations

import random
from dataclasses import replace

from .case import Case, Truth, make_right, write
from .every import PEOPLE
from .families import force
from .habits import personal, senses
from .more import symmetric_beam, symmetric_truss
from .plan import by_symmetry, make_plan
from .problem import Problem, Slope
from .style import Style
from .text import places

Dice = random.Random
ANY = ("sign", "lever-arm", "component", "angle", "magnitude", "missing-force", "extra-force",
       "geometry", "arithmetic", "algebra", "unit", "sense", "inconsistent")  # fmt: skip
WORDS = {
    "": "By symmetry, ", "en": "By symmetry, ", "de": "Aus Symmetriegründen ",
    "fr": "Par symétrie, ", "es": "Por simetría, ", "it": "Per simmetria ", "pl": "Z symetrii ",
}  # fmt: skip


def spoilt(p: Problem, rng: Dice) -> Problem | None:
    """The same figure with loads that are no mirror image any more, by far enough."""
    if rng.random() < 0.5 and p.loads:
        i = rng.randrange(len(p.loads))
        j, v, slope, words = p.loads[i]
        middle = max(x for x, _ in p.joints.values()) / 2
        if abs(p.joints[j][0] - middle) < 1e-6:
            return None
        p.loads[i] = (j, round(v * rng.choice([0.5, 1.5, 2.0]), 2), slope, words)
    else:
        middle = max(x for x, _ in p.joints.values()) / 2
        held = {j for _, j, _ in p.supports} | {x[0] for x in p.loads}
        spots = [j for j, (x, _) in p.joints.items() if j not in held and abs(x - middle) > 1e-6]
        if not spots:
            return None
        p.loads.append((rng.choice(spots), force(rng, p.units), Slope(270.0), "down"))
    if not p.solve():
        return None
    ups = [v for k, v in p.truth.items() if k.startswith("reaction") and k.split()[-1] != "x"]
    return p if len(ups) == 2 and abs(ups[0] - ups[1]) > 0.08 * max(map(abs, ups)) else None


def symmetry_case(rng: Dice, style: Style | None, family: str | None) -> Case | None:
    who = style or rng.choice(PEOPLE)
    if who.latex:
        return None
    who = replace(who, assume="positive", size_only=False, names_loads=False)
    if rng.random() < 0.35:
        return mirrored_bars(rng, who)
    p = rng.choice([symmetric_beam, symmetric_truss])(rng)
    if p is None:
        return None
    false = rng.random() < 0.5
    if false:
        p = spoilt(p, rng)
        if p is None:
            return None
    personal(p, who, rng)
    sense = senses(p, who, rng)
    steps = make_plan(p, sense, rng.choice(["joints", "sections"]), False, rng)
    if not steps:
        return None
    steps = by_symmetry(p, steps)
    if not any(s.symmetry for s in steps) or len(steps) > 14:
        return None
    doc, w = write(p, who, steps, sense, rng.random())
    if w.dropped:
        return None
    case = Case(p.family, who.name, p.sheet(), doc.s + "\n", None, 0, p)
    case.situation = "symmetry, true"
    if false:
        spots = places(doc, "symmetry")
        case.truth = Truth(
            "sense", spots[0].line, tuple(spots), ANY, (), "no symmetry here", "symmetry"
        )
        case.situation = "symmetry, false"
    return case


def mirrored_bars(rng: Dice, who: Style) -> Case | None:
    """A bar's force taken over for its mirror image at the end of the page."""
    who = replace(who, numbers_bars=False)
    false = rng.random() < 0.5
    family = "truss symmetric"
    if false:
        family = rng.choice(["truss parallel", "truss gable"])
    made = make_right(rng, family, who)
    if made is None:
        return None
    p, _, _, _, doc, w = made
    middle = max(x for x, _ in p.joints.values()) / 2
    places_ = {(round(x, 4), y): j for j, (x, y) in p.joints.items()}
    mirror = {j: places_.get((round(2 * middle - x, 4), y), "") for j, (x, y) in p.joints.items()}
    bars = {frozenset(b): f"{b[0]}-{b[1]}" for b in p.bars()}
    options = []
    for key, v in w.values.items():
        if "-" not in key or not v:
            continue
        twin = bars.get(frozenset(mirror.get(j, "") for j in key.split("-")))
        if twin is None or twin == key or twin in w.values:
            continue
        same = abs(p.truth[twin] - p.truth[key]) < 1e-6 * w.scale
        apart = abs(p.truth[twin] - p.truth[key]) > 0.08 * max(abs(p.truth[twin]), abs(v))
        if (false and apart) or (not false and same):
            options.append((key, twin, v))
    if not options:
        return None
    key, twin, v = rng.choice(options)
    line = (
        f"{WORDS[who.tongue]}{w.d.name(twin)} = {w.d.name(key)} = "
        f"{w.d.result(v)}{w.d.unit(key)}{w.d.member_word(v > 0)}"
    )
    p.find.append(twin)
    if "all members" in p.find:
        return None
    text = f"{doc.s}\n{line}"
    case = Case(p.family, who.name, p.sheet(), text + "\n", None, 0, p)
    case.situation = "symmetry, true"
    if false:
        count = text.count("\n") + 1
        from .text import Place

        case.truth = Truth(
            "sense", count, (Place(count, 0, len(line)),), ANY, (), "bars not mirrored", "symmetry"
        )
        case.situation = "symmetry, false"
    return case
