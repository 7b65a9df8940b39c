"""Workings in letters that leave them out: `In units of P and a: 4 R_B = 2(1) + 1(3)`.

The stand-ins of those letters are ones then, so that a number is the same with its letter and
without it.
"""

import re
from collections.abc import Sequence
from dataclasses import replace

from verifier.checking.written import Written
from verifier.structure.model import Structure

_UNITS_OF = re.compile(
    r"\b(?:in (?:units|multiples) of|as multiples of|in Einheiten von|als Vielfache von"
    r"|en unités de|in unità di|en unidades de|w jednostkach|setting|set|with|mit|let)\s+"
    r"(?P<said>[A-Za-zα-ω]\w?(?:\s?(?:,|and|und|et|e|y|i|=)\s?[A-Za-zα-ω]\w?)*(?P<one>\s?=\s?1(?![\d.,]))?)",
    re.IGNORECASE,
)
_NAME = re.compile(r"[A-Za-zα-ω]\w?")
_ALONE = re.compile(r"(?:set|setting|with|mit|let)\b", re.IGNORECASE)


def left_out(written: Sequence[Written]) -> set[str]:
    """Return the letters that a working says it leaves out."""
    said: set[str] = set()
    for one in written:
        for match in _UNITS_OF.finditer(one.line.text):
            if match["one"] or not _ALONE.match(match.group()):
                said |= {*_NAME.findall(match["said"])}
    return said


def in_units_of_letters(structure: Structure, written: Sequence[Written]) -> Structure:
    """Return the structure with ones for the letters that a working says it leaves out."""
    said = left_out(written) & structure.letters.keys() if structure.letters else set()
    if not said:
        return structure
    ones = {name: 1.0 if name in said else size for name, size in structure.letters.items()}
    return replace(structure, letters=ones)


__all__ = ["in_units_of_letters", "left_out"]
