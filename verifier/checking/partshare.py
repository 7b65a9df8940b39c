"""A component told as a share of its force: `AC_h = AC cos 37°`, `B_y = R sin 60°`."""

import math
from dataclasses import dataclass

from verifier.checking.derived import same
from verifier.checking.faults import Explanation
from verifier.checking.faults.base import say, with_function
from verifier.checking.forms import NotLinear, Reader
from verifier.checking.names import Unknown
from verifier.notation.tree import Expr, Func, Name, walk

_RESOLVING = ("sin", "cos")
_NEAR = 5e-3


@dataclass(frozen=True)
class Share:
    """What a line says of a component: the force, its share as signed, and a slip in it."""

    variable: str
    share: float
    slip: Explanation | None = None


def share_of(name: Name, side: Expr, reader: Reader, text: str) -> Share | None:
    """Return what `name = side` says of a component of the one force in it, None for others."""
    meaning = reader.meaning(name)
    if not isinstance(meaning, Unknown) or same(abs(meaning.factor), 1.0, 1e-9):
        return None
    try:
        terms = reader.form(side).terms
    except NotLinear:
        return None
    if len(terms) != 1 or terms[0].variable != meaning.variable:
        return None
    size = abs(meaning.factor)
    share = terms[0].coefficient.centre * reader.sense(meaning.variable)
    if same(abs(share), size, _NEAR):
        return Share(meaning.variable, math.copysign(size, share))
    other = math.sqrt(1 - min(size, 1.0) ** 2)
    if not same(abs(share), other, _NEAR):
        return None
    turns = [node for node in walk(side) if isinstance(node, Func) and node.name in _RESOLVING]
    right = f"{name.text} = {say(reader.figure, size)}"
    if len(turns) == 1:
        (start, end), (a, b) = side.span, turns[0].span
        right = text[start:a] + with_function(text, turns[0]) + text[b:end]
    written = text[slice(*side.span)]
    told = say(reader.figure, size)
    message = f"{name.text} is {told} of its force; «{written}» is the other component."
    key = f"component {meaning.variable}"
    slip = Explanation("component", side.span, right, message, 1.0, key=key)
    return Share(meaning.variable, math.copysign(size, share), slip)
