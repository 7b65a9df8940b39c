"""A whole working → its lines, with what only the whole can tell."""

import re

from verifier.notation import source as sources
from verifier.notation.lines import read_source
from verifier.notation.numbers import Comma
from verifier.notation.tree import Line, Names

_DECIMAL_COMMA = re.compile(r"(?<![\d.,])(?:\d+,\d{1,2}|0,\d+|\d{4,},\d+|\d+,\d{4,})(?![\d,])")
_POINT = re.compile(r"(?<![\d.,])\d+\.\d+(?![\d.,])")


def comma_of(text: str) -> Comma:
    """Tell how a working uses the comma in numbers: by those that can be read in one way only."""
    commas = len(_DECIMAL_COMMA.findall(text))
    points = len(_POINT.findall(text))
    if commas > points:
        return "decimal"
    return "thousands" if points else "open"


def read_working(text: str, names: Names, latex: bool | None = None) -> tuple[Line, ...]:
    """Read a working: one `Line` for every line that is not blank, numbered as in the file."""
    comma = comma_of(text)
    return tuple(
        read_source(sources.plain(line), number, names, comma)
        for number, line in enumerate(text.split("\n"), 1)
        if line.strip()
    )
