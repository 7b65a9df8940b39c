"""What only the whole working can tell: commas, numbers of equations, broken lines, LaTeX."""

import pytest

from verifier.notation import read_line, read_working
from verifier.notation.tree import (
    Heading,
    Line,
    Names,
    Num,
    Prose,
    Reference,
    Relation,
    SumLabel,
    Unread,
)

NAMES = Names(frozenset("ABC"), frozenset(), frozenset({("A", "B")}), frozenset("θ"))


def value(line: Line, side: int = -1) -> float:
    relation = next(p for p in line.parts if isinstance(p, Relation))
    number = relation.sides[side]
    assert isinstance(number, Num)
    return number.value


def test_other_numbers_decide_what_a_comma_is() -> None:
    german = read_working("A = 2,5 kN\nB = 1,500 kN", NAMES)
    english = read_working("A = 2.5 kN\nB = 1,500 kN", NAMES)
    assert value(german[1]) == 1.5
    assert value(english[1]) == 1500


def test_where_nothing_decides_both_readings_are_kept() -> None:
    relation = read_working("B_y = 1,500 kN", NAMES)[0].parts[0]
    assert isinstance(relation, Relation)
    (other,) = relation.others
    values = {relation.sides[1].value, other.sides[1].value}  # type: ignore[union-attr]
    assert values == {1500.0, 1.5}


def test_point_and_comma_in_one_number() -> None:
    assert value(read_line("A = 1,234.5", 1, NAMES)) == 1234.5
    assert value(read_line("A = 1.234,5", 1, NAMES)) == 1234.5
    assert value(read_line("A = 12 500 N", 1, NAMES)) == 12500
    assert value(read_line("A = 12'500 N", 1, NAMES)) == 12500


def test_a_quotient_before_a_product_can_be_read_two_ways() -> None:
    relation = read_line("A_y = 20/2 sin 45°", 1, NAMES).parts[0]
    assert isinstance(relation, Relation)
    assert len(relation.others) == 1
    slope = read_line("3/5AB + 2 = 0", 1, NAMES).parts[0]
    assert isinstance(slope, Relation)
    assert slope.others == ()


def test_a_line_that_ends_with_equals_goes_on() -> None:
    lines = read_working("A_y =\n45/8 = 5.63", NAMES)
    assert isinstance(lines[1].parts[0], Relation)
    assert lines[1].parts[0].continues


def test_a_sum_broken_at_an_operator_is_read_whole() -> None:
    first, second = read_working("A_y + B_y −\n14 = 0", NAMES)
    assert [type(p) for p in first.parts] == [Prose]
    (relation,) = second.parts
    assert isinstance(relation, Relation)
    assert second.reads_as == "A_y + B_y − 14 = 0"


@pytest.mark.parametrize("tags", ["ab", ("I", "II")])
def test_letters_that_run_down_a_working_number_its_equations(tags):
    first, second = tags
    lines = read_working(f"A_y + B_y = 14 ({first})\n6B_y = 40 ({second})", NAMES)
    assert [line.parts[-1].tag for line in lines] == [first, second]
    alone = read_working("A_y + B_y = 14 (a)\n6B_y = 40", NAMES)
    assert alone[0].parts[-1].tag == ""


def test_numbers_of_equations_that_run_down_the_working() -> None:
    lines = read_working("A_y + B_y = 14 (1)\n6B_y = 40 (2)\nfrom (2) B_y = 6.67", NAMES)
    tags = [p.tag for line in lines for p in line.parts if isinstance(p, Relation)]
    assert tags == ["1", "2", ""]
    assert any(isinstance(p, Reference) and p.tags == ("2",) for p in lines[2].parts)


def test_a_factor_in_brackets_at_the_end_is_no_number_of_an_equation() -> None:
    (line,) = read_working("M_A = 8 sin 30° (3)", NAMES)
    assert line.reads_as == "M_A = 8·sin(30°)·3"


def test_every_line_that_is_not_blank_appears_with_its_number() -> None:
    lines = read_working("\nA_x = 0\n\n  \nB_y = 3\r\n\nwords here\n", NAMES)
    assert [line.number for line in lines] == [2, 5, 7]


DOCUMENT = r"""
\documentclass{article}
\newcommand{\kn}{\,\mathrm{kN}}
\newcommand{\f}[1]{F_{#1}}
\begin{document}
\section*{Joint $B$}
% worked on Tuesday
\begin{align*}
\uparrow: \quad \f{AB}\sin\theta - 6 &= 0 \label{eq:one}\\
\Rightarrow \f{AB} &= \frac{6}{\sin 30^\circ} \\
 &= 12\kn\ \text{(T)}
\end{align*}
From \eqref{eq:one}, done.
\begin{tikzpicture}
\draw (0,0) -- (1,1) = 3;
\end{tikzpicture}
\end{document}
"""


def test_a_latex_document() -> None:
    lines = {line.number: line for line in read_working(DOCUMENT, NAMES)}
    assert len(lines) == sum(1 for row in DOCUMENT.split("\n") if row.strip())
    assert isinstance(lines[6].parts[0], Heading)
    assert isinstance(lines[9].parts[0], SumLabel)
    assert lines[9].reads_as == "ΣF_y (up +):  F_AB·sin(θ) − 6 = 0  (1)"
    assert lines[10].reads_as == "F_AB = 6/sin(30°)"
    assert lines[11].reads_as == "= 12 kN (tension)"
    assert isinstance(lines[13].parts[0], Reference)
    for number in (2, 3, 4, 7, 8, 12, 14, 15, 16, 17):
        assert all(isinstance(p, Prose) for p in lines[number].parts), number


def test_latex_and_typed_read_alike() -> None:
    typed = "ΣM_A = 0: 8B_y − 15(3) = 0\nF_AB = 14/sin 55° = 17.1 kN (C)"
    latex = (
        r"\sum M_A = 0: \quad 8B_y - 15(3) = 0" + "\n"
        r"F_{AB} = \frac{14}{\sin 55^{\circ}} = 17.1\,\mathrm{kN}\ (\text{C})"
    )
    one, two = read_working(typed, NAMES), read_working(latex, NAMES, latex=True)
    assert [line.reads_as for line in one] == [line.reads_as for line in two]


def test_a_paste_beyond_measure_is_bounded() -> None:
    line = read_line("(" * 1_000_000, 1, NAMES)
    (part,) = line.parts
    assert isinstance(part, Unread)
    assert part.slip == "too long"
    deep = read_line("(" * 200 + "1" + ")" * 200 + " = 0", 1, NAMES)
    assert isinstance(deep.parts[0], Unread)
    assert read_line("9**9**9**9 = x", 1, NAMES).parts


def test_a_lone_number_behind_a_value_may_be_the_number_of_the_equation() -> None:
    relation = read_line("A_y + B_y = 14 kN (2)", 1, NAMES).parts[-1]
    assert isinstance(relation, Relation)
    (other,) = relation.others
    assert (relation.tag, other.tag) == ("", "2")
    assert other.sides[1].value == 14  # type: ignore[union-attr]


def test_a_dash_before_a_value_may_set_a_list() -> None:
    relation = read_line("- A_x = 3 kN", 1, NAMES).parts[-1]
    balance = read_line("- A_x + 3 = 0", 1, NAMES).parts[-1]
    assert isinstance(relation, Relation)
    assert isinstance(balance, Relation)
    assert len(relation.others) == 1
    assert balance.others == ()
