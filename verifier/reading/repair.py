"""What the writing's own rules and the sheet's names say about look-alikes in a printed line.

Never what the line should come to: a figure is not weighed against another, and a sign stays as
it was seen. Only spelling is judged: of functions, units, words of the trade, and names.
"""

from collections.abc import Callable
from dataclasses import replace
from itertools import groupby

from verifier.notation.tree import Names
from verifier.reading.choice import Choice
from verifier.reading.repair_places import placed
from verifier.reading.repair_signs import letters_of, set_to, settled

_FUNCTIONS = ("sin", "cos", "tan", "arcsin", "arccos", "arctan", "asin", "acos", "atan", "sqrt")
_UNITS = ("kN", "kNm", "MN", "Nm", "lb", "lbf", "kip", "kgf", "daN", "mm", "cm", "ft", "kN·m")
_ALIKE = (
    "oO0", "cC", "sS", "vV", "wW", "xX×", "zZ", "kK", "pP", "uU", "lI1|", "iI1l", "fF", "jJ",
    "yY", "mM", "nN", "tT", "bB", "gG9", "dD", "rR", "hH", "θ0", "aα",
)  # fmt: skip
_BOTH_CASES = {a: b for a, b in ("oO", "cC", "sS", "vV", "wW", "zZ", "kK", "pP", "uU")}
_LETTERS = "OolI"
_Fits = Callable[[Choice], bool]
_WORTH = 0.0005


def repaired(choices: list[Choice], names: Names) -> list[Choice]:
    """Return the choices with look-alikes settled where only one of them can be written."""
    found = placed(choices, names, letters_of(names))
    for start, end in _runs(found, lambda one: one.char.isalpha() or one.char in "|0159"):
        _spell(found, start, end)
    for start, end in _runs(found, lambda one: one.char.isalpha()):
        _one_case(found, start, end, names)
    _lone_letters(found, names)
    _cyrillic_units(found, names)
    return settled(found, names)


def _cyrillic_units(choices: list[Choice], names: Names) -> None:
    """Read KH after a number as кН where no joints have these names: the letters look alike."""
    joints = {"K", "H"} <= letters_of(names)
    for start, end in _runs(choices, lambda one: one.char in "KkHM"):
        word = "".join(one.char for one in choices[start:end])
        before = choices[start - 1].char if start else " "
        if word not in ("KH", "kH") or choices[start].script:
            continue
        if before == "[" or (before.isdigit() and choices[start].space and not joints):
            choices[start] = replace(choices[start], char="к", others=())
            choices[start + 1] = replace(choices[start + 1], char="Н", others=())


def _runs(choices: list[Choice], fits: _Fits) -> list[tuple[int, int]]:
    """Return `[start, end)` of neighbouring glyphs on one level, without a space, that fit."""
    keys: list[tuple[bool, int, int]] = []
    word = 0
    for one in choices:
        word += one.space
        keys.append((fits(one), one.script, word))
    found, at = [], 0
    for key, group in groupby(keys):
        count = len(list(group))
        if key[0]:
            found.append((at, at + count))
        at += count
    return found


def _spell(choices: list[Choice], start: int, end: int) -> None:
    """Set a run that can only be a function or a unit to its spelling."""
    run = choices[start:end]
    if run[0].script:
        return
    word = "".join(one.char for one in run)
    for known in (*_FUNCTIONS, *_UNITS):
        if len(known) != len(word) or word == known:
            continue
        if _can_be(run, known, known in (*_FUNCTIONS, "lb", "lbf")):
            for i, char in enumerate(known):
                choices[start + i] = set_to(run[i], char)
            return


