"""A line of LaTeX as the grammar's tree, and what is asked of its pieces."""

import re
from dataclasses import dataclass, field
from typing import Any

from lark import Token, Tree
from lark.exceptions import LarkError

from verifier import grammars

_DEEPEST = 40
_LONGEST = 3_000


@dataclass(frozen=True)
class Macros:
    """What the document defines: macros (arguments, body) and numbers of labels."""

    bodies: dict[str, tuple[int, str]] = field(default_factory=dict)
    labels: dict[str, str] = field(default_factory=dict)


NO_MACROS = Macros()


def parsed(line: str) -> Any:
    """Return the tree of a line, braces without partners closed; None for what none writes."""
    depth = deepest = 0
    for mark in re.findall(r"\\.|[{}]", line):
        depth = max(0, depth + (mark == "{") - (mark == "}"))
        deepest = max(deepest, depth)
    if deepest > _DEEPEST or len(line) > _LONGEST:
        return None
    try:
        return grammars.parser("latex", lexer="contextual", propagate_positions=False).parse(
            line + "}" * depth
        )
    except LarkError:
        return None


def inner(group: Any) -> list[Any]:
    r"""Return what a group holds, `a \over b` as the fraction that it is."""
    return _over(list(group.children[1:-1]))


def _over(items: list[Any]) -> list[Any]:
    r"""Return the items of a group with `a \over b` as the fraction that it is."""
    places = [i for i, one in enumerate(items) if one == "\\over"]
    if len(places) != 1:  # LaTeX itself takes no more than one
        return items
    place = places[0]
    command = items[place]
    start, end = place_of(command)
    before, after = items[:place], items[place + 1 :]
    above = _grouped(before, extent(before, command)[0], start - 1)
    below = _grouped(after, end, extent(after, command)[1])
    return [Token("COMMAND", "\\frac", start_pos=start), above, below]


def _grouped(items: list[Any], start: int, end: int) -> Any:
    opening, closing = Token("OPEN", "{", start_pos=start), Token("CLOSE", "}", start_pos=end)
    return Tree("group", [opening, *items, closing])


def flat(items: list[Any]) -> list[str]:
    """Return the pieces of items as they are written, groups opened."""
    out: list[str] = []
    for item in items:
        out += flat(item.children) if isinstance(item, Tree) else [str(item)]
    return out


def place_of(token: Any) -> tuple[int, int]:
    """Return the columns (start, end) of a token or a group."""
    if isinstance(token, Tree):
        return place_of(token.children[0])[0], place_of(token.children[-1])[1]
    start = token.start_pos or 0
    return start, start + len(token)


def extent(items: list[Any], fallback: Any) -> tuple[int, int]:
    """Return the columns from the first item to the last, those of `fallback` for none."""
    if items:
        return place_of(items[0])[0], place_of(items[-1])[1]
    return place_of(fallback) if fallback is not None else (0, 0)


def remainder(token: Token, skip: int) -> Token:
    """Return a text without its first `skip` characters, at its own place."""
    return Token("TEXT", str(token)[skip:], start_pos=(token.start_pos or 0) + skip)


def behind(items: list[Any], after: int, arg: list[Any], fallback: int) -> int:
    """Return the column behind an argument, its closing brace included."""
    previous = items[after - 1] if 0 < after <= len(items) else None
    if isinstance(previous, Tree):
        return place_of(previous.children[-1])[1]
    return extent(arg, None)[1] if arg else fallback
