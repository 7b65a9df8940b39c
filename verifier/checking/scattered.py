"""Several faults in a working that tells every answer rightly: it was not understood.

One slip may leave the answers right: in a check, in a copy, made good below. Two of them hardly
ever do, and of those that do each is plain. Where every force that is asked for, and every one that
seems to have a wrong value, has its right size somewhere in the text, several faults of which one
merely says that a line does not fit are signs of a manner of writing that was not followed.
"""

import re
from collections.abc import Iterator, Sequence

from verifier.checking.answers import comes_to
from verifier.checking.figure import Figure
from verifier.checking.quantity import Quantity
from verifier.checking.results_told import results
from verifier.checking.state import Outcome
from verifier.checking.written import Written
from verifier.findings import Answer, Finding

VAGUE = frozenset({"missing-force", "extra-force", "algebra", "arithmetic", "magnitude"})
"""Kinds that a line which is not understood is given; the others name one mistake in one term."""
_FIGURES = 2
_FAR = 10.0
"""A slip in reckoning leaves a number of about the same size."""
_PLAIN = re.compile(r"[-−]?(\d+(?:[.,]\d+)?)\D{0,4}")
_NUMBER = re.compile(r"(?<![\w.,])\d{1,3}(?:[ ,]\d{3})+(?:\.\d+)?(?!\w)|\d+(?:[.,]\d+)?")


def scattered(
    figure: Figure,
    outcome: Outcome,
    answers: Sequence[Answer],
    faults: Sequence[Finding],
    written: Sequence[Written],
) -> bool:
    """Tell whether the faults of a working are on several lines, and its answers all right.

    The first is vague: one that is plain, and made good below, leaves a second that does not
    follow from it.
    """
    several = len({fault.line for fault in faults}) > 1 and _is_vague(faults[0])
    return several and every_size_told(figure, outcome, answers, written)


def _is_vague(fault: Finding) -> bool:
    """Tell whether a fault says no more than that a line does not fit; no slip in reckoning."""
    return far(fault) if fault.kind == "arithmetic" else fault.kind in VAGUE


def far(fault: Finding) -> bool:
    """Tell whether two sides of a chain are no number beside a number of about its size."""
    if (fault.kind, fault.where) != ("arithmetic", "arithmetic"):
        return False
    numbers = [_PLAIN.fullmatch(one) for one in (fault.text, fault.expected)]
    sizes = [float(one[1].replace(",", ".")) for one in numbers if one is not None]
    return len(sizes) < 2 or max(sizes) > _FAR * min(sizes)


def every_size_told(
    figure: Figure, outcome: Outcome, answers: Sequence[Answer], written: Sequence[Written]
) -> bool:
    """Tell whether the text holds the size of all that is asked for or seems to be wrong."""
    if not answers or any(not isinstance(one.value, float) for one in answers):
        return False
    told = {*_numbers(written), *(size for _, size in results(written))}
    wanted = {figure.variable(one.item)[0] for one in answers} | _seemingly_wrong(figure, outcome)
    sizes = [(name, abs(figure.true[name])) for name in wanted]
    return all(
        any(comes_to(figure, name, Quantity(number), size) for number in told)
        for name, size in sizes
        if size > 1e-9 * figure.scale(name)
    )


def _seemingly_wrong(figure: Figure, outcome: Outcome) -> set[str]:
    return {
        name
        for name, found in outcome.stated.items()
        if name in figure.true
        and not comes_to(figure, name, found.quantity, figure.true[name], found.coarse)
    }


def _numbers(written: Sequence[Written]) -> Iterator[float]:
    """Yield the numbers of a text, a comma read both ways; thousandths and thousandfold as well.

    Those of one figure are left out: they are lengths and loads as well.
    """
    for match in (m for one in written for m in _NUMBER.finditer(one.line.text)):
        said = match.group()
        if sum(ch.isdigit() for ch in said.lstrip("0.,")) < _FIGURES:
            continue
        for text in {said.replace(",", "."), re.sub(r"[ ,]", "", said)}:
            if text.count(".") < 2 and " " not in text:
                yield from (float(text) * scale for scale in (1.0, 1e3, 1e-3))


__all__ = ["every_size_told", "far", "scattered"]
