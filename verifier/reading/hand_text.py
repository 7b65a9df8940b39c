"""Tokens of both streams, with their columns → plain notation with a place for each character."""

import re
from dataclasses import dataclass
from itertools import takewhile

from verifier.reading.hand_beam import Path
from verifier.reading.hand_tokens import (
    CIRCLED_C,
    CIRCLED_T,
    ROOT_END,
    STRUCK,
    SUB,
    TOP,
    Token,
    tokens,
)

Placed = tuple[Token, int, bool]
"""A token, its column, and whether it stands under a fraction bar."""


@dataclass(frozen=True)
class Written:
    """Plain notation; `columns[i]` is the token column of character i, or None for dressing.

    `part[i]` is 0 on the line, 1 on a fraction's top, 2 under its bar.
    """

    text: str
    columns: tuple[int | None, ...]
    part: tuple[int, ...]


_OF_NUMBERS = frozenset("0123456789.,")
_GOES_ON = _OF_NUMBERS | {"", "+", "-", " "}
_RELATIONS = frozenset("=≈<>≤≥⇒→∴;:")
_SPELT = {CIRCLED_T: "(T)", CIRCLED_C: "(C)", STRUCK: "~~…~~", ROOT_END: ")", "√": "√(", "*": "*"}


def placed(upper: Path, lower: Path) -> list[Placed]:
    """Return the tokens of both streams in reading order, each top followed by what is under it."""
    up = [(t, c) for n, c in zip(upper.tokens, upper.columns, strict=True) if (t := tokens(0)[n])]
    low = [(t, c) for n, c in zip(lower.tokens, lower.columns, strict=True) if (t := tokens(1)[n])]
    out: list[Placed] = []
    at = 0
    while at < len(up) or low:
        if at == len(up):
            out.extend((t, c, True) for t, c in low)
            break
        token, column = up[at]
        if token.level < TOP:
            early = [p for p in low if p[1] < column and not _top_follows(up, at, p[1])]
            out.extend((t, c, True) for t, c in early)
            low = low[len(early) :]
            out.append((token, column, False))
            at += 1
            continue
        end = at
        while end < len(up) and up[end][0].level >= TOP:
            end += 1
        edge = up[end][1] if end < len(up) else 1 << 30
        out.extend((t, c, False) for t, c in up[at:end])
        under = [p for p in low if p[1] < edge]
        low = low[len(under) :]
        out.extend((t, c, True) for t, c in under)
        at = end
    return out


def _top_follows(up: list[tuple[Token, int]], at: int, column: int) -> bool:
    """Return whether a lower sign left of up[at] belongs to a fraction that starts right there."""
    return (
        at + 1 < len(up)
        and up[at + 1][0].level >= TOP
        and abs(up[at + 1][1] - column) < abs(up[at][1] - column)
    )


def written(order: list[Placed]) -> Written:
    """Return the plain notation of tokens in reading order."""
    text: list[str] = []
    columns: list[int | None] = []
    part: list[int] = []

    def put(signs: str, column: int | None, where: int) -> None:
        for sign in signs:
            text.append(sign)
            columns.append(column)
            part.append(where)

    state, script, roots, around = 0, 0, 0, 0  # roots open in this part, and around a fraction
    for token, column, under in _with_root_ends(order):
        now = 2 if under else 1 if token.level >= TOP else 0
        level = token.level % TOP
        if level != script or now != state:
            if script:
                put("}", None, state)
            if now != state:
                if state:
                    put(")" * roots, None, state)
                    roots = 0
                else:
                    roots, around = 0, roots
                put({(0, 1): "(", (1, 2): ")/(", (1, 0): ")", (2, 0): ")", (0, 2): "(",
                     (2, 1): ")("}[state, now], None, now)  # fmt: skip
                if not now:
                    roots, around = around, 0
            script = 0
            if level:
                put("_{" if level == SUB else "^{", None, now)
                script = level
            state = now
        if token.sign == "√":
            roots += 1
        elif token.sign == ROOT_END:
            if not roots:
                continue
            roots -= 1
        put(_SPELT.get(token.sign, token.sign), column, now)
    put("}" if script else "", None, state)
    put(")" * roots, None, state)
    put(")" if state else "", None, state)
    put(")" * around, None, 0)
    return _tidied("".join(text), columns, part)


def _with_root_ends(order: list[Placed]) -> list[Placed]:
    """Return tokens with an end for each root whose bar was not seen to end, where it must end.

    It holds no bracket that closes what was opened before it and no relation; a number behind it
    it holds alone, unless that is added to.
    """
    out = list(order)
    for at in reversed([i for i, one in enumerate(order) if one[0].sign == "√"]):
        end = _root_end(out, at)
        if end is not None:
            out.insert(end, (Token(ROOT_END, out[at][0].level), out[end - 1][1], out[at][2]))
    return out


def _root_end(order: list[Placed], at: int) -> int | None:
    """Return before which token the root at a place must end; None where it does, or may go on."""
    root, _, under = order[at]
    inner = list(
        takewhile(
            lambda one: one[2] == under and (one[0].level >= TOP) == (root.level >= TOP),
            order[at + 1 :],
        )
    )
    signs = [one[0].sign if one[0].level == root.level else "" for one in inner]
    if signs.count(ROOT_END) > signs.count("√"):
        return None
    depth = 0
    for i, sign in enumerate(signs):
        depth += (sign == "(") - (sign == ")")
        number = i > 0 and all(one in _OF_NUMBERS for one in signs[:i])
        if i and (depth < 0 or sign in _RELATIONS or (number and sign not in _GOES_ON)):
            return at + 1 + i
        if signs[0] == "(" and depth == 0:
            return at + 2 + i
    return None


def _tidied(text: str, columns: list[int | None], part: list[int]) -> Written:
    """Set single raised digits without braces and give relations room."""
    out: list[str] = []
    cols: list[int | None] = []
    parts: list[int] = []
    at = 0
    depth = 0
    while at < len(text):
        if text[at : at + 2] == "^{" and text[at + 3 : at + 4] == "}":
            for k in (at, at + 2):
                out.append(text[k])
                cols.append(columns[k])
                parts.append(part[k])
            at += 4
            continue
        sign = text[at]
        depth += (sign == "{") - (sign == "}")
        room = sign in "=≈⇒" and depth == 0
        if room and out and out[-1] != " ":
            out.append(" ")
            cols.append(None)
            parts.append(0)
        if not (sign == " " and out and out[-1] == " "):
            out.append(sign)
            cols.append(columns[at])
            parts.append(part[at])
        if room and at + 1 < len(text):
            out.append(" ")
            cols.append(None)
            parts.append(0)
        at += 1
    while out and out[-1] == " ":
        out.pop()
        cols.pop()
        parts.pop()
    for gap in reversed(list(_GAPS_IN_NUMBER.finditer("".join(out)))):
        for span in (gap.span("after"), gap.span("before")):
            for row in (out, cols, parts):
                del row[slice(*span)]
    return Written(_times("".join(out)), tuple(cols), tuple(parts))


_GAPS_IN_NUMBER = re.compile(r"(?<=\d)(?P<before> )[.,](?P<after> ?)(?=\d)")
_TIMES = re.compile(r"(?<=[0-9)½])( ?)x( ?)(?=[0-9(.])|(?<=\})( ?)x( ?)(?=[0-9])")


def _times(text: str) -> str:
    """Write × for an x between numbers or brackets: on paper they are the same cross."""
    return _TIMES.sub(lambda cross: cross.group().replace("x", "×"), text)
