"""Tension and compression told by small letters: `AB = 9.6 c, AD = 9.7 t`."""

import re
from collections.abc import Sequence
from dataclasses import replace

from verifier.notation.source import Source
from verifier.notation.tree import Names

_MARK = re.compile(r"(?<=\d )[tc](?=\s*(?:$|[;,]|\.\s|\.$))")


def small_marks(sources: Sequence[Source], names: Names) -> list[Source]:
    """Return the sources with T and C for t and c, where both stand behind numbers.

    Either alone may be a tonne or a letter. Without a sheet, where T and C may be names, they are
    left out: nothing tells there which way a bar goes.
    """
    drafted = not names.bodies and names.units == Names().units  # as without a sheet
    clash = bool(names.joints & {"T", "C"}) and drafted
    shown = bool(names.joints) and not clash
    said = {match.group() for source in sources for match in _MARK.finditer(source.text)}
    if said != {"t", "c"}:
        return list(sources)
    return [
        replace(source, text=_MARK.sub(lambda m: m[0].upper() if shown else " ", source.text))
        for source in sources
    ]


__all__ = ["small_marks"]
