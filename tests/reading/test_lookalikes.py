"""Signs by hand that cannot be what they look like, and the names behind them."""

import pytest

from verifier.notation.tree import Names
from verifier.reading import strange
from verifier.reading.lines import ReadLine
from verifier.reading.lookalikes import unlike, ways
from verifier.reading.mixed import mixed

NAMES = Names(
    joints=frozenset("ACDG"),
    members=frozenset({("A", "C")}),
    letters=frozenset({"a", "b", "w", "L", "W"}),
)


@pytest.mark.parametrize(
    ("read", "meant"),
    [
        ("Px-Sx = F1× (2)", "Px-Sx = F1x (2)"),
        ("(→) RA, ×=0", "(→) R_{A,x}=0"),
        ("R_{A},× = 2", "R_{A,x} = 2"),
        ("N_{AD} = 3r2P/2 (C)", "N_{AD} = 3√2P/2 (C)"),
        ("N_{DC} = 3r-2P/2 (C)", "N_{DC} = 3√2P/2 (C)"),
        ("R_{A} = σ(9.00^2+2.08^2)", "R_{A} = √(9.00^2+2.08^2)"),
        ("R_{K} = F'(16.7^2+27.9^2) = 32.5", "R_{K} = √(16.7^2+27.9^2) = 32.5"),
        ("X = 0 = >0 = -A_{x}+8 = >Ax = 4", "X = 0 ⇒ 0 = -A_{x}+8 ⇒ Ax = 4"),
        ("ΣF = 0 → σ = Y_{K}+2", "ΣF = 0 → 0 = Y_{K}+2"),
        ("T_{BD} = -24.1kN,1:8·24.1kN(C)", "T_{BD} = -24.1kN, i.e. 24.1kN(C)"),
        ("S2 = -26,32 kN, dh. 26,32 kN", "S2 = -26,32 kN, d.h. 26,32 kN"),
        ("* Moment equilibrium about A. M", "* Moment equilibrium about A. M"),
        ("x Moment equilibrium about A. M", "* Moment equilibrium about A. M"),
        ("0 = F_{LQ}:1,8m", "0 = F_{LQ}·1,8m"),
        ("= 974 [N,m]", "= 974 [N.m]"),
        ("DJ = -4 [N], 1)L = 974 [N]", "DJ = -4 [N], DL = 974 [N]"),
        ("× Force balance in x:", "* Force balance in x:"),
        ("x Force balance in y:", "* Force balance in y:"),
        ("| N | 6.425 | 1", "| N | 6.425 | |"),
        ("1 | [kN] | 1", "| | [kN] | |"),
        ("R_{J} = -1370[lb], ∴e. 1 370 [lb] ↑", "R_{J} = -1370[lb], i.e. 1 370 [lb] ↑"),
        ("CV = -11,57kN, C,e, 11,57kN ↓", "CV = -11,57kN, i.e. 11,57kN ↓"),
        ("y = 2,3'0,4/3,1", "y = 2,3·0,4/3,1"),
        ("5,7R0 = 103,2", "5,7RD = 103,2"),
        ("F = 281.1s lb, 10Q/sin 30°", "F = 281.15 lb, 100/sin 30°"),
        ("R_{D,}y+K = 2, R_{D/}y = R_{D},y", "R_{D,y}+K = 2, R_{D,y} = R_{D,y}"),
        ("N = (29,4; 3,38+6·1,926)/5,2", "N = (29,4·3,38+6·1,926)/5,2"),
        ("tq φ = 0,867/2, V = 16,7+qφ", "tg φ = 0,867/2, V = 16,7tg φ"),
        ("T = (5/√(-74))", "T = (5/√(74))"),
        # What may be meant stays.
        ("tq+3 = 2, R = 4 [K]", "tq+3 = 2, R = 4 [K]"),
        ("R_{D}y = 2, P = (3; 4)", "R_{D}y = 2, P = (3; 4)"),
        ("3Sx+2S_{o} = 4", "3Sx+2S_{o} = 4"),
        ("R5·2 = 3", "R5·2 = 3"),
        ("x forces: F = 3", "x forces: F = 3"),
        ("|F| = 1", "|F| = 1"),
        ("x direction: F = 3", "x direction: F = 3"),
        ("HA×2.3-687×2 = 0", "HA×2.3-687×2 = 0"),
        ("12r(3)", "12r(3)"),
        ("3r = 2", "3r = 2"),
        ("α = 3:4", "α = 3:4"),
        ("δ = 12/3", "δ = 12/3"),
        ("M = F(1.5)+F(2)", "M = F(1.5)+F(2)"),
        ("R = 4 kN, 18 kN", "R = 4 kN, 18 kN"),
        ("(1) F = 3 (2)", "(1) F = 3 (2)"),
        ("σ = 12 + 3", "0 = 12 + 3"),
    ],
)
def test_only_what_cannot_be_otherwise_is_settled(read: str, meant: str) -> None:
    assert unlike(read, NAMES) == meant


