"""A line and its LaTeX twin read alike, and places in the twin are those of its source."""

import re

import pytest
from test_exact_places import rebuilt
from test_golden_notation import FOLDER, GOLDEN, Golden, sheet

from verifier.notation import read_working
from verifier.notation.tree import Names, Relation, Struck, walk

SIGNS = {
    "Σ": r"\sum ", "∑": r"\sum ", "−": "-", "×": r" \times ", "·": r" \cdot ", "°": r"^\circ",
    "θ": r"\theta ", "α": r"\alpha ", "∴": r"\therefore ", "⇒": r"\Rightarrow ",
    "→": r"\rightarrow ", "←": r"\leftarrow ", "↑": r"\uparrow ", "↓": r"\downarrow ",
    "↺": r"\circlearrowleft ", "↻": r"\circlearrowright ", "✓": r"\checkmark ",
    "²": "^2", "kN": r"\,\mathrm{kN}",
}  # fmt: skip
PLAIN = re.compile(r"^[A-Za-z0-9_ΣΔθα∑−×·°∴⇒→←↑↓↺↻✓²+\-=:;,.()\[\]/ ]*$")


def twin(text: str) -> str:
    """The line in LaTeX: signs as commands, subscripts in braces, functions as commands."""
    text = re.sub(r"(?<![A-Za-z])([A-Za-z])_([A-Za-z0-9]+)", r"\1_{\2}", text)
    text = re.sub(r"(?<![A-Za-z\\])(sin|cos|tan)(?![A-Za-z])", r"\\\1 ", text)
    text = re.sub(r"(?<![\d.])(\d+)/(\d+)(?![\d.])", r"\\frac{\1}{\2}", text)
    for sign, command in SIGNS.items():
        text = text.replace(sign, command)
    return text


def simple(golden: Golden) -> bool:
    """Whether a line is made of signs alone, so that its twin is beyond doubt."""
    words = re.findall(r"[A-Za-z]{4,}", golden.written)
    return bool(PLAIN.match(golden.written)) and not words and "unread" not in golden.meaning


TWINS = [golden for golden in GOLDEN if "latex" not in golden.file and simple(golden)]


def names_of(golden: Golden) -> Names:
    rows = (FOLDER / golden.file).read_text(encoding="utf-8").splitlines()
    return sheet(next(r for r in rows if r.startswith("sheet:")).removeprefix("sheet:"))


@pytest.mark.parametrize("golden", TWINS, ids=lambda g: g.written)
def test_a_latex_twin_reads_alike(golden: Golden) -> None:
    names = names_of(golden)
    source = twin(golden.written)
    context = "\nw = 2,5" if "," in golden.written and golden.file == "continental.txt" else ""
    typed = read_working(golden.written + context, names)[0]
    latex = read_working(source + context, names, latex=True)[0]
    assert plain(latex.reads_as) == plain(typed.reads_as), source
    assert rebuilt(latex) == source
    for part in latex.parts:
        for side in part.sides if isinstance(part, Relation) else ():
            for node in walk(side):
                place = source[slice(*node.span)]
                assert place.count("{") == place.count("}"), (place, source)
    assert not any(isinstance(part, Struck) for part in latex.parts)


def plain(reads_as: str) -> str:
    """What it reads as, brackets that only keep a slope together left out."""
    return re.sub(r"\((\d+/\d+)\)", r"\1", reads_as)


def test_there_are_many_twins() -> None:
    assert len(TWINS) > 150
