"""Numbers as written: their value, and the interval that rounds to their digits."""

import re
from typing import Literal

Comma = Literal["decimal", "thousands", "open"]
_GROUPED_COMMA = re.compile(r"\d{1,3}(?:,\d{3})+")
_GROUPED_POINT = re.compile(r"\d{1,3}(?:\.\d{3})+")
FEET_INCHES = re.compile(
    r"(\d+(?:\.\d+)?)\s?(?:'|ft)\s?-?\s?(\d+(?:\.\d+)?)(\s\d+/\d+)?\s?(?:\"|''|in)"
)


def fraction(text: str | None) -> float:
    """Return the value of `3/8`, 0 for nothing."""
    if not text:
        return 0.0
    top, _, bottom = text.strip().partition("/")
    return float(top) / (float(bottom) or 1.0)


class BadNumber(ValueError):
    """Digits that make no number, such as two decimal points."""


def plain_digits(text: str, comma: Comma) -> str:
    """Return `text` with a decimal point and no separators.

    `comma` is what the working as a whole says about commas; a comma before exactly three digits
    separates thousands unless it is 'decimal'. Raises `BadNumber` for two decimal points.
    """
    text = text.replace(" ", "").replace("'", "")
    points, commas = text.count("."), text.count(",")
    if points and commas:
        last = max(text.rfind("."), text.rfind(","))
        mark, other = text[last], "," if text[last] == "." else "."
        if text.count(mark) > 1:
            raise BadNumber(text)
        return text.replace(other, "").replace(mark, ".")
    if commas:
        grouped = bool(_GROUPED_COMMA.fullmatch(text)) and not text.startswith("0,")
        if grouped and (commas > 1 or comma != "decimal"):
            return text.replace(",", "")
        if commas > 1:
            raise BadNumber(text)
        return text.replace(",", ".")
    if points > 1:
        if _GROUPED_POINT.fullmatch(text):
            return text.replace(".", "")
        raise BadNumber(text)
    if points and comma == "decimal" and _GROUPED_POINT.fullmatch(text) and text[0] != "0":
        return text.replace(".", "")
    return text


def interval(digits: str) -> tuple[float, float, float]:
    """Return (value, low, high) of digits with a point: low to high rounds to them.

    Trailing zeros of a whole number leave its precision open: 1730 may be 1725 to 1735. At least
    one figure is kept: 100 is 50 to 150.
    """
    mantissa, _, power = digits.lower().partition("e")
    value = float(digits)
    if "." in mantissa:
        places = len(mantissa) - mantissa.index(".") - 1
        half = 0.5 * 10.0 ** (-places)
    else:
        stripped = mantissa.rstrip("0")
        half = 0.5 * 10.0 ** (len(mantissa) - len(stripped)) if stripped else 0.5
    half *= 10.0 ** int(power or 0)
    low, high = value - half, value + half
    if value > 0:
        low = max(low, 0.0)
    return (value, _tidy(low), _tidy(high))


def _tidy(value: float) -> float:
    """Drop the dust of binary fractions: 2.4 − 0.005 is 2.395."""
    return float(f"{value:.12g}")