def test_a_letter_that_the_sheet_has_stays() -> None:
    assert unlike("σ = 12 + 3", Names(letters=frozenset({"σ"}))) == "σ = 12 + 3"
    assert unlike("N = 3r2P/2", Names(letters=frozenset("r"))) == "N = 3r2P/2"


@pytest.mark.parametrize(
    ("read", "meant"),
    [
        ("6_{y}(1.5)-2.96_{y} = 0", "G_{y}(1.5)-2.9G_{y} = 0"),
        ("0 = 3-7_{12} cos θ", "0 = 3-F_{12} cos θ"),
        ("6y = 25.9", "G_{y} = 25.9"),
        ("0 = R(0.9)-F1y(3)-F1×(0.75)", "0 = R(0.9)-F1y(3)-F1x(0.75)"),
        ("N·(a+6) = 3", "N·(a+b) = 3"),
        ("cL = 2", "CL = 2"),
        ("0 = M sin 26°", "0 = W sin 26°"),
        ("M = 9,3·16,9-42,4", "M = 9,3·16,9-4·2,4"),
        ("FAB×(1.2/1.3)-FACx(1.4/2.3) = 0", "FAB×(1.2/1.3)-FAC×(1.4/2.3) = 0"),
        ("(5/7) | AC = 3", "(5/7)T_{AC} = 3"),
        ("(7/574)T = 3", "(7/√74)T = 3"),
        ("F_{CA}x(1.4/2.3) = 0", "F_{CA}×(1.4/2.3) = 0"),
        ("T = (2.4/2.(83)+2(5) = 3", "T = (2.4/2.683)+2(5) = 3"),
        ("T = (2.4/2(83)·5 = 3", "T = (2.4/2683)·5 = 3"),
    ],
)
def test_a_look_alike_of_the_sheet_is_a_reading(read: str, meant: str) -> None:
    found = dict(ways(read, NAMES))
    assert meant in found
    assert sum(found.values()) == pytest.approx(1)


def test_a_unit_has_the_size_that_it_has() -> None:
    kips = Names(joints=frozenset("K"), units=("kip", "ft"))
    assert unlike("T_{DE} = 3.452 K T, F = 2 K", kips) == "T_{DE} = 3.452 k T, F = 2 k"
    assert unlike("V_{K} = 16,84 [K], M = 64 [K-ft]", kips) == "V_{K} = 16,84 [k], M = 64 [k-ft]"


def test_a_component_with_its_arm_and_a_product_in_brackets_stay() -> None:
    assert ways("RAx(2.5)+F_{DG}x(2) = 3(5)", NAMES) == [("RAx(2.5)+F_{DG}x(2) = 3(5)", 1.0)]


def test_what_a_hand_writes_alike_is_taken_alike() -> None:
    line = ReadLine("1,3+3,3 = 5", 1, None, 0.8, (("1,5+3,3 = 5", 0.1), ("1,3+3,5 = 5", 0.01)))
    found = dict(mixed(line))
    assert found["1,5+3,5 = 5"] == pytest.approx(0.8 * 0.01 / 0.9, rel=0.2)


def test_a_change_at_one_place_of_a_reading_with_two_is_a_reading() -> None:
    line = ReadLine("(23) 11 = 5", 1, None, 0.6, (("(23) 71 = 5", 0.2), ("(29) 71 = 5", 0.03)))
    assert "(29) 11 = 5" in dict(mixed(line))


def test_no_bar_runs_from_a_joint_to_itself() -> None:
    names = Names(joints=frozenset("ABCD"), members=frozenset({("B", "D")}))
    (first, _), *_ = strange.ways("T_{BB} sin52°", names)
    assert first in ("T_{BD} sin52°", "T_{DB} sin52°")


def test_a_hand_whose_4_looks_like_a_1_writes_them_all_so():
    text = "x = (3·2.1+9·1.1+21·5.6)/53 = 1.76"
    meant = ("x = (3·2.4+9·1.1+21·5.6)/53 = 1.76", "x = (3·2.1+9·4.1+21·5.6)/53 = 1.76",
             "x = (3·2.1+9·1.4+21·5.6)/53 = 1.76", "x = (3·2.1+9·1.1+21·5.6)/53 = 4.76",
             "x = (3·2.1+9·1.1+24·5.6)/53 = 1.76")  # fmt: skip
    chances = (0.02, 0.02, 0.02, 0.01, 0.002)
    line = ReadLine(text, 1, None, 0.8, tuple(zip(meant, chances, strict=True)), (), "hand")
    assert dict(mixed(line))["x = (3·2.4+9·4.4+21·5.6)/53 = 4.76"] == pytest.approx(0.01)
