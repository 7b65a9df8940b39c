"""The cells of a spreadsheet typed off: `B6: =-B3/0.6      -11.458      AD`.

A cell's own formula speaks in places of the sheet, not in names; what it comes to, and the name
beside it, tell the value.
"""

import re
from collections.abc import Sequence
from dataclasses import replace

from verifier.notation.source import Source

_CELL = re.compile(
    r"\s*(?P<cell>[A-Z]{1,2}\d{1,3})\s*:?\s*(?P<formula>=[^\s=][^=]*?)(?:\s{2,}|\t)\s*"
    r"(?P<value>[-+−]?\d[\d.,]*)(?:(?:\s{2,}|\t)\s*(?P<name>[A-Z]\w{0,4}(?:-[A-Z]\w?)?))?\s*"
)
_LEAST = 2
"""One such line may be anything."""


def laid_out(sources: Sequence[Source]) -> list[Source]:
    """Return the sources with cells put as `value = name`, or blank where no name stands there.

    Rows keep their length, so that places stay.
    """
    found = [_CELL.fullmatch(source.text) for source in sources]
    if sum(match is not None for match in found) < _LEAST:
        return list(sources)
    return [
        source if match is None else replace(source, text=_row(source.text, match))
        for source, match in zip(sources, found, strict=True)
    ]


def _row(text: str, match: re.Match[str]) -> str:
    """Return `value = name`, each where it stands."""
    row = [" "] * len(text)
    if match["name"]:
        row[match.start("value") : match.end("value")] = match["value"]
        row[match.start("name") - 1] = "="
        row[match.start("name") : match.end("name")] = match["name"]
    return "".join(row)


__all__ = ["laid_out"]
