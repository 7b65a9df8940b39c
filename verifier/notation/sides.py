"""The sides of a chain: where they are cut, what stands between two, where words begin."""

import re

from verifier.notation import marks
from verifier.notation.names import Lexicon, is_known
from verifier.notation.tokens import Tok

NOTHING = ("zero", "nil", "null", "zéro", "cero", "Null", "nought")
_EITHER = re.compile(r"[1-9]\d{0,2},\d{3}")


def either(token: Tok) -> bool:
    """Tell whether a number may be thousands or carry a decimal comma: `1,500`."""
    return token.kind == "NUM" and bool(_EITHER.fullmatch(token.text))


def phrase(side: list[Tok], text: str, lex: Lexicon, nought: bool = True) -> list[Tok]:
    """Turn words that stand for a quantity into one name; 'zero' is a number, and a lone O."""
    lone = nought and len(side) == 1 and side[0].text in ("O", "o")
    if lone and not is_known(side[0].text, lex):
        return [Tok("NUM", "0", side[0].start, side[0].end)]  # typed or read by machine for 0
    if len(side) == 1 and side[0].text in NOTHING:
        return [Tok("NUM", "0", side[0].start, side[0].end)]
    if not any(t.kind == "WORD" for t in side) or any(
        t.kind not in ("WORD", "NAME", "SOFT") for t in side
    ):
        return [t for t in side if t.kind != "SOFT" or t.text not in ("…", "...")]
    return [Tok("NAME", text[side[0].start : side[-1].end], side[0].start, side[-1].end)]


def depths(tokens: list[Tok]) -> list[int]:
    """Return how deep each token stands in brackets that have their partners."""
    opened: list[int] = []
    pairs: dict[int, int] = {}
    for index, token in enumerate(tokens):
        if token.kind == "LPAR":
            opened.append(index)
        elif token.kind == "RPAR" and opened:
            pairs[opened.pop()] = index
    closing = set(pairs.values())
    depth, out = 0, []
    for index in range(len(tokens)):
        depth -= index in closing
        out.append(depth)
        depth += index in pairs
    return out


def split(tokens: list[Tok]) -> list[list[Tok]]:
    """Cut tokens at the equals signs outside brackets."""
    sides: list[list[Tok]] = [[]]
    for token, depth in zip(tokens, depths(tokens), strict=True):
        if token.kind == "EQ" and not depth:
            sides.append([])
        else:
            sides[-1].append(token)
    return sides


def side_by_side(sides: list[list[Tok]], text: str) -> tuple[int, int] | None:
    """Find `A = 3 kN  B = 4 kN`: a value with its unit, then the name of the next equation."""
    for index in range(1, len(sides) - 1):
        side = sides[index]
        if len(side) < 2 or side[-1].kind != "NAME" or len(sides[index - 1]) == 0:
            continue
        if [token.kind for token in side] == ["NUM", "UNIT", "DIV", "NAME"] and (
            text[side[2].start - 1] == text[side[2].end] == " "
        ):
            return index, 3
        before, name = side[-2], side[-1]
        earlier = (token.text for one in sides[:index] for token in one if token.kind == "NAME")
        again = name.text in earlier or name.text == before.text
        fast = text[name.end : name.end + 1] == "=" and " = " not in text
        answer = [token.kind for token in side] == ["NUM", "NAME"]
        if (again or answer) and fast and name.start - before.end == 1:
            return index, len(side) - 1  # `.6F=-10 F=-16.7`, `CF=0 CD=10`
        gap = name.start - before.end
        if (gap and before.kind == "UNIT" and before.text != "°") or (
            gap > 1 and before.kind in ("NUM", "UNIT", "RPAR", "MARK")
        ):
            return index, len(side) - 1
        start = side[0].start
        if gap and marks.tail(text, start, before.end) < before.end and before.kind != "NUM":
            return index, len(side) - 1
    return None


def words_between(sides: list[list[Tok]]) -> tuple[int, int, int] | None:
    """Find `= 12 kN acting at L/2 = 2 m`: words that end one equation before the next begins."""
    for index in range(1, len(sides) - 1):
        side = sides[index]
        at = [i for i, t in enumerate(side) if t.kind == "WORD" and t.text not in NOTHING]
        if at and at[0] and at[-1] + 1 < len(side) and not any(depths(side)[at[0] : at[-1] + 1]):
            return index, at[0], at[-1]
    return None


def _abbreviated(inside: list[Tok]) -> bool:
    """Tell whether a bracket holds nothing but shortened words: `(tr.)`."""
    kinds = {token.kind for token in inside}
    if kinds == {"SIGN"} or (inside and inside[0].kind in ("TIMES", "DIV")):
        return True  # `3,4 kN (+)`, `= 0 (×1/5)`
    return "SOFT" in kinds and "NAME" in kinds and kinds <= {"NAME", "SOFT", "WORD"}


def before_words(side: list[Tok]) -> tuple[list[Tok], int | None]:
    """Cut the last side where words begin: at a word, or at a bracket that holds words or `=`."""
    opened = 0
    for index, (token, depth) in enumerate(zip(side, depths(side), strict=True)):
        if token.kind == "LPAR" and not depth:
            opened = index
        elif (
            opened and token.kind == "RPAR" and not depth and _abbreviated(side[opened + 1 : index])
        ):
            return side[:opened], side[opened].start
        elif (token.kind == "WORD" and token.text not in NOTHING) or (token.kind == "EQ" and depth):
            cut = opened if depth else index
            return (side, None) if cut == 0 else (side[:cut], side[cut].start)
    return side, None
