"""Spaces, kinds of minus and loose ends do not change what a line means."""

import re
from collections.abc import Callable

import pytest
from test_golden_notation import FOLDER, GOLDEN, Golden, sheet

from verifier.notation import read_working
from verifier.notation.tree import Names


def tight(text: str) -> str:
    return re.sub(r"(?<=[\w)°]) ?([=+−×·]) ?(?=[\w(])", r"\1", text)


def wide(text: str) -> str:
    return re.sub(r"(?<=[\w)°])(?<!\d[eE])([=+×·])(?=[\w(])", r" \1 ", text)


def framed(text: str) -> str:
    return f"  {text}   "


def ended(text: str) -> str:
    return text + " ;"


def hyphens(text: str) -> str:
    return text.replace("−", "-")


def en_dashes(text: str) -> str:
    return text.replace("−", "–")


def hard_spaces(text: str) -> str:
    return text.replace(" ", "\u00a0")


def full_width(text: str) -> str:
    return text.translate(str.maketrans("()=+", "（）＝＋"))


ITALIC = {
    **{ord("A") + i: 0x1D434 + i for i in range(26)},
    **{ord("a") + i: 0x1D44E + i for i in range(26)},
    ord("h"): ord("ℎ"),
    **{ord("0") + i: 0x1D7F6 + i for i in range(10)},
}
NAMED = {
    "Σ": "Sigma", "−": "minus", "θ": "theta", "α": "alpha", "°": "deg", "×": "times",
    "·": "middot", "→": "rarr", "↑": "uarr", "²": "sup2",
}  # fmt: skip
ENTITIES = {ord(char): f"&{name};" for char, name in NAMED.items()}


def italic(text: str) -> str:
    return text if set("<&~`") & set(text) else text.translate(ITALIC)


def entities(text: str) -> str:
    return text.translate(ENTITIES)


def lowered(text: str) -> str:
    if "{" in text:
        return text
    return re.sub(r"(?<=[A-Z])_([a-z0-9]{1,2})(?![\w,])", r"<sub>\1</sub>", text)


HABITS = (tight, wide, framed, ended, hyphens, en_dashes, hard_spaces, full_width)
SETTINGS = (italic, entities, lowered)
FAIR = [g for g in GOLDEN if "unread" not in g.meaning and "\\" not in g.written]
SHEETS: dict[str, Names] = {}


def names_of(golden: Golden) -> Names:
    if golden.file not in SHEETS:
        rows = (FOLDER / golden.file).read_text(encoding="utf-8").splitlines()
        first = next(row for row in rows if row.startswith("sheet:"))
        SHEETS[golden.file] = sheet(first.removeprefix("sheet:"))
    return SHEETS[golden.file]


@pytest.mark.parametrize("habit", [*HABITS, *SETTINGS])
def test_a_habit_of_typing_changes_no_meaning(habit: Callable[[str], str]) -> None:
    for golden in FAIR:
        names = names_of(golden)
        plain = read_working(golden.written + "\nk = 1.5", names)[0]
        typed = read_working(habit(golden.written) + "\nk = 1.5", names)[0]
        assert typed.reads_as == plain.reads_as, habit(golden.written)
