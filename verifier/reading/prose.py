"""Words of prose in a printed line: there Tesseract, which knows words, has the say."""

from verifier.reading.choice import Choice
from verifier.reading.joined import PAIRS
from verifier.reading.likeness import distance
from verifier.reading.tesseract import Letter

_LEAST = 4
_WORD = 0.88
_LONG, _SURE = 5, 0.93


def with_words(choices: list[Choice], letters: list[Letter]) -> list[Choice]:
    """Return the choices with plain words as Tesseract read them, where it is sure of them."""
    found = list(choices)
    for word in _words(letters):
        left, right = word[0].box[0], word[-1].box[0] + word[-1].box[2]
        inside = [i for i, one in enumerate(found) if left <= _middle(one) <= right]
        if not inside or inside != list(range(inside[0], inside[-1] + 1)):
            continue
        own = found[inside[0] : inside[-1] + 1]
        after = found[inside[-1] + 1 : inside[-1] + 2]
        if after and not after[0].space and after[0].char.isalnum():
            continue
        said = "".join(letter.char for letter in word)
        if not _is_word(own, said, word[0].word) or (own[0].space != (inside[0] > 0)):
            continue
        found[inside[0] : inside[-1] + 1] = _read(word, inside[0] > 0)
    return found


def _is_word(own: list[Choice], said: str, sure: float) -> bool:
    """Whether glyphs are the same word with a slip or two, and nothing else stands among them.

    In a long word of which Tesseract is sure, letters may cling together or be broken.
    """
    text = "".join(one.char for one in own)
    if text == said or said.startswith(("sin", "cos", "tan")):
        return False
    if sure >= _SURE and len(said) >= _LONG and not any(one.space for one in own[1:]):
        return distance(text.lower(), said.lower()) <= 0.6 * len(said)
    if len(text) + 1 == len(said):  # two letters that cling together are one glyph
        spaced = any(one.space for one in own[1:])
        return not spaced and any(
            said == text[:i] + said[i : i + 2] + text[i + 1 :] and said[i : i + 2] in PAIRS
            for i in range(len(text))
        )
    if len(text) != len(said):
        return False
    plain = text.isascii() and not any(one.space for one in own[1:])
    return plain and 3 * distance(text, said) <= len(said) + 1


def _middle(choice: Choice) -> float:
    return choice.box[0] + choice.box[2] / 2


def _words(letters: list[Letter]) -> list[list[Letter]]:
    """Return Tesseract's words that are sure, long enough, and plain small letters."""
    words: list[list[Letter]] = []
    for letter in letters:
        if letter.after_space or not words:
            words.append([])
        words[-1].append(letter)
    found = []
    for word in words:
        core = [letter for letter in word if letter.char not in ".,:;"]
        text = "".join(letter.char for letter in core)
        plain = text.isalpha() and text.isascii() and text[1:].islower() and len(text) >= _LEAST
        if plain and core == word[: len(core)] and core[0].word >= _WORD:
            found.append(core)
    return found


def _read(word: list[Letter], space: bool) -> list[Choice]:
    return [
        Choice(letter.char, letter.box, max(0.97, letter.sure), 0, space and k == 0)
        for k, letter in enumerate(word)
    ]
