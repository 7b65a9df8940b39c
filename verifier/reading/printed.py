"""The reader of print: glyphs and Tesseract together, repaired by what can be written."""

from collections.abc import Callable, Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, replace

import numpy as np

from verifier.notation.tree import Names
from verifier.reading import (
    fractions,
    heard,
    joined,
    printing,
    prose,
    repair,
    repair_words,
    struck,
    tesseract,
)
from verifier.reading.choice import Choice, swapped, text_of
from verifier.reading.decode import decode
from verifier.reading.ink import Pixels
from verifier.reading.lines import ReadLine
from verifier.reading.page import PageLine
from verifier.reading.printing import Lattice
from verifier.reading.segment import Box4
from verifier.reading.tesseract import Letter

_MOST_OTHERS = 12
_MOST_RECUT = 3
_UNCLOSED = 0.7  # how sure a line can be in which a bracket is missing
_WORTH = 0.006  # alternatives less likely than this are not handed on


@dataclass(frozen=True)
class Seen:
    """A line as both readers of print saw it, with the parts of its fractions and roots."""

    line: PageLine
    glyphs: Lattice
    letters: tuple[Letter, ...]
    nests: tuple[tuple[Box4, tuple["Seen", ...]], ...] = ()

    @property
    def agreement(self) -> float:
        """The share of glyphs in which the two readers agree, of those that both know."""
        return heard.agreement(self.glyphs.best(), list(self.letters))


def glyphs_of(lines: Sequence[PageLine]) -> list[Lattice]:
    """Read the glyphs of lines by shape alone."""
    return printing.lattices([(_level(one), one.letter, one.baseline) for one in lines])


def look(
    lines: Sequence[PageLine], may_be_print: Callable[[Lattice], bool] | None = None
) -> list[Seen]:
    """Let both readers of print look at lines, at the same time.

    Where told what `may_be_print`, Tesseract sees no other lines.
    """
    every = [part for line in lines for part in fractions.every(line)]
    if may_be_print is not None:
        return _looked(lines, every, may_be_print)
    with ThreadPoolExecutor(1) as aside:
        asked = aside.submit(tesseract.read_lines, [_level(one) for one in every])
        glyphs = glyphs_of(every)
        letters = asked.result()
    seen = (
        Seen(line, own, tuple(said)) for line, own, said in zip(every, glyphs, letters, strict=True)
    )
    return [_nested(seen) for _ in lines]


def _looked(
    lines: Sequence[PageLine], every: Sequence[PageLine], may_be_print: Callable[[Lattice], bool]
) -> list[Seen]:
    glyphs = glyphs_of(every)
    which = [i for i, own in enumerate(glyphs) if may_be_print(own)]
    letters = dict(zip(which, tesseract.read_lines([_level(every[i]) for i in which]), strict=True))
    seen = (
        Seen(line, own, tuple(letters.get(i, ())))
        for i, (line, own) in enumerate(zip(every, glyphs, strict=True))
    )
    return [_nested(seen) for _ in lines]


def _level(line: PageLine) -> Pixels:
    return line.pixels if line.bare is None else line.bare


def _nested(seen: Iterator[Seen]) -> Seen:
    """Take the next line, with the parts of its fractions and roots, which follow it."""
    one = next(seen)
    nests = ((nest.box, tuple(_nested(seen) for _ in nest.parts)) for nest in one.line.nests)
    return replace(one, nests=tuple(nests))


def write(seen: Seen, names: Names, number: int) -> ReadLine | None:
    """Write one line out as text with its doubt; None where there is nothing to read."""
    choices = _choices(seen, names)
    if not choices:
        return None
    text, boxes, owners = text_of(choices)
    if not text.strip():
        return None
    sure = min(_sure(choices), 1.0 if _closed(text) else _UNCLOSED)
    others = _others(choices, text, sure)
    for other, chance in _recut(seen, choices, names):
        _add(others, other, text, sure * chance)
    ranked = sorted(others.items(), key=lambda item: -item[1])
    told = tuple((other, chance) for other, chance in ranked[:_MOST_OTHERS] if chance > _WORTH)
    text, marked = struck.mark(text, boxes, seen.line.struck)
    certain = tuple(1.0 if i < 0 else choices[i].sure * choices[i].held for i in owners)
    if len(marked) != len(boxes):
        told, certain = (), ()  # what is crossed out is not judged: it need not be sure either
    places = tuple(None if box is None else seen.line.to_photo(box) for box in marked)
    return ReadLine(text, number, seen.line.box, sure, told, places, "print", certain)


def _choices(seen: Seen, names: Names, without: Box4 | None = None) -> list[Choice]:
    letters = list(seen.letters)
    choices = joined.parted(decode(seen.glyphs, letters, without), letters)
    choices = repair_words.marked(prose.with_words(repair.repaired(choices, names), letters))
    if not seen.nests:
        return choices
    told = ((box, [_told(part, names) for part in parts]) for box, parts in seen.nests)
    return fractions.put_in(choices, [one for one in told if all(one[1])])


def _told(seen: Seen, names: Names) -> dict[str, float]:
    """Return the readings of a fraction's part with their probabilities, the likeliest first."""
    choices = _choices(seen, names)
    text = text_of(choices)[0].strip()
    sure = _sure(choices)
    return {text: sure, **_others(choices, text, sure)} if text else {}


def _sure(choices: list[Choice]) -> float:
    return float(np.prod([one.sure * one.held for one in choices]))


def _closed(text: str) -> bool:
    """Whether every bracket that opens is closed: else one of them was misread."""
    return all(text.count(a) == text.count(b) for a, b in ("()", "[]", "{}"))


def _recut(seen: Seen, choices: list[Choice], names: Names) -> list[tuple[str, float]]:
    """Read the line with its least certain pieces of ink parted otherwise, with their odds."""
    weak = sorted((one for one in choices if one.held < 0.94), key=lambda one: one.held)
    found = []
    for one in weak[:_MOST_RECUT]:
        again = _choices(seen, names, one.box)
        found.append((text_of(again)[0], (1 - one.held) / max(one.held, 0.05)))
    return found


def _others(choices: list[Choice], text: str, sure: float) -> dict[str, float]:
    """List other readings of a line: one doubtful glyph changed, or two."""
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
    return found


def _add(found: dict[str, float], other: str, text: str, chance: float) -> None:
    if other != text and other.strip():
        found[other] = found.get(other, 0.0) + chance


def _changed(choices: list[Choice], swaps: dict[int, str]) -> str:
    """Write the line with some glyphs read otherwise."""
    return text_of([swapped(one, swaps.get(i)) for i, one in enumerate(choices)])[0]
