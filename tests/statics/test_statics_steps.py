"""The written way to the solution, and the words in it."""

import pytest
from worked_sheets import BEAM, HOIST

from verifier.statics import solve
from verifier.statics.wording import expression, number, ratio, symbol
from verifier.structure import read_sheet


def lines(sheet):
    return [
        f"{step.free_body} | {step.sum}: {step.text} -> {', '.join(step.gives)}"
        for step in solve(read_sheet(sheet)).steps()
    ]


def test_reactions_first_and_then_joint_by_joint():
    sheet = HOIST.replace("pin S", "roller S at 0")
    assert lines(sheet) == [
        "whole structure | ΣM_P: −R_S (1) − 6 (2.4) − 2.5 (1) = 0 -> R_S = −16.9 kN (left)",
        "whole structure | ΣF_x: P_x − 16.9 + 2.5 = 0 -> P_x = 14.4 kN (right)",
        "whole structure | ΣF_y: P_y − 6 = 0 -> P_y = 6 kN (up)",
        "joint S | ΣF_x: RS − 16.9 = 0 -> RS = 16.9 kN (T)",
        "joint P | ΣF_y: PR (5/13) + 6 = 0 -> PR = −15.6 kN (C)",
        "joint P | ΣF_x: PQ + 14.4 − 15.6 (12/13) = 0 -> PQ = 0",
        "joint Q | ΣF_y: QR − 6 = 0 -> QR = 6 kN (T)",
    ]


def test_a_beam_and_what_acts_inside_it():
    sheet = BEAM + "find reaction C, shear at B, moment at B\n"
    assert lines(sheet) == [
        "whole structure | ΣM_A: R_C (5) − 6 (2) − 2 (6) (3) − ½ (3) (6) (4) − 4 = 0"
        " -> R_C = 17.6 kN (up)",
        "whole structure | ΣF_x: A_x = 0 -> A_x = 0",
        "whole structure | ΣF_y: A_y + 17.6 − 6 − 2 (6) − ½ (3) (6) = 0 -> A_y = 9.4 kN (up)",
        "part of deck left of B | ΣF_y: −V_B + 9.4 − 2 (2) − ½ (1) (2) = 0 -> V_B = 4.4 kN",
        "part of deck left of B | ΣM_B: M_B − 9.4 (2) + 2 (2) (1) + ½ (1) (2) (0.6667) = 0"
        " -> M_B = 14.13 kN m",
    ]


def test_a_section_where_it_is_shorter():
    joints = [f"joint L{i} {2 * i} 0\njoint U{i} {2 * i} 1.5" for i in range(7)]
    bars = [f"L{i}-L{i + 1}, U{i}-U{i + 1}, L{i}-U{i + 1}, L{i + 1}-U{i + 1}" for i in range(6)]
    sheet = "\n".join(
        ["units kN, m", *joints, "member L0-U0", *(f"member {bar}" for bar in bars), "pin L0",
         "roller L6", "load L3 12 down", "find U3-U4"]
    )  # fmt: skip
    found = lines(sheet)
    assert found[-1] == (
        "part right of the cut through L3L4, U3U4, L3U4 | ΣM_L3: U3U4 (1.5) + 6 (6) = 0"
        " -> U3U4 = −24 kN (C)"
    )
    assert len(found) == 2


def test_three_hinges_at_different_levels_need_two_equations_together():
    sheet = """units kN, m
joint A 0 0
joint B 4 3
joint C 8 1
body l: A, B
body r: B, C
pin A
pin C
load B 6 down
find reactions
"""
    found = lines(sheet)
    assert found[0].endswith("-> ")
    assert "A_x = " in found[1]
    assert "A_y = " in found[1]


def test_letters_in_the_sums():
    sheet = (
        "let w\nlet L\njoint A 0 0\njoint B L 0\nbody arm: A, B\nfixed A\n"
        "distributed A-B w down\nfind reactions\n"
    )
    assert lines(sheet) == [
        "whole structure | ΣM_A: M_A − L²·w/2 = 0 -> M_A = L²·w/2",
        "whole structure | ΣF_x: A_x = 0 -> A_x = 0",
        "whole structure | ΣF_y: A_y − L·w = 0 -> A_y = L·w",
    ]


@pytest.mark.parametrize(
    ("amount", "text"),
    [(0, "0"), (-16.9, "−16.9"), (2 / 3, "0.6667"), (1730, "1730"), (123456.789, "123457"),
     (1e-5, "1e−05"), (2.5e9, "2.5e+09")],
)  # fmt: skip
def test_numbers_are_short(amount, text):
    assert number(amount) == text


def test_symbols():
    items = ["reaction A x", "reaction A moment", "reaction A", "P-R", "L1-U2", "hook-eye",
             "pin C y on deck",
             "moment at K", "axial at K"]  # fmt: skip
    assert [symbol(item) for item in items] == [
        "A_x", "M_A", "R_A", "PR", "L1U2", "hook-eye", "C_y,deck", "M_K", "N_K",
    ]  # fmt: skip
    assert (ratio(0.6), ratio(0.123456789)) == ("3/5", "")


def test_expressions_are_written_for_people():
    import sympy

    force, length = sympy.symbols("F L", positive=True)
    assert expression(force * length**2 / 8) == "F·L²/8"
    assert expression(-sympy.sqrt(3) * force) == "−√3·F"
    assert expression(force * sympy.cos(37 * sympy.pi / 180)) == "F·cos(37°)"
    assert expression(sympy.sqrt(force**2 + 1)) == "√(F² + 1)"
