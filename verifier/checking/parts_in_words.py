"""Parts of reactions said in words behind their name: `R_B vertical`, `B (horizontal)`."""

import re

_PART = re.compile(
    r"(?:[RF]_?\{?)?(?P<joint>[A-Z]\d?'?)\}?[ ,(]+(?P<way>horiz|vert)(?:ontal|ical)?\w{0,4}\.?\)?",
    re.IGNORECASE,
)


def part_in_words(text: str) -> tuple[str, str]:
    """Return the joint and the axis of a reaction's part, or two empty texts.

    >>> part_in_words("R_B vertical"), part_in_words("R_B")
    (('B', 'y'), ('', ''))
    """
    said = _PART.fullmatch(text)
    if said is None:
        return "", ""
    return said["joint"], "x" if said["way"].lower() == "horiz" else "y"


__all__ = ["part_in_words"]
