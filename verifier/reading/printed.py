"""The reader of print: glyphs and Tesseract together, repaired by what can be written, with doubt."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from verifier.notation.tree import Names
from verifier.reading import decode, printing, repair, tesseract
from verifier.reading.decode import Choice
from verifier.reading.lines import ReadLine
from verifier.reading.page import PageLine
from verifier.reading.printing import Lattice
from verifier.reading.tesseract import Letter

_MOST_OTHERS = 12
_WORTH = 0.004  # alternatives less likely than this are not handed on


@dataclass(frozen=True)
class Seen:
    """A line as both readers of print saw it."""

    line: PageLine
    glyphs: Lattice
    letters: tuple[Letter, ...]

    @property
    def agreement(self) -> float:
        """The share of glyphs in which the two readers agree, of those that both know."""
        return decode.agreement(self.glyphs.best(), list(self.letters))


def glyphs_of(lines: Sequence[PageLine]) -> list[Lattice]:
    """Read the glyphs of lines by shape alone."""
    return printing.lattices([(one.pixels, one.letter, one.baseline) for one in lines])


def legible(glyphs: Sequence[Lattice]) -> float:
    """Return how surely a page's glyphs are told, 0 to 1: low for handwriting, or upside down."""
    best = [float(np.exp(g.scores.max())) for line in glyphs for g in line.best().glyphs]
    return float(np.mean(best)) if best else 0.0


def look(lines: Sequence[PageLine], glyphs: Sequence[Lattice]) -> list[Seen]:
    """Ask Tesseract about lines whose glyphs have been read."""
    letters = tesseract.read_lines([one.pixels for one in lines])
    return [
        Seen(line, own, tuple(said))
        for line, own, said in zip(lines, glyphs, letters, strict=True)
    ]


def write(seen: Seen, names: Names, number: int) -> ReadLine | None:
    """Write one line out as text with its doubt; None where there is nothing to read."""
    choices = decode.decode(seen.glyphs, list(seen.letters))
    choices = repair.repaired(choices, names)
    if not choices:
        return None
    text, boxes, owners = decode.text_of(choices)
    if not text.strip():
        return None
    others = _others(choices, text, owners)
    sure = float(np.prod([one.sure for one in choices]))
    places = tuple(None if box is None else seen.line.to_photo(box) for box in boxes)
    return ReadLine(text, number, seen.line.box, sure, others, places, "print")


def _others(
    choices: list[Choice], text: str, owners: list[int]
) -> tuple[tuple[str, float], ...]:
    """List other readings of a line: one doubtful glyph changed, or two."""
    sure = float(np.prod([max(one.sure, 1e-6) for one in choices]))
    swaps = [
        (i, char, chance / max(one.sure, 1e-6))
        for i, one in enumerate(choices)
        for char, chance in one.others
    ]
    swaps.sort(key=lambda swap: -swap[2])
    found: dict[str, float] = {}
    for k, (i, char, odds) in enumerate(swaps[:_MOST_OTHERS]):
        _add(found, _changed(choices, {i: char}), text, sure * odds)
        for j, second, more in swaps[k + 1 : 6]:
            if j != i and sure * odds * more > _WORTH:
                _add(found, _changed(choices, {i: char, j: second}), text, sure * odds * more)
    ranked = sorted(found.items(), key=lambda item: -item[1])
    return tuple((other, chance) for other, chance in ranked[:_MOST_OTHERS] if chance > _WORTH)


def _add(found: dict[str, float], other: str, text: str, chance: float) -> None:
    if other != text and other.strip():
        found[other] = found.get(other, 0.0) + chance


def _changed(choices: list[Choice], swaps: dict[int, str]) -> str:
    """Write the line with some glyphs read otherwise."""
    return decode.text_of([decode.swapped(one, swaps.get(i)) for i, one in enumerate(choices)])[0]
