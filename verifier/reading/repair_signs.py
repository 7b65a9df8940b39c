"""Single signs of a printed line that only one reading of can be written, or that stay in doubt.

Bars and arrows, points, underscores, indices: spelling alone, never what the line should come to.
"""

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from verifier.notation.tree import Names
from verifier.reading.choice import Choice

_AS_POINT = 0.03
_BARS = frozenset("-−~")
_FUNCTIONS = ("sin", "cos", "tan")


def settled(choices: Sequence[Choice], names: Names) -> list[Choice]:
    """Return the choices with such signs settled, or their doubt told."""
    found = list(choices)
    _clinging_points(found, names)
    for settle in (
        _pounds,
        _slashes,
        _specks,
        _underscores,
        _crosses,
        _angles,
        _last_of_index,
        _last_bars,
        _tables,
        _strikes,
        _senses,
        _numerals,
        _high_points,
    ):
        settle(found)
    if "l" not in letters_of(names):
        _ones_of_names(found)
    return [_one_minus(one) for one in found]


def _clinging_points(choices: list[Choice], names: Names) -> None:
    """Doubt an L before a figure: a one and the point beside it cling together so."""
    known = letters_of(names)
    for i, one in enumerate(choices[:-1]):
        after = choices[i + 1]
        if one.char != "L" or one.script or after.space or not after.char.isdigit():
            continue
        if i and not one.space and choices[i - 1].char.isalpha():
            continue
        ways = ("1.", "L") if known and "L" not in known else ("L", "1.")
        choices[i] = replace(one, char=ways[0], sure=0.6, others=((ways[1], 0.35),))


def _last_bars(choices: list[Choice]) -> None:
    """Read a minus at a line's end as the arrow whose head was lost."""
    if len(choices) < 3 or choices[-1].char not in "-−" or not choices[-1].space:
        return
    one = choices[-1]
    if choices[-2].char.isalnum() or choices[-2].char == "]":
        left = sum(chance for char, chance in one.others if char == "←")
        right = sum(chance for char, chance in one.others if char in "→⇒")
        ways = ("←", "→") if left > right else ("→", "←")
        choices[-1] = replace(one, char=ways[0], sure=0.6, others=((ways[1], 0.3),))


def _senses(choices: list[Choice]) -> None:
    """Read what stands with the plus before a sum as the arrow of its sense: →+ Σ, +↑ Σ."""
    if len(choices) < 3 or choices[2].char != "Σ":
        return
    first, second = choices[:2]
    if first.char in "-−" and second.char == "+":
        choices[0] = replace(first, char="→", sure=0.95, others=())
    elif first.char == "+" and second.char in "1lI|":
        choices[1] = replace(second, char="↑", sure=0.95, others=())


