"""The composer's markup as a tree, and the tokens that a line of it should be read as."""

from dataclasses import dataclass

from verifier.reading.hand_tokens import CIRCLED_C, CIRCLED_T, ROOT_END, STRUCK, TOP, numbers


@dataclass
class Sign:
    """One sign, or the gap between words."""

    text: str


@dataclass
class Script:
    """Lowered (`up` false) or raised signs."""

    row: list["Node"]
    up: bool


@dataclass
class Stack:
    """A stacked fraction."""

    top: list["Node"]
    low: list["Node"]


@dataclass
class Root:
    """A root with its bar over `row`."""

    row: list["Node"]


@dataclass
class Struck:
    """A part crossed out."""

    row: list["Node"]


@dataclass
class Circled:
    """A circled letter."""

    text: str


Node = Sign | Script | Stack | Root | Struck | Circled


def parse(text: str) -> list[Node]:
    """Return the tree of a line of markup."""
    row, end = _row(text, 0)
    assert end == len(text), text
    return row


def _row(text: str, at: int) -> tuple[list[Node], int]:
    row: list[Node] = []
    while at < len(text) and text[at] != "}":
        two = text[at : at + 2]
        if two in ("_{", "^{"):
            inner, at = _group(text, at + 1)
            row.append(Script(inner, two[0] == "^"))
        elif two == "\\f":
            top, at = _group(text, at + 2)
            low, at = _group(text, at)
            row.append(Stack(top, low))
        elif two == "\\r":
            inner, at = _group(text, at + 2)
            row.append(Root(inner))
        elif two == "\\s":
            inner, at = _group(text, at + 2)
            row.append(Struck(inner))
        elif two == "\\c":
            row.append(Circled(text[at + 3]))
            at += 5
        else:
            row.append(Sign(text[at]))
            at += 1
    return row, at


def _group(text: str, at: int) -> tuple[list[Node], int]:
    row, end = _row(text, at + 1)
    return row, end + 1


def labels(row: list[Node]) -> tuple[list[int], list[int]]:
    """Return the token numbers of the upper and the lower stream of a line."""
    upper: list[tuple[str, int]] = []
    lower: list[tuple[str, int]] = []
    _spell(row, 0, upper, lower)
    up, low = numbers(0), numbers(1)
    return [up[t] for t in upper], [low[t] for t in lower]


def _spell(
    row: list[Node], level: int, out: list[tuple[str, int]], lower: list[tuple[str, int]]
) -> None:
    for node in row:
        match node:
            case Sign(text=text):
                out.append((text, level))
            case Script(row=inner, up=up):
                _spell(inner, level + (2 if up else 1), out, lower)
            case Stack(top=top, low=low):
                _spell(top, TOP, out, lower)
                _spell(low, 0, lower, lower)
            case Root(row=inner):
                out.append(("√", level))
                _spell(inner, level, out, lower)
                out.append((ROOT_END, level))
            case Struck():
                out.append((STRUCK, level))
            case Circled(text=text):
                out.append((CIRCLED_T if text == "T" else CIRCLED_C, level))
