"""Lines that are right under some of the loads, in a working that takes them one after another."""

import re
from collections.abc import Sequence

from verifier.checking.figure import Figure
from verifier.checking.loadgroups import (
    UNDER_ONE_LOAD,
    alike_named,
    choices,
    groups,
    said_loads,
    under,
)
from verifier.checking.trial import Trial
from verifier.checking.written import Written
from verifier.findings import Finding
from verifier.notation.tree import Num, Relation

_FEW = 4
_CASES = re.compile(
    r"\b(?:superpos\w*|überlager\w*|sovrappos\w*|superposición|superposition|nałożeni\w*|superpozycj\w*"
    r"|load ?cases?|Lastf[aä]ll\w*|cas de charges?|casos? de carga|condizion[ei] di carico)\b",
    re.IGNORECASE,
)
_NUMBERED = re.compile(r"^\s*(?:\(?(?:\d|[a-dA-D]|[ivIV]{1,3})[).]|[-•*])\s")


def under_some_loads(
    figure: Figure, written: Sequence[Written], faults: Sequence[Finding]
) -> dict[Finding, str]:
    """Return the faults whose lines are right under some of the loads alone, with what to note.

    Only where the working says that it takes the loads one after another: a load left out of a
    line is a fault elsewhere.
    """
    count = len(groups(figure))
    if not faults or not 2 <= count <= _FEW or not _takes_one_at_a_time(written, figure):
        return {}
    lines = {fault.line for fault in faults}
    right: set[int] = set()
    for chosen in choices(figure):
        part = under(figure, chosen)
        if part is None or lines <= right:
            continue
        trial = Trial(part, written)
        outcome = trial.run(trial.best())
        right |= {n for n, judged in outcome.lines.items() if judged.status == "agrees"}
    note = "right under some of the loads alone; the parts could not be put together here"
    return {fault: note for fault in faults if fault.line in right}


def _takes_one_at_a_time(written: Sequence[Written], figure: Figure) -> bool:
    """Tell whether words say so, or a numbered heading names some of the loads as acting alone."""
    if any(_CASES.search(one.line.text) for one in written):
        return True
    heads = [one.line.text for one in written if _heads(one)]
    named = [head for head in heads if _names_loads(_NUMBERED.sub("", head, count=1), figure)]
    alone = [head for head in named if UNDER_ONE_LOAD.search(head)]
    return bool(alone) and len({*alone, *filter(_NUMBERED.match, named)}) > 1


def _names_loads(text: str, figure: Figure) -> bool:
    return bool(said_loads(text, figure)) or alike_named(text, figure)


def _heads(one: Written) -> bool:
    """Tell whether a line works nothing out: no more than `w = 2 kN/m` stands in it."""
    relations = [part for part in one.line.parts if isinstance(part, Relation)]
    return all(len(r.sides) == 2 and isinstance(r.sides[1], Num) for r in relations)