def _numerals(choices: list[Choice]) -> None:
    """Read (ll) and (Il) as the numerals of equations: nobody writes small l's so."""
    last = choices[-1] if choices else None
    if last is not None and last.char == "D" and not last.space:
        start = next((k for k in range(len(choices) - 2, 0, -1) if choices[k].char == "("), 0)
        run = choices[start + 1 : -1]
        if start and 1 <= len(run) <= 2 and {part.char for part in run} <= set("Il|"):
            x, y, w, h = last.box  # the last stroke and the bracket that it touches
            choices[-1:] = [
                replace(last, char="I", box=(x, y, w // 2, h), others=()),
                replace(last, char=")", box=(x + w // 2, y, w - w // 2, h), others=()),
            ]
    for i, one in enumerate(choices):
        end = next((k for k in range(i + 1, len(choices)) if choices[k].char == ")"), i)
        run = choices[i + 1 : end]
        strokes = {part.char for part in run}
        numbers = one.space and end == len(choices) - 1  # what stands behind an equation
        least = 1 if numbers else 2
        if one.char == "(" and least <= len(run) <= 3 and _are_strokes(strokes):
            for k in range(i + 1, end):
                choices[k] = replace(choices[k], char="I", others=())


def _high_points(choices: list[Choice]) -> None:
    """Doubt a raised dot between two figures: a point on a line that is not quite flat."""
    for i in range(1, len(choices) - 1):
        before, one, after = choices[i - 1 : i + 2]
        between = before.char.isdigit() and after.char.isdigit() and not after.space
        if one.char == "·" and between and not one.space:
            rest = tuple((char, chance) for char, chance in one.others if char != ".")
            point = max(_AS_POINT, *(chance for char, chance in one.others if char == "."), 0.0)
            sure = min(one.sure, 1 - _AS_POINT)
            choices[i] = replace(one, sure=sure, others=((".", point), *rest))


def _are_strokes(chars: set[str]) -> bool:
    return chars <= set("Il|1") and chars != {"1"}


def _tables(choices: list[Choice]) -> None:
    """Read strokes that part the columns of a table as such, not as letters."""
    strokes = [i for i, one in enumerate(choices) if one.char in "|lI"]
    dashes = sum(one.char in "-−=:+" for one in choices)
    rule = dashes >= 3 and dashes + len(strokes) == len(choices)
    if not rule:
        ends = [*(one.space for one in choices[1:]), True]
        strokes = [i for i in strokes if (choices[i].space or i == 0) and ends[i]]
    if len(strokes) >= 2 and strokes[0] == 0 and (rule or len(strokes) >= 3):
        for i in strokes:
            choices[i] = replace(choices[i], char="|", script=0, sure=0.97, others=())
        for i, one in enumerate(choices if rule else ()):
            choices[i] = replace(one, char="-") if one.char == "−" else one


def _strikes(choices: list[Choice]) -> None:
    """Read two bars before and two after a piece of the line as what crosses it out: ~~."""
    pairs = [
        i
        for i, (one, after) in enumerate(pairwise(choices))
        if one.char in _BARS and after.char in _BARS and not after.space and not one.script
    ]
    ends = [*(one.space for one in choices[2:]), True, True]
    for start, end in pairwise(pairs):
        if end > start + 2 and ends[end] and not choices[end].space:
            for i in (start, start + 1, end, end + 1):
                choices[i] = replace(choices[i], char="~", script=0, sure=0.95, others=())


def _crosses(choices: list[Choice]) -> None:
    """Read a cross that has nothing to its right as the letter x of a name."""
    for i, one in enumerate(choices):
        before = choices[i - 1].char if i else " "
        after = choices[i + 1].char if i + 1 < len(choices) else " "
        if one.char == "×" and before.isalpha() and not one.space and after in "=+-−):;, ":
            choices[i] = replace(one, char="x", others=())


def _angles(choices: list[Choice]) -> None:
    """Lean to α for a lone a after a function: the two look alike in some fonts."""
    for i in range(3, len(choices)):
        one = choices[i]
        name = "".join(before.char for before in choices[i - 3 : i])
        ends = i + 1 >= len(choices) or choices[i + 1].space or not choices[i + 1].char.isalnum()
        if one.char == "a" and name in ("sin", "cos", "tan") and one.space and ends:
            rest = tuple((char, chance) for char, chance in one.others if char not in "αa")
            choices[i] = replace(one, char="α", sure=0.9, others=(("a", 0.08), *rest))


def _last_of_index(choices: list[Choice]) -> None:
    """Drop a small v, s, w … that ends an index of capitals: it is its capital, a little high."""
    for i in range(1, len(choices)):
        before, one = choices[i - 1], choices[i]
        ends = i + 1 >= len(choices) or choices[i + 1].space or not choices[i + 1].char.isalnum()
        inside = before.script == 1 and before.char.isupper() and not one.space and not one.script
        if inside and ends and one.char in "cosvwz":
            choices[i] = replace(one, char=one.char.upper(), script=1, others=())


def _underscores(choices: list[Choice]) -> None:
    """Read a sign that hangs below the line inside a name as its underscore."""
    for i in range(1, len(choices) - 1):
        before, one, after = choices[i - 1 : i + 2]
        level = not before.script and not after.script and not one.space and not after.space
        inside = before.char.isalpha() and after.char.isalnum()
        if one.script == 1 and one.char in "-−+↓" and level and inside:
            choices[i] = replace(one, char="_", script=0, others=())


def _pounds(choices: list[Choice]) -> None:
    """Read [b or Ib after a number as lb: nothing else ends in a small b there."""
    for i, (one, after) in enumerate(pairwise(choices)):
        end = i + 2 >= len(choices) or choices[i + 2].space or not choices[i + 2].char.isalnum()
        if one.char not in "[I|1" or one.script or after.char != "b" or after.space or not end:
            continue
        if i and choices[i - 1].char.isdigit() and (one.space or one.char == "["):
            choices[i] = set_to(replace(one, others=()), "l")


def _ones_of_names(choices: list[Choice]) -> None:
    """Read the l of Fl as a figure where no word can begin: F1."""
    for i in range(1, len(choices)):
        before, one = choices[i - 1 : i + 1]
        after = choices[i + 1] if i + 1 < len(choices) else None
        begins = i == 1 or before.space or not choices[i - 2].char.isalnum()
        ends = after is None or after.char in "=+−-·×/),;:≈∴⇒→°"
        if one.char == "l" and before.char.isupper() and begins and ends and not one.space:
            choices[i] = replace(one, char="1", sure=max(one.sure, 0.95), others=())


def _slashes(choices: list[Choice]) -> None:
    """Read a root between a name or a number and a function as the stroke of a fraction."""
    for i in range(1, len(choices) - 3):
        before, one = choices[i - 1 : i + 1]
        function = "".join(after.char for after in choices[i + 1 : i + 4]) in _FUNCTIONS
        if one.char == "√" and function and before.char.isalnum() and not one.space:
            choices[i] = replace(one, char="/", script=0, sure=0.95, others=())


def _specks(choices: list[Choice]) -> None:
    """Leave out a stroke after a unit of force: kN', where nothing is called N."""
    for i in range(len(choices) - 1, 1, -1):
        unit = choices[i - 2].char + choices[i - 1].char
        if choices[i].char == "'" and unit == "kN" and not choices[i].space:
            del choices[i]


def _one_minus(choice: Choice) -> Choice:
    """Count a hyphen and a minus as the same reading: nothing hangs on which it is."""
    if choice.char not in "-−":
        return choice
    same = sum(chance for char, chance in choice.others if char in "-−")
    others = tuple((char, chance) for char, chance in choice.others if char not in "-−")
    return replace(choice, sure=min(1.0, choice.sure + same), others=others)


def set_to(choice: Choice, char: str) -> Choice:
    """Read a glyph as `char`, which the spelling demands."""
    if choice.char == char:
        others = tuple((c, p) for c, p in choice.others if p > 0.3)
        return replace(choice, sure=max(choice.sure, 0.99), others=others)
    return replace(choice, char=char, sure=0.97, others=((choice.char, 0.01),))


def letters_of(names: Names) -> set[str]:
    """Return the letters of all names that the sheet offers."""
    every = names.joints | names.letters | names.bodies | names.extra
    return {char for name in every for char in name}
