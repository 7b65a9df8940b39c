"""Pages that are more than a right one or a plant in one: other sheets, no sheet, coarse rounding,
claims of symmetry, one load at a time, two cuts, three forces in a point, second thoughts."""

from __future__ import annotations

import copy
import random
from collections.abc import Callable
from dataclasses import replace

from .case import Case, Truth, make_right, planted
from .cuts import convention_case
from .every import FAMILIES, PEOPLE
from .faults import PLANTS
from .lami import gathered_case, lami_case
from .manners import MANNERS
from .named import named_case
from .problem import Problem
from .scaled import scaled_case
from .scribe import AGAIN
from .style import Style
from .superpose import superposed_case
from .symmetry import symmetry_case
from .text import Place
from .three import three_force_case

Dice = random.Random
Maker = Callable[[Dice, Style | None, str | None], Case | None]


def person(rng: Dice, given: Style | None) -> Style:
    return given or rng.choice(PEOPLE)


def right_page(rng: Dice, style: Style, family: str | None, tries: int = 30):  # type: ignore[no-untyped-def]
    for _ in range(tries):
        made = make_right(rng, family or rng.choice(list(FAMILIES)), style)
        if made is not None:
            return made
    return None


def swapped(rng: Dice, style: Style | None, family: str | None) -> Case | None:
    """A right working, filed under another sheet with the same names."""
    who = person(rng, style)
    fam = family or rng.choice(list(FAMILIES))
    first = right_page(rng, who, fam)
    if first is None:
        return None
    p, text = first[0], first[4].s
    if p.letters:
        return None
    for _ in range(60):
        other = FAMILIES[fam](rng)
        if other is None or other.units != p.units or set(other.joints) != set(p.joints):
            continue
        if same_figure(p, other) or other.find == p.find == []:
            continue
        truth = Truth("swapped", 1, (Place(1, 0, 1),), what="another sheet", group="swapped")
        case = Case(fam, who.name, other.sheet(), text + "\n", truth, 0, other)
        case.situation = "swapped figure"
        return case
    return None


def same_figure(p: Problem, q: Problem) -> bool:
    """Whether two sheets agree in half of their joints' places or in a load."""
    close = sum(p.joints[j] == q.joints[j] for j in p.joints)
    loads = {(j, v) for j, v, _, _ in p.loads} & {(j, v) for j, v, _, _ in q.loads}
    return close * 2 > len(p.joints) or bool(loads)


def alone_right(rng: Dice, style: Style | None, family: str | None) -> Case | None:
    """A right working without its sheet."""
    who = person(rng, style)
    made = right_page(rng, who, family)
    if made is None:
        return None
    p, doc = made[0], made[4]
    case = Case(p.family, who.name, p.sheet(), doc.s + "\n", None, 0, p)
    case.situation, case.alone = "alone, right", True
    return case


def alone_wrong(rng: Dice, style: Style | None, family: str | None) -> Case | None:
    """A slip that the page itself gives away: arithmetic, rearranging, a unit, a sense."""
    who = person(rng, style)
    made = right_page(rng, who, family)
    if made is None:
        return None
    p, steps, sense, wseed, doc, w = made
    kinds = ["arithmetic", "arithmetic", "algebra", "unit"]
    if who.declare:
        kinds.append("sense")
    kind = rng.choice(kinds)
    pl = PLANTS[kind](p, copy.deepcopy(steps), who, w, rng)
    if pl is None or (kind == "unit" and pl.what not in (w.d.moment_unit, w.d.force_unit)):
        return None
    if kind in ("arithmetic", "algebra") and who.form == "solve" and who.steps == "short":
        return None
    if kind == "sense" and "-" not in steps[pl.step].target:
        return None
    case = planted(p.family, who, p, sense, wseed, doc, w, pl, "alone")
    if case is None:
        return None
    case.situation, case.alone = "alone, faulty", True
    return case


def coarse(rng: Dice, style: Style | None, family: str | None) -> tuple[Case, bool] | None:
    """Values carried on to two figures: right but for early rounding."""
    base = person(rng, style)
    if base.latex:
        base = rng.choice(MANNERS)
    who = replace(
        base, carry="rough", figures=4, decimals=None, substitute="value", fractions=False
    )
    made = right_page(rng, who, family)
    if made is None or made[0].letters:
        return None
    p, _, sense, _, doc, w = made
    off = False
    for key, v in w.values.items():
        true = p.truth[key] * sense.get(key, 1)
        if abs(v - true) > 3e-3 * abs(true) and abs(true) > 1e-3 * w.scale:
            off = True
    case = Case(p.family, who.name, p.sheet(), doc.s + "\n", None, 0, p)
    return case, off


