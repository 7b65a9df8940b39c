"""Numbers of findings in the writer's own decimal sign: 11,4·4,4 in a working with commas."""

import re
from collections.abc import Sequence
from dataclasses import replace

from verifier.checking.written import Written
from verifier.findings import Finding
from verifier.notation.tree import Num, Relation, walk

_POINT = re.compile(r"(?<![\w.,])\d+\.\d+(?![\w.,]*\d)")


def writes_commas(written: Sequence[Written]) -> bool:
    """Tell whether a working has decimal commas and no decimal points."""
    numbers = [
        node
        for one in written
        for part in one.line.parts
        for side in (part.sides if isinstance(part, Relation) else ())
        for node in walk(side)
        if isinstance(node, Num) and node.value != int(node.value)
    ]
    return any("," in n.text for n in numbers) and not any("." in n.text for n in numbers)


def with_commas(finding: Finding) -> Finding:
    """Return a finding whose own numbers have decimal commas; what it quotes stays as it is."""

    def turned(match: re.Match[str]) -> str:
        number = match.group()
        return number if number in finding.text else number.replace(".", ",")

    expected = _POINT.sub(turned, finding.expected)
    return replace(finding, expected=expected, message=_POINT.sub(turned, finding.message))
