"""What a letter is said to be, in brackets behind it: `T (tie BC) = 150 × 2.5`."""

import re

from verifier.notation.heading_forms import SIDES

_GLOSSED = re.compile(
    r"(?:^|(?<=[:;,•]\s)|(?<=[·×*+-]\s)|(?<=[·×*]))(?P<name>\s*[A-Z][\w{}']{0,4})\s"
    r"\((?=[^\W\d_]{3,})(?P<words>[^()=\d+*/×·]{3,45})\)(?=\s*(?:=|[×·*]\s?\d))"
)
_ONE_WORD = re.compile(r"[^\W\d_]+")


def glossed(text: str) -> str:
    """Leave out what a letter is said to be, unless that says its side or its sense."""
    return _GLOSSED.sub(_bare, text)


def _bare(match: re.Match[str]) -> str:
    words = match["words"]
    if SIDES.search(words) or _ONE_WORD.fullmatch(words):
        return match.group()
    return match["name"].ljust(len(match.group()))
