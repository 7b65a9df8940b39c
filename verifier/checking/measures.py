"""The units of force and length that a working writes, against those of its sheet."""

import re
from collections import Counter
from collections.abc import Sequence

from verifier import units
from verifier.checking.derived import same
from verifier.checking.written import Written
from verifier.notation.tree import Num, Relation
from verifier.structure.model import Structure

_FORCES, _LENGTHS = r"kN|MN|N|kgf|lbf|kip", r"mm|cm|m|ft|in"
_TOLD_UNIT = re.compile(
    rf"(?:\b(?:[Ii]n|[Ee]n|[Ww])|:)\s+(?:(?P<f>{_FORCES})?"
    rf"(?:\s?,\s|\s(?:and|und|et|y|e|i|en)\s|[·.\s-])?(?P<l>{_LENGTHS})?)\b(?<!\s)"
)
_TURNING_UNIT = re.compile(rf"(?:{_FORCES})\W?(?P<l>{_LENGTHS})")


def measures_of(
    written: Sequence[Written], sheet: Structure, loads: Sequence[float] = ()
) -> list[tuple[float, float]]:
    """Return the units of force and length that a working writes, as multiples of the sheet's.

    `loads` are the sizes of the sheet's loads: who puts those in writes in the sheet's unit.
    """
    forces, lengths = _written_units(written)
    plains = _others(forces, units.FORCE[sheet.force_unit])
    plains = [plain for plain in plains if not _puts_in(written, loads, plain)]
    longs = _others(lengths, units.LENGTH[sheet.length_unit])
    return [(p, one) for p in (1.0, *plains) for one in (1.0, *longs)][1:]


def _puts_in(written: Sequence[Written], loads: Sequence[float], plain: float) -> bool:
    """Tell whether bare numbers are loads as the sheet has them, and none as another unit would."""
    parts = (part for one in written for part in one.line.parts)
    nodes = (node for part in parts if isinstance(part, Relation) for node in part.nodes)
    bare = {abs(n.value) for n in nodes if isinstance(n, Num) and n.unit is None}

    def has(size: float) -> bool:
        return any(same(number, size, 1e-6) for number in bare)

    return any(map(has, loads)) and not any(has(load / plain) for load in loads)


def _written_units(written: Sequence[Written]) -> tuple[Counter[float], Counter[float]]:
    """Count the units of force and of length of a working, in newtons and metres."""
    forces: Counter[float] = Counter()
    lengths: Counter[float] = Counter()
    arms: Counter[float] = Counter()
    for one in written:
        relations = [part for part in one.line.parts if isinstance(part, Relation)]
        for unit in (unit for part in relations for unit in part.units):
            if unit.kind in ("force", "length"):
                (forces if unit.kind == "force" else lengths)[unit.factor] += 1
            elif unit is not None and (arm := _TURNING_UNIT.fullmatch(unit.text)):
                arms[units.LENGTH[arm["l"]]] += 1  # moments in N m tell of arms in metres
        head = one.line.text[: min((r.span[0] for r in relations), default=None)]
        for told in _TOLD_UNIT.finditer(head):
            forces.update([units.FORCE[told["f"]]] if told["f"] else [])
            lengths.update([units.LENGTH[told["l"]]] if told["l"] else [])
    lengths.update({size: times for size, times in arms.items() if times > 1})  # one is a slip
    return forces, lengths


def _others(written: Counter[float], sheet: float) -> list[float]:
    """Return the commonest units as multiples of the sheet's, itself left out.

    One that stands once beside others in the sheet's own unit is a slip, and no habit.
    """
    habit = [f for f, times in written.most_common(2) if times > 1 or written[sheet] < 2]
    found = [factor / sheet for factor in habit]
    return [factor for factor in found if not same(factor, 1.0, 1e-9)]
