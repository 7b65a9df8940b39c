"""Places: every node stands where it was typed, and the parts give the line back."""

import pytest
from test_golden_notation import GOLDEN, Golden

from verifier.notation import read_line, read_working
from verifier.notation.tree import Add, Line, Mul, Names, Num, Relation, Struck, Unread, walk

NAMES = Names(
    frozenset("PQRS"), frozenset(), frozenset({("P", "Q"), ("Q", "R"), ("P", "R")}), frozenset("θ")
)


def terms(text: str, latex: bool = False) -> list[str]:
    """The terms of every sum of a line, as they stand in it."""
    line = read_working(text, NAMES, latex=latex)[0] if latex else read_line(text, 1, NAMES)
    found = []
    for part in line.parts:
        for side in part.sides if isinstance(part, Relation) else ():
            for node in walk(side):
                if isinstance(node, Add):
                    found += [text[slice(*term.span)] for _, term in node.terms]
    return found


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("ΣM: 6(2.4) − 8 sin 30° (3) + 2QR = 0", ["6(2.4)", "8 sin 30° (3)", "2QR"]),
        ("(4.2 kN)(3 m) − (P_y)(7 m) = 0", ["(4.2 kN)(3 m)", "(P_y)(7 m)"]),
        ("6·2,5 − 11 kN · 4,0 m = 0", ["6·2,5", "11 kN · 4,0 m"]),
        ("−6 − PR sin θ=0", ["6", "PR sin θ"]),
        ("P_y - 3/5PR = 0", ["P_y", "3/5PR"]),
        ("P_y+12kN−|PR|cos45°=0", ["P_y", "12kN", "|PR|cos45°"]),
        ("½(6)(4.5) − P_y×3 = 0", ["½(6)(4.5)", "P_y×3"]),
    ],
)
def test_a_term_is_what_a_person_would_point_at(text: str, wanted: list[str]) -> None:
    assert terms(text) == wanted


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        (
            r"P_x &- 5\cos 40^\circ + \frac{3}{5} F_{PR} = 0 \\",
            ["P_x", r"5\cos 40^\circ", r"\frac{3}{5} F_{PR}"],
        ),
        (
            r"$6\,\mathrm{kN}\,(2.4\,\mathrm{m}) - \tfrac12 Q_{y} = 0$",
            [r"6\,\mathrm{kN}\,(2.4\,\mathrm{m})", r"\tfrac12 Q_{y}"],
        ),
        (
            r"\boxed{\qty{2.5}{\kilo\newton} - \sqrt{2}\,P_x = 0}",
            [r"\qty{2.5}{\kilo\newton}", r"\sqrt{2}\,P_x"],
        ),
    ],
)
def test_places_in_latex_are_those_of_the_source(text: str, wanted: list[str]) -> None:
    assert terms(text, latex=True) == wanted


def rebuilt(line: Line) -> str:
    """The line put together again from its parts and the gaps between them."""
    out, at = "", 0
    for part in line.parts:
        start, end = part.span
        if isinstance(part, Struck) and start < at:
            continue
        assert at <= start <= end <= len(line.whole), part
        out += line.whole[at:start] + line.whole[start:end]
        at = end
    return out + line.whole[at:]


@pytest.mark.parametrize("golden", GOLDEN, ids=lambda g: g.written)
def test_parts_give_the_line_back(golden: Golden) -> None:
    assert rebuilt(golden.line) == golden.line.whole


@pytest.mark.parametrize(
    "text",
    [
        r"\cancel\cancel",
        r"A_y = \cancel\cancel{3 and 4~~} = 5",
        r"\cancel{A_y = ~~3} + 4~~ = 5 \cancel{~~",
        r"~~A_y = \cancel{3~~ + 4} = 5 ~~ B_y = \cancel{2~~}",
        "A_y = 3²⁻³ and sin^,1(3)",
    ],
)
def test_parts_of_a_broken_line_keep_apart(text: str) -> None:
    line = read_line(text, 1, NAMES)
    assert rebuilt(line) == line.whole


@pytest.mark.parametrize("golden", GOLDEN, ids=lambda g: g.written)
def test_nodes_lie_inside_each_other_in_order(golden: Golden) -> None:
    for part in golden.line.parts:
        if isinstance(part, Unread):
            assert part.span[0] <= part.at <= part.span[1]
        if not isinstance(part, Relation):
            continue
        low, high = part.span
        for side in part.sides:
            for node in walk(side):
                assert low <= node.span[0] <= node.span[1] <= high, node
                place = golden.line.whole[slice(*node.span)]
                if isinstance(node, Num) and node.text and place[:1].isdecimal():
                    assert place.startswith(node.text[:1])
                if isinstance(node, Add | Mul):
                    inner = (
                        [t for _, t in node.terms] if isinstance(node, Add) else list(node.factors)
                    )
                    starts = [child.span[0] for child in inner]
                    assert starts == sorted(starts)


@pytest.mark.parametrize(
    ("digits", "low", "high"),
    [
        ("2.40", 2.395, 2.405),
        ("1730", 1725, 1735),
        ("6", 5.5, 6.5),
        ("0.5", 0.45, 0.55),
        ("100", 50, 150),
        ("12.0", 11.95, 12.05),
        ("½", 0.5, 0.5),
        ("3.2e-3", 3.15e-3, 3.25e-3),
    ],
)
def test_a_number_stands_for_what_rounds_to_it(digits: str, low: float, high: float) -> None:
    relation = read_line(f"P_y = {digits}", 1, NAMES).parts[0]
    assert isinstance(relation, Relation)
    number = relation.sides[1]
    assert isinstance(number, Num)
    assert (number.low, number.high) == pytest.approx((low, high), rel=1e-12)