def _can_be(run: list[Choice], known: str, function: bool) -> bool:
    odd = 0
    for one, char in zip(run, known, strict=True):
        if one.char == char:
            continue
        seen = any(other == char and chance > _WORTH for other, chance in one.others)
        # KN may be the member K–N: a unit must be seen in the ink, a function need not.
        alike = function and any(one.char in group and char in group for group in _ALIKE)
        if not (seen or alike or (function and len(known) >= 6)):
            return False
        odd += 0 if alike else 1
    letters = sum(one.char.isalpha() for one in run)
    return odd <= 1 and letters >= max(2, len(known) - 1)


def _one_case(choices: list[Choice], start: int, end: int, names: Names) -> None:
    """Settle letters that look alike in both cases by the rest of their word or name."""
    run = choices[start:end]
    word = "".join(one.char for one in run)
    fixed = [one.char for one in run if one.char.lower() not in _BOTH_CASES]
    small = sum(char.islower() for char in fixed)
    large = sum(char.isupper() for char in fixed)
    large += sum(one.char == "P" and one.sure > 0.9 for one in run)  # p goes below the line
    for i, one in enumerate(run):
        char = one.char
        if small >= 2 and small > large and i > 0 and char in "Il|":
            choices[start + i] = set_to(replace(one, others=()), "l")
        if char.lower() not in _BOTH_CASES or word in _UNITS:
            continue
        if small >= 2 and small > large and (i > 0 or char.islower()):
            choices[start + i] = set_to(one, char.lower())
        elif large and not small and len(run) <= 4 and char.lower() not in "k":
            upper, known = char.upper(), letters_of(names)
            wanted = (upper in known or not known) and char not in known
            if char.islower() and wanted and (one.script or i > 0 or known):
                choices[start + i] = set_to(one, upper)
            elif not known or upper in known or char not in known:
                choices[start + i] = _lean(one, upper, 0.9)


def _lean(choice: Choice, char: str, sure: float) -> Choice:
    """Prefer `char` unless the glyph is clearly the other."""
    if choice.char == char:
        gain = 1 - (1 - choice.sure) * (1 - sure)
        others = tuple((c, p * (1 - sure)) for c, p in choice.others)
        return replace(choice, sure=gain, others=others)
    chance = next((p for c, p in choice.others if c == char), 0.0)
    if chance < 0.03:
        return choice
    rest = tuple((c, p) for c, p in choice.others if c != char)
    return replace(choice, char=char, sure=0.6, others=((choice.char, 0.35), *rest))


def _lone_letters(choices: list[Choice], names: Names) -> None:
    """Read an O or an l as a figure where only a figure can stand."""
    known = letters_of(names)
    for i, one in enumerate(choices):
        if one.script or one.char not in "OolI01":
            continue
        before = choices[i - 1].char if i else " "
        after = choices[i + 1].char if i + 1 < len(choices) else " "
        joined_before = i > 0 and not one.space and (before.isalnum() or before in "_{")
        joined_after = (
            i + 1 < len(choices) and not choices[i + 1].space and (after.isalpha() or after == "_")
        )
        if joined_after or (joined_before and before.isalpha()):
            continue
        figure = (
            (before.isdigit() and joined_before)
            or (before in ".," and not one.space)
            or (after in ".," and i + 2 < len(choices) and choices[i + 2].char.isdigit())
            or (after.isdigit() and not choices[i + 1].space)
        )
        alone = before in "=≈" or (after in "=≈" and not before.isalnum())
        digit = "0" if one.char in "Oo0" else "1"
        if one.char == digit:
            strange = known if before in "=≈+−-×·/(" else set(_LETTERS)
            others = tuple((c, p) for c, p in one.others if c not in "OolI" or c in strange)
            dropped = sum(p for _, p in one.others) - sum(p for _, p in others)
            choices[i] = replace(one, sure=min(1.0, one.sure + dropped), others=others)
        elif figure or (alone and one.char not in known):
            rest = tuple((c, p) for c, p in one.others if c != digit)
            choices[i] = replace(
                one, char=digit, sure=0.985 if figure else 0.95, others=((one.char, 0.01), *rest)
            )