def rounding_remark(rng: Dice, style: Style | None, family: str | None) -> Case | None:
    made = coarse(rng, style, family)
    if made is None or not made[1]:
        return None
    case = made[0]
    case.situation = "early rounding"
    return case


def rounding_strict(rng: Dice, style: Style | None, family: str | None) -> Case | None:
    made = coarse(rng, style, family)
    if made is None or not made[1]:
        return None
    case = made[0]
    count = case.working.count("\n")
    spans = tuple(Place(i, 0, len(x)) for i, x in enumerate(case.working.split("\n"), 1) if x)
    case.truth = Truth(
        "rounding", 1, spans, other_lines=tuple(range(2, count + 1)), group="early rounding, strict"
    )
    case.situation, case.strict = "early rounding, strict", True
    return case


def second_thoughts(rng: Dice, style: Style | None, family: str | None) -> Case | None:
    """A right page on which the writer struck or corrected some lines."""
    base = person(rng, style)
    if base.latex:
        return None
    made = right_page(rng, replace(base, corrects=False, strikes=False), family)
    if made is None or made[0].letters:
        return None
    p, doc = made[0], made[4].s.split("\n")
    from .rework import spoil

    spots = [i for i, x in enumerate(doc) if "=" in x and any(c.isdigit() for c in x)]
    spots = [i for i in spots if not doc[i].rstrip().endswith(")")]
    rng.shuffle(spots)
    done = 0
    for i in sorted(spots[: rng.choice([1, 1, 2])], reverse=True):
        bad = spoil(doc[i], rng)
        if bad is None:
            continue
        words = AGAIN.get(base.tongue, AGAIN["en"])
        match rng.choice(["struck", "struck", "word"]):
            case "struck":
                doc[i : i + 1] = [f"~~{bad}~~", doc[i]]
            case _:
                again = doc[i].removeprefix(base.bullets)
                doc[i : i + 1] = [bad, rng.choice(words) + again]
        done += 1
    if not done:
        return None
    case = Case(p.family, base.name, p.sheet(), "\n".join(doc) + "\n", None, 0, p)
    case.situation = "second thoughts"
    return case


def panel_slip(rng: Dice, style: Style | None, family: str | None) -> Case | None:
    """Arms as sums of panel lengths, one panel forgotten or counted twice."""
    base = style if style is not None and style.tongue else rng.choice(MANNERS)
    who = replace(base, sum_arms=True, premultiplies=False, perpendicular=False)
    made = right_page(rng, who, family)
    if made is None or made[0].letters:
        return None
    p, steps, sense, wseed, doc, w = made
    if rng.random() < 0.4:
        if "+" not in doc.s:
            return None
        case = Case(p.family, who.name, p.sheet(), doc.s + "\n", None, 0, p)
        case.situation = "panel sums, right"
        return case
    from .plants import Plant

    steps = copy.deepcopy(steps)
    spots = [
        (i, j)
        for i, st in enumerate(steps)
        for j, t in enumerate(st.terms)
        if len(t.pieces) > 1 and not (st.pair or st.symmetry or st.inspection)
        and w.values.get(t.act.key, 1.0) != 0.0
    ]  # fmt: skip
    if not spots:
        return None
    i, j = rng.choice(spots)
    t = steps[i].terms[j]
    at = rng.randrange(len(t.pieces))
    pieces = list(t.pieces)
    if rng.random() < 0.6 and len(pieces) > 1:
        del pieces[at]
    else:
        pieces.insert(at, pieces[at])
    t.pieces, t.arm, t.mark = tuple(pieces), round(sum(pieces), 4), "fault"
    pl = Plant("lever-arm", steps, i, "fault", ("signed",), also=("geometry",), what="a panel")
    case = planted(p.family, who, p, sense, wseed, doc, w, pl, "panel sums")
    if case is not None:
        case.situation = "panel sums, faulty"
    return case


SITUATIONS: dict[str, Maker] = {
    "swapped figure": swapped,
    "alone, right": alone_right,
    "alone, faulty": alone_wrong,
    "early rounding": rounding_remark,
    "early rounding, strict": rounding_strict,
    "symmetry": symmetry_case,
    "superposition": superposed_case,
    "panel sums": panel_slip,
    "two cuts": convention_case,
    "three forces": three_force_case,
    "named lengths": named_case,
    "second thoughts": second_thoughts,
    "other units": scaled_case,
    "sine rule": lami_case,
    "one resultant": gathered_case,
}


def make_situation(
    seed: int, name: str, number: int, style: Style | None = None, family: str | None = None
) -> Case | None:
    rng = random.Random(f"{seed}/{number}/{name}")
    for _ in range(25):
        case = SITUATIONS[name](rng, style, family)
        if case is not None:
            case.number = number
            return case
    return None
