"""Signs of a line by hand that can only be written one way."""

import pytest

from verifier.notation.tree import Names
from verifier.reading import lost_point, recurring
from verifier.reading.lines import ReadLine
from verifier.reading.spelt import settled, spelt


@pytest.mark.parametrize(
    ("read", "meant"),
    [
        ("T = -(-P)1sinα", "T = -(-P)/sinα"),
        ("T = (3+4)1(2)", "T = (3+4)/(2)"),
        ("R = v(3^2+4^2) = 5", "R = √(3^2+4^2) = 5"),
        ("2T = 9 ⇒ T_{y}+4,5371 ≈ 4,54", "2T = 9 ⇒ T_{y}=4,5371 ≈ 4,54"),
        ("T+14.551 ≈ 14.6 kN", "T=14.551 ≈ 14.6 kN"),
        # A figure before a function may be a factor; a name before a bracket stays a name.
        ("T = 31sin30", "T = 31sin30"),
        ("(3)1 kN", "(3)1 kN"),
        # A sum that is rounded as a whole, or of more than a name.
        ("T+4,5371 ≈ 7,2", "T+4,5371 ≈ 7,2"),
        ("R = T+4,5371 ≈ 4,54", "R = T+4,5371 ≈ 4,54"),
        ("T-4,5371 ≈ 4,54", "T-4,5371 ≈ 4,54"),
        ("T+4,5 ≈ 4,5", "T+4,5 ≈ 4,5"),
        ("T = F_{v}(3)", "T = F_{v}(3)"),
        ("12r(3)", "12r(3)"),
        ("T = 183.69N_{1} i.e. 2", "T = 183.69N, i.e. 2"),
        ("T = 183.69Nin tension", "T = 183.69N in tension"),
        ("2P×3atM_{A} = P×a", "2P×3a+M_{A} = P×a"),
        ("the bar at A", "the bar at A"),
        ("ΣM = 0, so V_{E}+476.4 lbf (↓)", "ΣM = 0, so V_{E} = 476.4 lbf (↓)"),
        ("V_{E}+476.4 lbf = 0", "V_{E}+476.4 lbf = 0"),
        ("M = (4 kN(3 m)-(5 kN](2 m)", "M = (4 kN)(3 m)-(5 kN)(2 m)"),
        ("M = (4 kN cos30°)-2", "M = (4 kN cos30°)-2"),
        ("giving V_{E}+476.4 lbf ↓", "giving V_{E} = 476.4 lbf ↓"),
        ("H = 2690 lbt (sum)", "H = 2690 lbf (sum)"),
        ("N_{DE}+-H+N cosθ = 14", "N_{DE} = -H+N cosθ = 14"),
        ("F+-3 = 0", "F+-3 = 0"),
        ("F_{12} cosθ-3 = 0 n (6)", "F_{12} cosθ-3 = 0 (6)"),
        ("F_{12} cosθ-3 = 0 ∴ (2)", "F_{12} cosθ-3 = 0 (2)"),
        ("F_{12} cosθ-3 = 0 111 (2)", "F_{12} cosθ-3 = 0 (2)"),
        ("F = 30 n (6)", "F = 30 n (6)"),
        ("a+3.0/b = 2.5,c+1.0/F1 = 4.0, F2+6.5", "a = 3.0, b = 2.5, c = 1.0, F1 = 4.0, F2 = 6.5"),
        ("a+3.0/b = 2.5", "a+3.0/b = 2.5"),
        ("S_{y} (atbtc) = F1 a", "S_{y} (a+b+c) = F1 a"),
        ("P (at) = 2", "P (at) = 2"),
        ("P = 4 kN hacla abaJo arrlba", "P = 4 kN hacia abajo arriba"),
        ("the weight of a light", "the weight of a light"),
        ("R = 4.000 (dowrwards)", "R = 4.000 (downwards)"),
        ("hevce M = 3 kN·m", "hence M = 3 kN·m"),
        ("given forces while extension", "given forces while extension"),
        ("* Moment balance About K:", "* Moment balance about K:"),
        ("Resultanγ = 6.8·2.7 = 18.36", "Resultant = 6.8·2.7 = 18.36"),
        ("cosγ = 2sinα", "cosγ = 2sinα"),
        ("taN α = 1.8/1.6", "tan α = 1.8/1.6"),
        ("R = 55.0 NACh obeN", "R = 55.0 NACh oben"),
        ("RAx·2 sinAB = 3 kNmm FQSx", "RAx·2 sinAB = 3 kNmm FQSx"),
        ("* Force balance in X:", "* Force balance in x:"),
        ("F_{QS} = 61.7 kN (F)", "F_{QS} = 61.7 kN (T)"),
        ("F_{OY} vertical equilibrium", "For vertical equilibrium"),
        ("7.5×3.5 = 26.25 kN]", "7.5×3.5 = 26.25 [kN]"),
        ("T = -12.9kNiinen 12.9kN (C)", "T = -12.9kN, i.e. 12.9kN (C)"),
        ("ΣMC = 0: R_{A}Iy 3 = 2", "ΣMC = 0: R_{A,y} 3 = 2"),
    ],
)
def test_only_what_cannot_be_otherwise_is_settled(read: str, meant: str) -> None:
    assert spelt(read, Names()) == meant


