"""Glyphs of a printed line whose place, beside their neighbours, tells what they are.

Indices, raised figures, points and underscores: geometry and spelling, never what a line comes to.
"""

from dataclasses import replace
from itertools import pairwise
from statistics import median

from verifier.notation.tree import Names
from verifier.reading.choice import Choice
from verifier.reading.segment import Box4

_LIKE_COMMAS = frozenset("J'_")
_DIRECTIONS = frozenset("xyvhzuo")  # small letters that stand as an index by themselves
_ROUND = frozenset("cswzpuv")  # small letters that their capitals look like
_SHORT_WORDS = frozenset({"s0", "0k", "n0", "t0", "0f", "0r", "0n"})
_BASES = frozenset(")]}'_")


def placed(choices: list[Choice], names: Names, letters: set[str]) -> list[Choice]:
    """Return the choices with such glyphs settled; `letters` are those of the sheet's names."""
    found = _zeros(choices)
    found = _separators(found)
    _commas(found)
    _feet(found)
    _roots(found)
    _without_base(found)
    _begun_indices(found)
    _indices(found, names)
    _numbered(found, letters)
    _lone_cases(found, letters)
    _small_words(found, names)
    _ended_words(found)
    return found


def _zeros(choices: list[Choice]) -> list[Choice]:
    """Read an empty pair of brackets after a figure as the nought whose rim is broken."""
    found: list[Choice] = []
    for one in choices:
        before = found[-1] if found else None
        digit = len(found) > 1 and (found[-2].char.isdigit() or found[-2].char in ".,")
        if before and digit and before.char == "(" and one.char == ")" and not before.space:
            box = _both(before.box, one.box)
            found[-1] = replace(before, char="0", box=box, sure=0.9, others=())
            continue
        found.append(one)
    return found


def _separators(choices: list[Choice]) -> list[Choice]:
    """Keep one of two points or commas that stand side by side inside a number."""
    found: list[Choice] = []
    for i, one in enumerate(choices):
        follows = i + 1 < len(choices) and choices[i + 1].char.isdigit()
        if follows and len(found) > 1 and one.char in ".,;:'" and not one.space:
            before = found[-1]
            if before.char in ".," and not before.space and found[-2].char.isdigit():
                found[-1] = replace(before, sure=min(before.sure, 0.9))
                continue
        found.append(one)
    return found


def _roots(choices: list[Choice]) -> None:
    """Read a V before a bracket or a figure as the root that it may be, where no V is named."""
    for i in range(len(choices) - 2):
        one, after, third = choices[i : i + 3]
        chance = sum(chance for char, chance in one.others if char == "√")
        opens = after.char == "(" and (third.char.isdigit() or third.char == "(")
        if one.char != "V" or after.space or not (opens or after.char.isdigit()) or chance < 0.003:
            continue
        if one.space or not i or not choices[i - 1].char.isalnum():
            choices[i] = replace(one, char="√", sure=0.75, others=(("V", 0.2),))


def _indices(choices: list[Choice], names: Names) -> None:
    """Read a small letter of an index as the joint that it may be, where no name has it."""
    known = set(names.joints) | {name for name in names.letters | names.extra if len(name) == 1}
    for i, one in enumerate(choices):
        if one.script != 1 or not one.char.islower() or one.char in known:
            continue
        if one.char == "γ":
            choices[i] = replace(one, char="y", sure=max(one.sure, 0.9), others=())
            continue
        before = choices[i - 1] if i else one
        after = choices[i + 1] if i + 1 < len(choices) else one
        alone = before.script != 1 and (after is one or after.script != 1 or after.space)
        if one.char in "xyhv" or (alone and one.char in _DIRECTIONS):
            continue
        seen = [char for char, chance in one.others if char in names.joints and chance > 0.02]
        capital = one.char.upper()
        char = capital if capital in names.joints else next(iter(seen), None)
        if char is not None:
            sure = 0.95 if char == capital else 0.7
            choices[i] = replace(one, char=char, sure=sure, others=((one.char, 1 - sure),))


def _numbered(choices: list[Choice], letters: set[str]) -> None:
    """Read the l of Flx, a part of the force F1, as the figure; no word has it so."""
    for i in range(1, len(choices) - 1):
        before, one, after = choices[i - 1 : i + 2]
        ends = i + 2 == len(choices) or choices[i + 2].space or not choices[i + 2].char.isalpha()
        begins = before.space or i == 1 or not choices[i - 2].char.isalpha()
        joined = not one.space and not after.space and "l" not in letters
        named = one.char in "lI" and before.char.isupper() and after.char in ("x", "y")
        if named and joined and begins and ends:
            choices[i] = replace(one, char="1", sure=0.9, others=((one.char, 0.1),))


def _both(one: Box4, other: Box4) -> Box4:
    x, y = min(one[0], other[0]), min(one[1], other[1])
    right = max(one[0] + one[2], other[0] + other[2])
    low = max(one[1] + one[3], other[1] + other[3])
    return (x, y, right - x, low - y)


