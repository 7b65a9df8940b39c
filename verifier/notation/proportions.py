"""Proportions as people tell them: ratios, shares of an amount, the sides of a right triangle.

Every step keeps the text as long as it was, so that places stay.
"""

import re

_TRIPLE = re.compile(  # `guy is 3-4-5`
    r"(?<![\w.,+\-−*/·×^])(?:(?:is|has)\s(?:an?\s)?|=\s?)?"
    r"(?P<a>\d{1,3})(?P<to>[-–:])(?P<b>\d{1,3})(?P=to)(?P<c>\d{1,3})"
    r"(?![\w]|[.,]\d|\s?[=+\-−*/·×^(])"
)
_RATIO = re.compile(  # Neigung 1,2 : 1,6 = 3 : 4
    r"(?<=[^\W\d_]\s)(\d{1,9}[.,]\d{1,9}\s?):(?=\s?\d[\d.,]{0,9}\s?=\s?\d)"
)
_UNIT = r"\s?(?:[kmMc]?[Nm]|ft|in|kips?|lbf?|kgf?)\b"
_PART_OF = re.compile(  # 2/3 de 2 m = 1,333 m
    rf"(?<=\d/)(\d{{1,2}})\s(?:of|de|von|di|van|av|af)\s(?=\d[\d.,]{{0,9}}{_UNIT})"
)
_SHARE = re.compile(  # `A takes 2/3 = 262 N`: the share, then what it comes to
    rf"(?<=[^\W\d_]{{3}}\s)(?P<a>\d)\s?/\s?(?P<b>\d{{1,2}})\s?=(?=\s?(?P<n>\d[\d.,]{{0,9}}){_UNIT})"
)
_FAR = 3.0


def proportioned(text: str) -> str:
    """Return a line whose ratios and parts are quotients and products, its bare shares blank.

    >>> proportioned("2/3 of 2 m = 1.33 m"), proportioned("slope 3-4-5")
    ('2/3 ×  2 m = 1.33 m', 'slope      ')
    """
    if "/" in text:
        text = _PART_OF.sub(lambda m: f"{m[1]} ×".ljust(len(m.group())), text)
        text = _SHARE.sub(_share, text)
    text = _TRIPLE.sub(_sides, text)
    return _RATIO.sub(r"\1/", text) if ":" in text else text


def _share(match: re.Match[str]) -> str:
    """Blank out the share before what it comes to, unless that is the share's own value."""
    share, comes = int(match["a"]) / (int(match["b"]) or 1), match["n"].replace(",", ".").strip(".")
    near = comes.count(".") < 2 and share / _FAR < float(comes) < _FAR * share
    return match.group() if near else " " * len(match.group())


def _sides(match: re.Match[str]) -> str:
    """Blank out the sides of a right triangle, `3-4-5`; any other numbers stay."""
    a, b, c = (int(match[side]) for side in "abc")
    right = 0 < a * a + b * b == c * c
    return " " * len(match.group()) if right else match.group()


__all__ = ["proportioned"]
