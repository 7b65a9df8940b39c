"""Words by hand that are misread in a letter or two: those that say something of a working.

A word that is none stands for the one word of its first letter and length that is near to it.
Spelling alone: what a line should say is not known here.
"""

import re
from difflib import get_close_matches

from verifier.notation.tree import Names

_WORD = re.compile(r"(?<![^\W_])[a-z][a-zàâáéèêíóúüäöß1]{3,}(?![^\W_])")
SENSES = (
    "tension", "compression", "upwards", "downwards", "right", "left", "clockwise", "anticlockwise",
    "zug", "druck", "oben", "unten", "links", "rechts", "traction", "haut", "droite", "gauche",
    "hacia", "arriba", "abajo", "derecha", "izquierda", "tracción", "compresión", "alto", "basso",
    "destra", "sinistra", "trazione", "compressione",
)  # fmt: skip
_OTHERS = (
    "about",
    "above",
    "along",
    "assume",
    "assumed",
    "balance",
    "because",
    "downward",
    "equilibrium",
    "force",
    "forces",
    "giving",
    "hence",
    "horizontal",
    "horizontally",
    "joint",
    "moment",
    "moments",
    "parallel",
    "perpendicular",
    "reaction",
    "reactions",
    "resolving",
    "section",
    "structure",
    "support",
    "taken",
    "taking",
    "through",
    "toward",
    "towards",
    "upward",
    "vertical",
    "vertically",
    "which",
    "whole",
    "abwärts",
    "annahme",
    "aufwärts",
    "gesamtsystem",
    "knoten",
    "kräfte",
    "schnitt",
    "senkrecht",
    "waagerecht",
    "fuerzas",
    "momentos",
    "equilibrio",
    "sezione",
    "sección",
    "przekrój",
    "węzeł",
    "prawo",
    "lewo",
)
_ALSO = (  # near to one of these, and words themselves
    "compresion", "compresiones", "forcer", "momente", "horizontale", "horizontalement", "supporte",
    "reazioni", "reazione", "reacciones", "reactie", "structural", "structured", "supports",
    "supported", "verticale", "verticaux", "vertikal", "vertikale", "horizontales", "verticales",
    "équilibre", "equilibre", "rightwards", "leftwards", "traccion", "assumes", "hinges",
)  # fmt: skip
_LOOKS = str.maketrans("l1tceovy", "iiioooun")
_SEEN_AS = {word.translate(_LOOKS): word for word in SENSES}
_KNOWN = frozenset((*SENSES, *_OTHERS))
_SHORT = ("hence", "thence", "which", "giving", "taking", "moment", "about", "force")
_TOLD = re.compile(r"(?<=[\dNbfpts\]])(\s?[(\[])([a-zàâáäéèêíóúüöß]{3,12})(?=[)\]])")
_WAYS = (*SENSES, "down", "pull", "push")
_WAYS_ALSO = frozenset({"lift", "kips", "drawn", "total", "comp", "tens", "alta", "alte", "also"})
_NEAR_WAY = 0.74  # one letter of four is another
_NEAR, _NEAR_SHORT = 0.85, 0.79  # two words' likeness: one letter of seven, of five is another
_LEAST, _LEAST_SHORT = 7, 5
_STROKES = (("ct", "d"), ("cl", "d"), ("rn", "m"), ("vv", "w"))
_N = str.maketrans("r", "n")
_SMALL = re.compile(r"(?<=[a-z] )(?:About|At|Of|To|The|IN|In|On|And|Is|As)(?= )")


_GREEK = re.compile(  # Resultanγ: no name of its own
    r"(?<=[a-z]{5})(?<!arcsin)(?<!arccos)(?<!arctan)[γταρνμυ](?![\w(])"
)
_FUNCTION = re.compile(r"(?<![^\W_])(?:[sS][iI][nN]|[cC][oO][sS]|[tT][aA][nN])(?![^\W_])")
_UNEVEN = re.compile(  # obeN, vertikAL; no kNmm, no sinA
    r"(?<![^\W_])(?![kM]N|sin|sen|cos|tan|tg|cot|arc|sqrt)(?=[^\W\d_]*[a-z][A-Z])[^\W\d_]{4,}(?![^\W_])"
)
_AXIS = re.compile(r"(?<=[a-z] in )[XY](?=\s?:)")  # Force balance in X:
_AS_LATIN = str.maketrans("γταρνμυ", "ttapvuu")
_FOR = re.compile(r"^(\W*)F_\{[Oo][rRyY]\}(?= [a-z])")


def worded(text: str, names: Names) -> str:
    """Return a line with its words spelt out, where letters are their look-alikes.

    >>> worded("P = 4 kN hacla arrlba, R = 2 dowrwards", Names())
    'P = 4 kN hacia arriba, R = 2 downwards'
    >>> worded("P = 4 kN (dowt)", Names())
    'P = 4 kN (down)'
    >>> worded("Moments About A", Names())
    'Moments about A'
    """
    text = _FUNCTION.sub(lambda found: found[0].lower(), text)
    text = _UNEVEN.sub(lambda found: found[0][0] + found[0][1:].lower(), text)
    text = _GREEK.sub(lambda found: found[0].translate(_AS_LATIN), text)
    text = _FOR.sub(r"\1For", text)
    text = _WORD.sub(lambda found: _nearest(found[0]), text)
    text = _TOLD.sub(lambda found: found[1] + _way(found[2]), text)
    known = names.joints | names.letters | names.extra
    text = _AXIS.sub(lambda found: found[0] if found[0] in known else found[0].lower(), text)
    bars = {a + b for pair in names.members for a, b in (pair, pair[::-1])}

    def small(found: re.Match[str]) -> str:
        own = found[0]
        return own if own in known or own.upper() in bars else own.lower()

    return _SMALL.sub(small, text)


def _nearest(word: str) -> str:
    if word in _KNOWN or word in _ALSO:
        return word
    if word.translate(_LOOKS) in _SEEN_AS:
        return _SEEN_AS[word.translate(_LOOKS)]
    if len(word) < _LEAST_SHORT:
        return word
    words, least = (_KNOWN, _NEAR) if len(word) >= _LEAST else (_SHORT, _NEAR_SHORT)
    drawn = _drawn(word)
    if drawn in _KNOWN:
        return drawn
    near = [
        other
        for other in get_close_matches(word, words, 2, least)
        if other[0] == word[0] and abs(len(other) - len(word)) <= 1
    ]
    return near[0] if len(near) == 1 and not _inflected(word, near[0]) else word


def _way(word: str) -> str:
    """Return the sense that a word in brackets behind a value tells: few words stand there."""
    if word in _WAYS or word in _KNOWN or word in _WAYS_ALSO:
        return word
    near = get_close_matches(word, _WAYS, 2, _NEAR_WAY)
    return near[0] if len(near) == 1 and near[0][0] == word[0] else word


def _drawn(word: str) -> str:
    """Return a word with letters for the strokes that look like them: upwancts, ventical."""
    for strokes, letter in _STROKES:
        word = word.replace(strokes, letter)
    return next((known for known in _KNOWN if known.translate(_N) == word.translate(_N)), word)


def _inflected(word: str, other: str) -> bool:
    """Tell whether a word is another form of one: forces, resolved, sections."""
    return word.startswith(other) or other.startswith(word)
