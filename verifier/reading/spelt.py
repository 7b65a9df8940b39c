"""What can only be written one way in a line by hand: a slash that looks like a 1, a root like a v.

Spelling alone: nobody writes a factor 1 between a bracket and what it is divided by.
"""

import re
from dataclasses import replace

from verifier.notation.tree import Names
from verifier.reading.lines import ReadLine

_SLASH = re.compile(r"(?<=[)\]])[1lI|](?=sin|cos|tan|[(√])")
_ROOT = re.compile(r"(?<![\w)}])[vr](?=\((?:\d|\())")


def settled(line: ReadLine, names: Names) -> ReadLine:
    """Return a line by hand with such signs settled in all its readings; equal ones are one.

    >>> line = ReadLine("P = -(3)1sin30", 1, (0, 0, 9, 9), 0.8, (("P = -(3)/sin30", 0.1),))
    >>> settled(line, Names()).text
    'P = -(3)/sin30'
    """
    ways: dict[str, float] = {}
    for text, chance in [(line.text, line.confidence), *line.alternatives]:
        text = spelt(text, names)
        ways[text] = ways.get(text, 0.0) + chance
    (text, sure), *others = ways.items()
    if text == line.text and len(others) == len(line.alternatives):
        return line
    return replace(line, text=text, confidence=min(1.0, sure), alternatives=tuple(others))


def spelt(text: str, names: Names) -> str:
    """Return a reading with such signs settled; it stays as long as it is."""
    text = _SLASH.sub("/", text)
    known = names.letters | names.joints | names.extra
    return _ROOT.sub(lambda found: found[0] if found[0] in known else "√", text)
