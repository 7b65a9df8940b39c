"""Numbers as written: their value, and the interval that rounds to their digits."""

import re
from typing import Literal

Comma = Literal["decimal", "thousands", "open"]
_GROUPED_COMMA = re.compile(r"\d{1,3}(?:,\d{3})+")
_GROUPED_POINT = re.compile(r"\d{1,3}(?:\.\d{3})+")
VULGAR = {
    "½": (1, 2), "⅓": (1, 3), "⅔": (2, 3), "¼": (1, 4), "¾": (3, 4), "⅕": (1, 5), "⅖": (2, 5),
    "⅗": (3, 5), "⅘": (4, 5), "⅙": (1, 6), "⅚": (5, 6), "⅛": (1, 8), "⅜": (3, 8), "⅝": (5, 8),
    "⅞": (7, 8),
}  # fmt: skip
_SMALL = r"(?:\d{1,2}/\d{1,2}|[½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞])"
COMPOSITE = re.compile(
    rf"""(?P<feet>\d+(?:\.\d+)?)\s{{0,2}}(?:'|ft\.?)\s{{0,2}}-?\s{{0,2}}
         (?P<inches>\d+(?:\.\d+)?)(?:[\s-]?(?P<part>{_SMALL}))?\s{{0,2}}(?:"|''|in\b\.?)
      | (?P<degrees>\d+)\s{{0,2}}°\s{{0,2}}(?P<minutes>\d{{1,2}})\s{{0,2}}'
      | (?P<whole>\d+)(?:\s{{0,2}}(?P<vulgar>[½⅓⅔¼¾⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞])
                     |\s(?P<slash>\d{{1,2}}/\d{{1,2}})
                      (?=\s{{0,3}}(?:ft|in\b|['"]|feet|inch|k?N\b|kips?\b|k\b|lbs?\b|m\b|$)))""",
    re.VERBOSE,
)


def is_composite(text: str) -> bool:
    """Tell whether a number is written in two parts: `3 ft 6 in`, `36°52'`, `5½`."""
    found = None if text.isdecimal() else COMPOSITE.match(f"{text} ft")
    return found is not None and found.end() >= len(text)


def composite(text: str) -> tuple[float, float, str]:
    """Return (value, half the step it is written to, unit) of a number in two parts.

    `3 ft 6 in` is 3.5 feet, `36°52'` 36.87 degrees, `5½` five and a half, exact. Raises
    `BadNumber` for anything else.
    """
    found = COMPOSITE.match(f"{text} ft")
    if found is None or found.end() < len(text):
        raise BadNumber(text)
    if found["feet"]:
        inches = float(found["inches"]) + _fraction(found["part"])
        return float(found["feet"]) + inches / 12, 0.5 / 12, "ft"
    if found["degrees"]:
        return float(found["degrees"]) + float(found["minutes"]) / 60, 0.5 / 60, "°"
    return float(found["whole"]) + _fraction(found["vulgar"] or found["slash"]), 0.0, ""


def _fraction(text: str | None) -> float:
    if not text:
        return 0.0
    if text in VULGAR:
        return VULGAR[text][0] / VULGAR[text][1]
    top, _, bottom = text.partition("/")
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
