"""Pages without their sheet, about another sheet, or with values rounded on the way."""

from pathlib import Path

import verifier

GOLDEN = Path(__file__).resolve().parents[1] / "golden" / "right"

TOGGLE = """
joint A 0 0
joint B 1.2 0.3
joint C 2.4 0
member A-B, B-C, A-C
pin A
roller C
load B 10 down
find A-B, A-C, reaction C
"""


def alone(working):
    return verifier.check(None, working)


def told(result):
    return [(fault.line, fault.kind, fault.text) for fault in result.faults]


def test_a_value_rounded_before_use_is_a_remark_with_what_it_moves():
    working = (
        "R_C = 10/2 = 5 kN\n"
        "Joint C: ΣF_y = 0: 5 + F_BC(0.3/1.237) = 0, F_BC = −20.62 kN\n"
        "ΣF_x = 0: −F_AC + 21(1.2/1.237) = 0, F_AC = 20.37 kN\n"
    )
    sheet = "units kN, m" + TOGGLE
    gentle = verifier.check(sheet, working)
    assert not gentle.faults
    (remark,) = gentle.remarks
    assert (remark.kind, remark.line, remark.text) == ("rounding", 3, "21")
    assert remark.message == "Rounding before use (20.62 → 21) moves F_AC from 20 to 20.37, 1.8 %."
    strict = verifier.check(sheet, working, strict_rounding=True)
    assert told(strict) == [(3, "rounding", "21")]


def test_a_number_that_rounds_nothing_found_is_a_fault():
    working = (
        "R_C = 10/2 = 5 kN\n"
        "Joint C: ΣF_y = 0: 5 + F_BC(0.3/1.237) = 0, F_BC = −20.62 kN\n"
        "ΣF_x = 0: −F_AC + 26(1.2/1.237) = 0, F_AC = 25.22 kN\n"
    )
    result = verifier.check("units kN, m" + TOGGLE, working)
    assert [(f.line, f.kind) for f in result.faults] == [(3, "magnitude")]


def test_without_a_sheet_every_name_keeps_the_sense_of_its_first_label():
    result = alone(
        "F_AB = 12 kN, compression\nF_AC = 0.8(12) = 9.6 kN, tension\nF_BC = −3 kN → 3 kN (C)\n"
    )
    assert not result.faults, told(result)


def test_without_a_sheet_a_declared_sense_holds():
    right = alone("Assume Y_P down\nY_P(3) + 12(2) = 0\nY_P = −8 kN (↑)\n")
    assert not right.faults, told(right)
    wrong = alone("Assume Y_P down\nY_P(3) + 12(2) = 0\nY_P = −8 kN (↓)\n")
    assert told(wrong) == [(3, "sense", "(↓)")]


def test_without_a_sheet_a_label_turned_round_is_found_where_it_changes():
    result = alone(
        "Assume all members in tension.\nF_AB(0.6) − 3 = 0, F_AB = 5 kN (C)\nF_AB = 5 kN (T)\n"
    )
    assert [(f.line, f.kind) for f in result.faults] == [(2, "sense")]


def test_without_a_sheet_lengths_are_in_the_unit_that_is_written():
    result = alone("R_Dy = ((4 kN)(1290 mm) + (27 kN)(430 mm))/(1720 mm) = 9.75 kN\n")
    assert not result.faults, told(result)
    result = alone("M_D − 24(420) = 0\nM_D = 10080 kN·mm\n")
    assert not result.faults, told(result)


def test_without_a_sheet_letters_stay_letters():
    right = "−A_y(5a) + 3P(3a) + 2P(2a) = 0 ⇒ 5a A_y = 13Pa ⇒ A_y = 13P/5\n"
    assert alone(right + "A_y + D_y − 5P = 0 ⇒ D_y = 12P/5\n").verdict == "agrees"
    wrong = alone(right + "A_y + D_y − 5P = 0 ⇒ D_y = 17P/5\n")
    assert [f.line for f in wrong.faults] == [2]


def test_another_sheet_is_said_once_and_one_load_misread_is_not_another_sheet():
    sheet = GOLDEN / "skiff-rest.given"
    other = (
        "ΣM_A = 0: 6.2 R_D − 7.7(2.2) − 3.4(5.1) = 0\nR_D = 5.53 kN\nA_y = 7.7 + 3.4 − 5.53\n"
        "A_y = 5.57 kN\nM_P = 5.57(1.1) = 6.13 kN m\n"
    )
    result = verifier.check(sheet, other)
    assert len(result.faults) == 1
    assert result.another_sheet
    assert "another sheet" in result.faults[0].message
    assert "7.7" in result.faults[0].message
    misread = "ΣM_A = 0: 4.5 R_D − 1.8(1.5) − 9(3) = 0\nR_D = 6.6 kN\nA_y = 10.8 − 6.6 = 4.2 kN\n"
    result = verifier.check(sheet, misread)
    assert result.faults[0].kind == "magnitude"
    assert not result.another_sheet
