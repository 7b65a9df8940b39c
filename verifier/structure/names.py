"""When two spellings are one name, and which known name a wrong one is likely to mean."""

import difflib
import re
import unicodedata
from collections.abc import Iterable

_SMALL = str.maketrans("₀₁₂₃₄₅₆₇₈₉’′", "0123456789''")
_GREEK = {
    unicodedata.name(letter).split()[-1].lower(): letter for letter in "αβγδεζηθικλμνξοπρστυφχψω"
} | {"lambda": "λ"}
_LETTERS = re.compile(r"[A-Za-z]+")


def key(name: str) -> str:
    """Return the form under which all spellings of one name meet.

    >>> key("T_1") == key("T₁") == key("T1"), key("theta_B") == key("θB")
    (True, True)
    """
    plain = unicodedata.normalize("NFC", name).translate(_SMALL)
    return "".join(_LETTERS.sub(_greek, part) for part in plain.split("_"))


def likely(name: str, known: Iterable[str]) -> str | None:
    """Return the known name that a wrong one most likely means, or None.

    >>> likely("dekc", ["deck", "mast"])
    'deck'
    """
    choices = list(known)
    for known_name in choices:
        if key(known_name).casefold() == key(name).casefold():
            return known_name
    close = difflib.get_close_matches(name[:80], choices[:500], n=1, cutoff=0.55)
    return close[0] if close else None


def _greek(found: re.Match[str]) -> str:
    word = found.group()
    letter = _GREEK.get(word.lower())
    if letter is None or word not in (word.lower(), word.capitalize()):
        return word
    return letter if word.islower() else letter.upper()