@pytest.mark.parametrize(
    ("read", "meant"),
    [
        ("P = 10.3.2 = 32", "P = 10·3.2 = 32"),
        ("P = 2.51.8 = 4.5", "P = 2.5·1.8 = 4.5"),
        ("P = 5,81,8 = 10,44", "P = 5,8·1,8 = 10,44"),
        ("P cos 20-3 = 0.11 (2)", "P cos 20-3 = 0 (2)"),
        ("P sin127.6° = 3sin122.10", "P sin127.6° = 3sin122.1°"),
        ("P = 3sin122.10", "P = 3sin122.1°"),
        ("PG = 3 kN", "DG = 3 kN"),
        ("F_{PG} = 3 kN", "F_{DG} = 3 kN"),
        ("V_{P} = 3 kN", "V_{D} = 3 kN"),
        ("D = 6 cos 40° (111)", "D = 6 cos 40° (III)"),
        ("V_{6} = 4 kN", "V_{G} = 4 kN"),
        ("R_{6} = 4 kN", "R_{G} = 4 kN"),
        ("ΣM@6 = 0", "ΣM@G = 0"),
        ("ΣM(6) = 0", "ΣM(G) = 0"),
        ("(11): D = 6 kN", "(II): D = 6 kN"),
        ("V_{D} = 1/220 [lbf]", "V_{D} = 1,220 [lbf]"),
    ],
)
def test_what_can_hardly_be_written_has_other_readings(read: str, meant: str) -> None:
    names = Names(joints=frozenset("DGK"), members=frozenset({("D", "G"), ("G", "K")}))
    line = settled(ReadLine(read, 1, (0, 0, 9, 9), 0.9), names)
    assert meant in [line.text, *(text for text, _ in line.alternatives)]


def test_names_that_the_sheet_has_stay() -> None:
    names = Names(joints=frozenset("DGP"), members=frozenset({("D", "G")}))
    line = ReadLine("PG = 3 kN", 1, (0, 0, 9, 9), 0.9)
    assert settled(line, names) == line


def test_a_name_of_the_sheet_is_no_root() -> None:
    assert spelt("R = r(3)", Names(letters=frozenset("r"))) == "R = r(3)"


def test_readings_that_become_one_add_up() -> None:
    others = (("P = (3)/sin30", 0.2), ("P = (8)/sin30", 0.1))
    line = settled(ReadLine("P = (3)1sin30", 1, (0, 0, 9, 9), 0.6, others), Names())
    assert line.text == "P = (3)/sin30"
    assert line.confidence == pytest.approx(0.8)
    assert line.alternatives == (("P = (8)/sin30", 0.1),)


def test_a_figure_before_a_function_may_end_in_a_slash() -> None:
    line = settled(ReadLine("F = 71sin30 = 14", 1, (0, 0, 9, 9), 0.99), Names())
    assert line.text == "F = 71sin30 = 14"
    assert line.alternatives[0][0] == "F = 7/sin30 = 14"
    page = [ReadLine(text, 1, (0, 0, 9, 9), 0.99) for text in ("F - 7 = 0", "7(2) = 14")]
    found = recurring.settled([*page, line])[-1]
    assert found is not None
    assert found.text == "F = 7/sin30 = 14"
    assert found.alternatives[0][0] == "F = 71sin30 = 14"
    same = settled(ReadLine("F = 1sin30", 1, (0, 0, 9, 9), 0.9), Names())
    assert same.alternatives == ()


def _hand(text: str, sure: float, *others: tuple[str, float]) -> ReadLine:
    return ReadLine(text, 1, (0, 0, 9, 9), sure, others, (), "hand")


def test_a_figure_behind_a_force_is_an_arrow_where_it_may_be_one():
    line = _hand("A = -5.5[kN] (1)", 0.98, ("A = -5.5[kN] (↓)", 0.01))
    assert settled(line, Names()).text == "A = -5.5[kN] (↓)"
    assert settled(_hand("A = -5.5[kN] (1)", 0.98), Names()).text == "A = -5.5[kN] (1)"
    numbered = _hand("A + B = 0 (1)", 0.98, ("A + B = 0 (↓)", 0.01))
    assert settled(numbered, Names()).text == "A + B = 0 (1)"


def test_a_comma_behind_a_figure_may_look_like_a_one():
    others = dict(settled(_hand("V·2 = 2.81 giving V = 1.4", 0.9), Names()).alternatives)
    assert others["V·2 = 2.8, giving V = 1.4"] > 0.3


def test_a_joint_with_an_h_behind_it():
    names = Names(joints=frozenset("AB"))
    known = dict(settled(_hand("B_{A} = 933 N", 0.9), names).alternatives)
    assert known["B_{H} = 933 N"] > 0.3
    barred = Names(joints=frozenset("AB"), members=frozenset({("A", "B")}))
    assert not settled(_hand("B_{A} = 933 N", 0.9), barred).alternatives


def test_a_lost_point_is_told_by_the_same_digits_elsewhere():
    short, other = _hand("x = 3275 m", 0.7), _hand("R = 63,4·3,275/7,2", 0.6)
    first, second = lost_point.offered([short, other])
    assert first.text == short.text
    assert first.alternatives[0][0] == "x = 3,275 m"
    assert second == other
