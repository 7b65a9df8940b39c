"""Words of the trade with letters that the glyph network does not know: œ, ę, ł, ą, ù."""

from dataclasses import replace
from itertools import groupby

from verifier.reading.choice import Choice

_WORDS = (
    "nœud", "węzeł", "stąd", "część", "więc", "pręt", "pręta", "pręty", "siła", "równowaga",
    "całości", "ściskany", "ściskanie", "rozciąganie", "rozciągany", "założenie",
    "ściskana", "ściskane", "rozciągana", "rozciągane", "górę", "dół", "oś", "działa",
    "względem", "że", "zastąpić", "dźwignia", "obciążenie", "wartość", "przęsło", "wysięg",
    "wózek", "kąt", "długość", "cały", "układ", "układu", "ciało", "où", "d'où",
)  # fmt: skip
# What the network says of such a letter, having none like it; œ may look like anything.
_ALIKE = {
    "ę": "eqgéèçcφ", "ł": "ltkf↑iI1|}", "ą": "aqgàä", "ć": "céóç", "ś": "séóö4{≤gk", "ź": "zi",
    "ż": "zài", "ń": "nñ", "ù": "uüûúà",
}  # fmt: skip
_MARKED = frozenset(_ALIKE) | {"œ"}
_LONG = 7  # letters of a word that its plain ones tell by themselves: the others may look like any


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
        long = len(word) >= _LONG
        if len(word) == len(run) and all(
            _fits(*pair, long) for pair in zip(run, word, strict=True)
        ):
            return [
                one if char not in _MARKED else replace(one, char=char, sure=0.95, others=())
                for one, char in zip(run, word, strict=True)
            ]
    return run


def _fits(one: Choice, char: str, long: bool) -> bool:
    if long and char in _MARKED:
        return True
    if char == "œ":
        return not one.char.isdigit()
    return one.char.lower() == char or one.char in _ALIKE.get(char, "")