def _commas(choices: list[Choice]) -> None:
    """Read what hangs between two figures, or before a blank, like a J or a stroke as a comma."""
    tall = [c.box for c in choices if c.script == 0 and (c.char.isdigit() or c.char in "ABDEHK")]
    top, height = (median(box[side] for box in tall) if tall else 0.0 for side in (1, 3))
    for i in range(1, len(choices) - 1):
        before, one, after = choices[i - 1 : i + 2]
        hangs = one.box[1] + one.box[3] / 2 > top + 0.8 * height
        small = one.box[3] < 0.6 * height
        inside = before.char.isdigit() and after.char.isdigit()
        if one.char == "J" and hangs and small and after.space and not (one.space or inside):
            choices[i] = replace(one, char=",", script=before.script, others=())
            continue
        if one.char not in _LIKE_COMMAS or not (before.char.isdigit() and after.char.isdigit()):
            continue
        low = one.box[1] + one.box[3] / 2 > before.box[1] + 0.6 * before.box[3]
        if low and one.box[3] < 0.75 * before.box[3] and before.script == after.script != 2:
            choices[i] = replace(one, char=",", script=before.script, space=False, others=())
            choices[i + 1] = replace(after, space=False)


def _feet(choices: list[Choice]) -> None:
    """Read a bar at the foot of two letters that it joins as their underscore."""
    for i in range(1, len(choices) - 1):
        before, one, after = choices[i - 1 : i + 2]
        joins = before.char.isalpha() and after.char.isalnum() and not one.space
        if one.char not in "-−" or not joins or after.space or before.script or after.script:
            continue
        if one.box[1] + one.box[3] / 2 > before.box[1] + 0.85 * before.box[3]:
            choices[i] = replace(one, char="_", script=0, others=())


def _without_base(choices: list[Choice]) -> None:
    """Set on the line what is told as raised or dropped where nothing stands before it."""
    level = True
    for i, one in enumerate(choices):
        before = choices[i - 1].char if i else ""
        base = bool(before) and (before.isalnum() or before in _BASES or before in "Σ°")
        if one.script == 0:
            level = True
        elif one.space or (level and not base) or (level and _is_hanging(choices[i - 1], one)):
            choices[i] = replace(one, script=0)
            level = True
        else:
            level = False


def _is_hanging(before: Choice, one: Choice) -> bool:
    """Whether a figure beside a figure stands high or low by the fashion of its print alone."""
    if not before.char.isdigit():
        return False
    foot = before.box[1] + before.box[3] - one.box[1] - one.box[3]
    return one.script == 1 or (one.char.isdigit() and foot < 0.28 * before.box[3])


def _begun_indices(choices: list[Choice]) -> None:
    """Drop a letter that is as small as the dropped one after it, not as tall as its base."""
    for i in range(1, len(choices) - 1):
        before, one, after = choices[i - 1 : i + 2]
        names = before.char.isupper() and one.char.isupper() and after.char.isupper()
        if not names or one.space or after.space or before.script or one.script:
            continue
        tall, own, small = before.box[3], one.box[3], after.box[3]
        foot = one.box[1] + own - before.box[1] - tall
        if after.script == 1 and own < 0.87 * tall and own < 1.3 * small and foot > 0.03 * tall:
            choices[i] = replace(one, script=1)


def _lone_cases(choices: list[Choice], letters: set[str]) -> None:
    """Read a small letter that stands alone as the capital that the sheet has instead."""
    for i, one in enumerate(choices):
        other = one.char.upper()
        if one.char not in _ROUND or other not in letters or one.char in letters:
            continue
        joined = i > 0 and not one.space and choices[i - 1].script == one.script
        joined = joined and choices[i - 1].char.isalpha()
        after = choices[i + 1] if i + 1 < len(choices) else None
        goes_on = (
            after is not None
            and not after.space
            and after.script == one.script
            and after.char.isalpha()
        )
        if joined or goes_on or (one.script and one.char in _DIRECTIONS):
            continue
        seen = any(char == other and chance > 0.02 for char, chance in one.others)
        if one.script == 1 or seen:
            choices[i] = replace(one, char=other, sure=max(one.sure, 0.95), others=())


def _ended_words(choices: list[Choice]) -> None:
    """Part a figure from the point of a word before it: `tzn. 1,298`."""
    for i in range(3, len(choices)):
        last, point, one = choices[i - 2], choices[i - 1], choices[i]
        word = last.char.isalpha() and last.char.islower() and choices[i - 3].char.isalpha()
        level = not (last.script or point.script or one.script or choices[i - 2].space)
        if word and level and point.char == "." and not point.space and one.char.isdigit():
            choices[i] = replace(one, space=True)


def _small_words(choices: list[Choice], names: Names) -> None:
    """Read a nought among small letters as an o, where no name is spelt so."""
    start = 0
    ends = [i for i, (a, b) in enumerate(pairwise(choices), 1) if b.space or a.script != b.script]
    for end in [*ends, len(choices)]:
        word = choices[start:end]
        text = "".join(one.char for one in word)
        small = sum(char.isalpha() for char in text)
        known = text in names.extra or text in names.letters
        plain = text.replace("0", "").isalpha() and text.isascii() and not known
        if plain and "0" in text and small >= 1 and text[1:].islower() and not word[0].script:
            for i in range(start, end):
                if choices[i].char == "0" and (small >= 3 or text in _SHORT_WORDS):
                    choices[i] = replace(choices[i], char="o", others=())
        start = end
