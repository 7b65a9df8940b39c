"""Words by which a writer takes back what stands above, spelt out: 'Corre ction:', 'Whong!'.

Where such a word is not known again, its line contradicts the one above, which then seems wrong.
Spelling alone: whether anything was wrong is not known here.
"""

import re
from difflib import get_close_matches

_WORDS = (
    "wrong", "mistake", "correction", "corrected", "incorrect", "error", "korrektur", "falsch",
    "berichtigung", "errore", "corretto", "correzione", "corrección", "incorrecto", "erreur",
    "rectification", "błąd", "poprawka", "korekta", "sbagliato",
)  # fmt: skip
_FIRST = re.compile(r"^(?P<mark>\W*)(?P<word>[^\W\d_][^\W\d_ ]*(?: [^\W\d_]{2,})?)(?=\s?[:!,])")
_NEAR, _NEAR_SHORT = 0.85, 0.79  # one letter of seven is another, of five as well
_LEAST, _LEAST_SHORT = 7, 5


def amended(text: str) -> str:
    """Return a line with such a word at its beginning spelt out.

    >>> amended("Corre ction: P = 4"), amended("Whong! should be P = 4"), amended("Direction: x")
    ('Correction: P = 4', 'Wrong! should be P = 4', 'Direction: x')
    """
    found = _FIRST.match(text)
    if found is None:
        return text
    word = _meant(found["word"].replace(" ", "").lower())
    if not word:
        return text
    return f"{found['mark']}{word.capitalize()}{text[found.end('word') :]}"


def _meant(word: str) -> str:
    if len(word) < _LEAST_SHORT or word in _WORDS:
        return word if word in _WORDS else ""
    near = get_close_matches(word, _WORDS, 2, _NEAR if len(word) >= _LEAST else _NEAR_SHORT)
    near = [one for one in near if abs(len(one) - len(word)) <= 1]
    return near[0] if len(near) == 1 or (near and near[0][0] == word[0]) else ""
