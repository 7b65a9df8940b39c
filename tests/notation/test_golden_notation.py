"""Golden lines: each written line beside its meaning, which a marker can check by eye.

A file is read as one working. `#` starts a comment, `sheet:` gives the names that the working may
use, `> ` starts a written line and the line below it, indented, is its meaning (see meaning.py).
"""

import re
from dataclasses import dataclass
from pathlib import Path

import pytest
from meaning import strict, tree_value, values

from verifier.notation import read_working
from verifier.notation.names import canonical
from verifier.notation.tree import (
    Assumption,
    Heading,
    Line,
    Mark,
    Names,
    Part,
    Prose,
    Reference,
    Relation,
    Statement,
    Struck,
    SumLabel,
    Unread,
)

FOLDER = Path(__file__).parent.parent / "golden" / "notation"


@dataclass(frozen=True)
class Golden:
    """One written line of a file with its meaning."""

    file: str
    habit: str
    written: str
    meaning: str
    line: Line


def sheet(text: str) -> Names:
    fields = dict(item.strip().split(" ", 1) for item in text.split(";") if item.strip())
    members = [tuple(m.split("-")) for m in fields.get("members", "").split()]
    return Names(
        frozenset(fields.get("joints", "").split()),
        frozenset(fields.get("bodies", "").split()),
        frozenset((one, two) for one, two in members),
        frozenset(fields.get("letters", "").split()),
    )


def load(path: Path) -> list[Golden]:
    names, written, meanings, habit = Names(), [], [], ""
    habits = []
    for row in path.read_text(encoding="utf-8").splitlines():
        if row.startswith("sheet:"):
            names = sheet(row.removeprefix("sheet:"))
        elif row.startswith("#"):
            habit = row.strip("# ")
        elif row.startswith("> "):
            written.append(row.removeprefix("> "))
            habits.append(habit)
        elif row.strip():
            meanings.append(row.strip())
    assert len(written) == len(meanings), path
    lines = read_working("\n".join(written), names)
    assert len(lines) == len(written), path
    return [Golden(path.name, *each) for each in zip(habits, written, meanings, lines, strict=True)]


GOLDEN = [golden for path in sorted(FOLDER.glob("*.txt")) for golden in load(path)]


def said(part: Part) -> str:
    """The words of a part that is no equation, as golden files write them."""
    match part:
        case SumLabel():
            about = f" about {part.about}" if part.about else ""
            axis = f"along {part.direction}".strip() if part.axis == "along" else part.axis
            core = f"moments{about}" if part.axis == "moment" else f"sum {axis}"
            return core + (f", {part.positive} positive" if part.positive else "")
        case Heading():
            text = f"{part.kind} {', '.join(part.names)}".strip()
            return text + (f"; {part.side}" if part.side else "")
        case Assumption():
            return f"assume {', '.join(bare(n.text) for n in part.names)} {part.mark.meaning}"
        case Statement():
            names = ", ".join(bare(n.text) for n in part.names)
            return f"say {names} {', '.join(m.meaning for m in part.marks)}"
        case Mark():
            return f"mark {part.meaning}"
        case Reference():
            return f"refers {', '.join(part.tags)}"
        case Struck():
            return f"struck: {' | '.join(told(p) for p in part.inner)}"
        case Unread():
            return f"unread: {part.slip}"
        case Prose():
            return "words"
        case Relation():
            return "an equation"


def bare(text: str) -> str:
    return canonical(text)


def told(part: Part) -> str:
    return said(part)


def same(part: Part, meaning: str) -> str:
    """Say how a part differs from its meaning; '' where it does not."""
    if not isinstance(part, Relation):
        tidy = re.sub(r"  +", " ", said(part)).replace("assume  ", "assume ")
        return "" if tidy == meaning else f"{tidy!r} is not {meaning!r}"
    marks = re.findall(r"\[([^\]]*)\]", meaning)
    tag = re.search(r"#(\S+)$", meaning)
    plain = re.sub(r"\[[^\]]*\]|#\S+$|\{[^}]*\}", "", meaning).strip()
    if plain.startswith("=") != part.continues:
        return "continues or not"
    sides = plain.removeprefix("=").split("=")
    if len(sides) != len(part.sides):
        return f"{len(part.sides)} sides, not {len(sides)}"
    for wanted, side in zip(sides, part.sides, strict=True):
        for seed in (1, 2):
            one, two = strict(wanted, values(seed)), tree_value(side, values(seed))
            if abs(one - two) > 1e-9 * max(1.0, abs(one)):
                return f"{wanted.strip()} is {one}, read as {two}"
    written = [m.meaning for side in part.marks for m in side]
    if marks != written:
        return f"marks {written}, not {marks}"
    return "" if (tag.group(1) if tag else "") == part.tag else f"tag {part.tag}"


def differences(golden: Golden) -> list[str]:
    wanted = [piece.strip() for piece in golden.meaning.split(" | ")]
    parts = [p for p in golden.line.parts if not isinstance(p, Prose)] or list(
        golden.line.parts[:1]
    )
    wanted = [w for w in wanted if w != "words"] or wanted
    if len(parts) != len(wanted):
        return [f"{len(parts)} parts ({'; '.join(map(said, parts))}), not {len(wanted)}"]
    return [d for part, piece in zip(parts, wanted, strict=True) if (d := same(part, piece))]


@pytest.mark.parametrize("golden", GOLDEN, ids=lambda g: f"{g.file}: {g.written}")
def test_line_means_what_is_written_beside_it(golden: Golden) -> None:
    assert differences(golden) == [], golden.line.reads_as


def test_enough_lines_of_enough_habits() -> None:
    assert len(GOLDEN) >= 400
    assert len({(golden.file, golden.habit) for golden in GOLDEN}) >= 25
