"""Units in LaTeX: siunitx, upright words and what they make in plain characters."""

import re
from typing import Any

from verifier.notation.latex_tables import UNIT_WORDS
from verifier.notation.latex_tree import flat

_UPRIGHT = ("\\mathrm", "\\text", "\\textrm", "\\rm", "\\mbox", "\\si", "\\unit")
_DIGITS = re.compile(r"\s*\d{1,2}\s*")


def unit_text(items: list[Any]) -> str:
    r"""Return a unit of siunitx in plain characters: \kilo\newton\metre → kN·m."""
    out = ""
    joined = True
    for piece in flat(items):
        word = piece.lstrip("\\") if piece.startswith("\\") else None
        if word is None:
            out += piece.strip().replace(".", "·").replace("~", "·")
            joined = True
            continue
        text, prefix = UNIT_WORDS.get(word, ("", False))
        if text == "/" or text in ("²", "³"):
            out, joined = out + text, text == "/"
        elif text:
            out += ("" if joined else "·") + text
            joined = prefix
    return out


def is_upright(arg: list[Any]) -> bool:
    """Tell whether an argument is set upright, as units are."""
    return any(piece in _UPRIGHT for piece in flat(arg))


def is_digits(arg: list[Any]) -> bool:
    """Tell whether an argument is a whole number of one or two figures."""
    return bool(_DIGITS.fullmatch("".join(flat(arg))))


def upright_word(arg: list[Any]) -> str:
    """Return the word that an argument sets upright."""
    pieces = (piece for piece in flat(arg) if not piece.startswith("\\") and piece not in "{}")
    return "".join(pieces).strip()
