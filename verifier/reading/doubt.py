"""A reading as text and back: doubtful places stand in ⟦7|1⟧, likeliest first."""

import re
from collections.abc import Iterator
from difflib import SequenceMatcher
from itertools import product

from verifier.reading.lines import Reading, ReadLine

OPEN, CLOSE, BETWEEN = "⟦", "⟧", "|"
_BAR = "¦"  # stands for a | that is itself written
_SHOWN = 0.02  # an alternative less likely than this is not worth a question
_MOST_WAYS = 24
_MOST_OPTIONS = 6
_FIRST = 0.7  # what a place's first option is held to be worth, where only text is left
_PLACE = re.compile(r"⟦([^⟦⟧\n]{0,400})⟧")


def as_text(reading: Reading) -> str:
    r"""Write a reading as text that `check` takes, one line for each line read.

    >>> from verifier.reading.lines import Reading, ReadLine
    >>> line = ReadLine("P = 7 kN", 1, (0, 0, 9, 9), 0.8, (("P = 1 kN", 0.2),))
    >>> as_text(Reading("hoist.jpg", (line,)))
    'P = ⟦7|1⟧ kN\n'
    """
    return "".join(marked(line) + "\n" for line in reading.lines)


def marked(line: ReadLine) -> str:
    """Write one line with its doubtful places marked."""
    doubts = _places(line)
    text, at = "", 0
    for start, end, options in doubts:
        text += line.text[at:start]
        said = [line.text[start:end], *options][:_MOST_OPTIONS]
        text += OPEN + BETWEEN.join(option.replace(BETWEEN, _BAR) for option in said) + CLOSE
        at = end
    return text + line.text[at:]


def from_text(text: str, path: str = "reading") -> Reading:
    """Read such a text back: each line with every way in which its doubtful places can be taken.

    A place counts as doubtful with equal odds for its later options, since the text does not say
    how likely they are; correct a place by leaving only what is right.
    """
    return Reading(path, tuple(_line(line) for line in text.splitlines()))


def _line(text: str) -> ReadLine:
    ways = list(_ways(text))
    if len(ways) == 1:
        return ReadLine(ways[0][0], None, None, 1.0)
    total = sum(share for _, share in ways)
    (first, share), *others = ways
    told = tuple((way, part / total) for way, part in others if way != first)
    return ReadLine(first, None, None, share / total, told)


def _ways(text: str) -> Iterator[tuple[str, float]]:
    """Yield whole readings of a marked line with their shares, likeliest first."""
    fixed: list[str] = []
    choices: list[list[str]] = []
    at = 0
    for match in _PLACE.finditer(text):
        fixed.append(text[at : match.start()])
        options = [option.replace(_BAR, BETWEEN) for option in match.group(1).split(BETWEEN)]
        choices.append(options[:_MOST_OPTIONS])
        at = match.end()
    fixed.append(text[at:])
    for picks in _picks([len(options) for options in choices]):
        parts, share = [fixed[0]], 1.0
        for options, pick, after in zip(choices, picks, fixed[1:], strict=True):
            parts += [options[pick], after]
            share *= 1.0 if len(options) == 1 else _share(len(options), pick)
        yield "".join(parts), share


def _share(count: int, pick: int) -> float:
    return _FIRST if pick == 0 else (1 - _FIRST) / (count - 1)


def _picks(counts: list[int]) -> Iterator[tuple[int, ...]]:
    """Yield which option to take at each place: all first, then few changes before many."""
    ways = 1
    for count in counts:
        ways *= count
        if ways > 4 * _MOST_WAYS:
            break
    if ways <= 4 * _MOST_WAYS:
        every = sorted(product(*map(range, counts)), key=lambda picks: sum(p > 0 for p in picks))
        yield from every[:_MOST_WAYS]
        return
    yield (0,) * len(counts)
    for place, count in list(enumerate(counts))[:_MOST_WAYS]:
        for pick in range(1, count):
            yield tuple(pick if i == place else 0 for i in range(len(counts)))


def _places(line: ReadLine) -> list[tuple[int, int, list[str]]]:
    """Find where alternatives differ: (start, end, other options), apart from each other."""
    changes: list[tuple[int, int, str]] = []
    for other, share in line.alternatives:
        if share >= _SHOWN:
            changes += _changes(line.text, other)
    spans = _merged([(start, end) for start, end, _ in changes])
    found = []
    for start, end in spans:
        options: list[str] = []
        for a, b, new in changes:
            if start <= a and b <= end:
                whole = line.text[start:a] + new + line.text[b:end]
                if whole not in options and whole != line.text[start:end]:
                    options.append(whole)
        found.append((start, end, options))
    return found


def _changes(text: str, other: str) -> list[tuple[int, int, str]]:
    matcher = SequenceMatcher(None, text, other, autojunk=False)
    return [
        (a0, a1, other[b0:b1]) for kind, a0, a1, b0, b1 in matcher.get_opcodes() if kind != "equal"
    ]


def _merged(spans: list[tuple[int, int]]) -> list[tuple[int, int]]:
    out: list[tuple[int, int]] = []
    for start, end in sorted(set(spans)):
        if out and start < out[-1][1]:
            out[-1] = (out[-1][0], max(end, out[-1][1]))
        else:
            out.append((start, end))
    return out
