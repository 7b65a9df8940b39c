"""The commands of LaTeX that take arguments: each writes what it stands for."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import TYPE_CHECKING, Any

from lark import Token

from verifier.notation import units
from verifier.notation.latex_tree import behind, extent, flat, place_of, remainder
from verifier.notation.latex_units import is_digits, is_upright, unit_text, upright_word

if TYPE_CHECKING:
    from verifier.notation.latex_writer import Writer

_WHOLE = re.compile(r"(?<![\d.,])\d{1,6}\s?$")
_FEET = re.compile(r"[\s~]*(?:ft|in|inch(?:es)?|feet)\b|[\s~]*['\"]")
_WITH_COLUMNS = ("array", "tabular", "tabularx", "alignat", "alignedat", "minipage", "multicols")


def _fraction(writer: Writer, items: list[Any], at: int) -> int:
    start, end = place_of(items[at])
    top, middle = writer.argument(items, at + 1)
    if (is_upright(top) or is_digits(top)) and (
        written := _plain_fraction(writer, top, list(items), middle)
    ):
        bottom, after = writer.argument(items, middle)
        writer.put(written, start, behind(items, after, bottom, end))
        return after
    writer.put("((", start, end)
    writer.items(top)
    place = behind(items, middle, top, end)
    writer.put(")", place - 1, place)
    bottom, after = writer.argument(items, middle)
    writer.put("/", place, place)
    below = max(place, behind(items, after, bottom, place) - 1)
    opening = min(place, below) if not bottom else max(place, extent(bottom, None)[0] - 1)
    writer.put("(", opening, opening + 1)
    writer.items(bottom)
    last = behind(items, after, bottom, place)
    writer.put("))", last - 1, last)
    return after


def _plain_fraction(writer: Writer, top: list[Any], items: list[Any], middle: int) -> str:
    """Return a fraction as it stands in plain text: a unit (`kN/m`) or the end of `3 1/2`; or ''.

    Before feet or inches a whole number and a fraction are one number, not a product.
    """
    bottom, after = writer.argument(items, middle)
    if is_upright(top) and is_upright(bottom):
        written = "/".join(upright_word(arg) for arg in (top, bottom))
        return f" {written}" if units.PATTERN.fullmatch(written) else ""
    before = "".join(writer.text[-24:])
    if not (is_digits(top) and is_digits(bottom) and _WHOLE.search(before)):
        return ""
    above, below = ("".join(flat(arg)).strip() for arg in (top, bottom))
    follows = "".join(flat(items[after : after + 6]))
    if not _FEET.match(follows):
        return ""
    return f"{'' if before[-1] == ' ' else ' '}{above}/{below}"


def _begin(writer: Writer, items: list[Any], at: int) -> int:
    writer.put(" ", *place_of(items[at]))
    name, after = writer.argument(items, at + 1)
    after = writer.optional(items, after)
    if "".join(flat(name)).rstrip("*") in _WITH_COLUMNS:
        _, after = writer.argument(items, after)
    return after


def _item(writer: Writer, items: list[Any], at: int) -> int:
    writer.put(" ", *place_of(items[at]))
    return writer.optional(items, at + 1)


def _braced(writer: Writer, items: list[Any], at: int) -> int:
    r"""Write what a brace holds; what it says below or above (`\underbrace{3(2)}_{6}`) is words."""
    arg, after = writer.argument(items, at + 1)
    writer.items(arg)
    note = items[after] if after < len(items) else None
    if isinstance(note, Token) and note.type in ("SUB", "SUPER"):
        _, after = writer.argument(items, after + 1)
    return after


def _root(writer: Writer, items: list[Any], at: int) -> int:
    start, end = place_of(items[at])
    after = writer.optional(items, at + 1)
    arg, after = writer.argument(items, after)
    writer.put("√(", start, end)
    writer.items(arg)
    last = behind(items, after, arg, end)
    writer.put(")", last - 1, last)
    return after


def _struck(writer: Writer, items: list[Any], at: int) -> int:
    start, end = place_of(items[at])
    after = at + 1
    if items[at] == "\\cancelto":
        _, after = writer.argument(items, after)
    arg, after = writer.argument(items, after)
    writer.put("~~", start, end)
    writer.items(arg)
    last = behind(items, after, arg, end)
    writer.put("~~", last - 1, last)
    return after


def _labelled_arrow(writer: Writer, items: list[Any], at: int) -> int:
    start, end = place_of(items[at])
    after = writer.optional(items, at + 1)
    arg, after = writer.argument(items, after)
    last = behind(items, after, arg, end)
    writer.put("→" if "right" in items[at] else "←", start, end)
    inside = "".join(flat(arg)).strip()
    if "+" in inside:
        writer.put("+", last - 1, last)
    return after


def _stacked(writer: Writer, items: list[Any], at: int) -> int:
    r"""Write `\overset{+}{\rightarrow}` as →+."""
    over, middle = writer.argument(items, at + 1)
    under, after = writer.argument(items, middle)
    arrow, sign = (under, over) if "".join(flat(over)).strip() in "+-" else (over, under)
    writer.items(arrow)
    writer.items(sign)
    return after


def _sized(writer: Writer, items: list[Any], at: int) -> int:
    r"""Leave out \left and \right, and the full stop that stands for no bracket."""
    after = at + 1
    token = items[after] if after < len(items) else None
    if writer.cases and token in ("\\{", "\\}"):
        return after + 1
    if isinstance(token, Token) and token.type == "TEXT" and token.lstrip().startswith("."):
        items[after] = remainder(token, len(token) - len(token.lstrip()) + 1)
    return after


def _tag(writer: Writer, items: list[Any], at: int) -> int:
    arg, after = writer.argument(items, at + 1)
    inside = "".join(flat(arg)).strip().strip("()")
    name = str(items[at])[1:].rstrip("*")
    if name in ("label", "ref", "eqref"):
        inside = writer.macros.labels.get(inside, "")
    start = place_of(items[at])[0]
    end = behind(items, after, arg, start)
    if inside:
        writer.put(f"   ({inside})" if name in ("tag", "label") else f"({inside})", start, end)
    return after


def _quantity(writer: Writer, items: list[Any], at: int) -> int:
    after = writer.optional(items, at + 1)
    number, after = writer.argument(items, after)
    writer.items(number)
    place = extent(number, items[at])[1]
    after = writer.optional(items, after)
    unit, after = writer.argument(items, after)
    last = behind(items, after, unit, place)
    written = unit_text(unit)
    writer.put((" " if written != "°" else "") + written, extent(unit, items[at])[0], last)
    return after


def _unit(writer: Writer, items: list[Any], at: int) -> int:
    start, end = place_of(items[at])
    after = writer.optional(items, at + 1)
    unit, after = writer.argument(items, after)
    writer.put(" " + unit_text(unit), start, behind(items, after, unit, end))
    return after


def _number(writer: Writer, items: list[Any], at: int) -> int:
    after = writer.optional(items, at + 1)
    number, after = writer.argument(items, after)
    writer.items(number)
    if items[at] == "\\ang":
        last = behind(items, after, number, place_of(items[at])[1])
        writer.put("°", last - 1, last)
    return after


HANDLERS: dict[str, Callable[[Writer, list[Any], int], int]] = {
    **dict.fromkeys(("frac", "tfrac", "dfrac", "cfrac", "sfrac", "nicefrac"), _fraction),
    **dict.fromkeys(("cancel", "bcancel", "xcancel", "sout", "st", "cancelto"), _struck),
    **dict.fromkeys(("xrightarrow", "xleftarrow"), _labelled_arrow),
    **dict.fromkeys(("overset", "underset", "stackrel"), _stacked),
    **dict.fromkeys(("left", "right", "big", "Big", "bigl", "bigr", "Bigl", "Bigr"), _sized),
    **dict.fromkeys(("tag", "label", "ref", "eqref"), _tag),
    **dict.fromkeys(("qty", "SI"), _quantity),
    **dict.fromkeys(("unit", "si"), _unit),
    **dict.fromkeys(("num", "ang"), _number),
    **dict.fromkeys(("underbrace", "overbrace", "underbracket", "overbracket"), _braced),
    "sqrt": _root,
    "item": _item,
    "begin": _begin,
}
