"""Letters of print that cling together, as ft and fi do, told apart where Tesseract saw two."""

from verifier.reading.choice import Choice
from verifier.reading.tesseract import Letter

PAIRS = frozenset(
    {"ft", "ff", "fi", "fl", "fj", "fk", "fb", "fh", "fü", "fä", "tt", "tf", "rt", "kN"}
)
_SURE = 0.95  # how sure Tesseract must be of each letter …
_WORD = 0.85  # … and of their word


def parted(choices: list[Choice], letters: list[Letter]) -> list[Choice]:
    """Return the choices with a glyph that is such a pair of letters told as the two."""
    found: list[Choice] = []
    for one in choices:
        pair = [letter for letter in letters if _inside(letter, one)]
        told = "".join(letter.char for letter in pair)
        known = one.char in told or (found and found[-1].char in told)  # told apart already
        if told not in PAIRS or known or one.char == "√" or not all(map(_is_sure, pair)):
            found.append(one)
            continue
        x, y, w, h = one.box
        half = w // 2
        first, second = pair
        found.append(
            Choice(first.char, (x, y, half, h), first.sure, one.script, one.space, (), one.held)
        )
        found.append(Choice(second.char, (x + half, y, w - half, h), second.sure, one.script))
    return found


def _inside(letter: Letter, choice: Choice) -> bool:
    x, _, w, _ = choice.box
    left, _, wide, _ = letter.box
    return x - 0.12 * w < left + wide / 2 < x + w and wide < 1.2 * w


def _is_sure(letter: Letter) -> bool:
    return letter.sure >= _SURE and letter.word >= _WORD
