"""Words of the trade with letters that the glyph network does not know: œ, ę, ł, ą, ù."""

from dataclasses import replace
from itertools import groupby

from verifier.reading.choice import Choice

_WORDS = (
    "nœud", "węzeł", "stąd", "część", "więc", "pręt", "pręta", "pręty", "siła", "oś", "równowaga",
    "całości", "ściskany", "ściskanie", "rozciąganie", "rozciągany", "où", "d'où",
)  # fmt: skip
_MARKED = frozenset("œęłąćśźżńù")


def marked(choices: list[Choice]) -> list[Choice]:
    """Return the choices with such words spelt out, where all their plain letters agree."""
    found: list[Choice] = []
    word = 0
    keys: list[tuple[bool, int]] = []
    for one in choices:
        word += one.space
        keys.append((one.script == 0 and one.char not in ",.:;()[]=+−-", word))
    at = 0
    for (inside, _), group in groupby(keys):
        count = len(list(group))
        run = choices[at : at + count]
        found += _spelt(run) if inside else run
        at += count
    return found


def _spelt(run: list[Choice]) -> list[Choice]:
    for word in _WORDS:
        if len(word) == len(run) and all(map(_fits, run, word)):
            return [
                one if char not in _MARKED else replace(one, char=char, sure=0.95, others=())
                for one, char in zip(run, word, strict=True)
            ]
    return run


def _fits(one: Choice, char: str) -> bool:
    return one.char.lower() == char or (char in _MARKED and not one.char.isdigit())
