"""A working that solves another sheet is told so in one line, and no other working is."""

import io
from pathlib import Path

from rich.console import Console

import verifier
from verifier.reporting.terminal import report

RACK = """units kN, m
joint A 0 0
joint C 2 0
joint D 5 0
joint B 7 0
body rack: A, C, D, B
pin A
roller B
load C 12 down
load D 9 down
"""
JIB = """units kN, m
joint A 0 0
joint K 1.5 2
joint H 3 4
joint W 0 4
body jib: A, K, H
cable H-W
pin A
pin W
load H 6 down
call T = force H-W
find H-W
"""
LEVER = """units N, mm
joint O 0 0
joint K 80 0
joint H 350 0
joint B 80 -120
body lever: O, K, H
member K-B
pin O
pin B
load H 40 down
call F = force K-B
find K-B
"""


def test_other_loads_at_other_places_are_another_sheet():
    working = (
        "ΣM_A = 0: 6.4 R_B − 14(1.6) − 11(4.4) = 0\nR_B = 11.06 kN\nA_y = 25 − 11.06 = 13.94 kN\n"
    )
    result = verifier.check(RACK, working)
    assert result.another_sheet
    assert [fault.kind for fault in result.faults] == ["magnitude"]
    assert result.faults[0].expected == ""


def test_a_length_that_happens_to_be_the_load_does_not_hide_it():
    working = "M_A: T(7.2) = 13(6) + 5.7(2.6)\nT = 12.89 kN\nA_x = 12.89 kN\nA_y = 18.7 kN\n"
    assert verifier.check(JIB, working).another_sheet


def test_a_misread_load_and_a_slope_triangle_of_ones_own_are_this_sheet():
    working = "tan α = 4/3 (legs 8 and 6)\nM_A: T·4 = 9·3\nT = 6.75 kN\n"
    result = verifier.check(JIB, working)
    assert not result.another_sheet
    assert [(fault.line, fault.kind) for fault in result.faults] == [(2, "magnitude")]


def test_lengths_in_another_unit_are_this_sheet():
    working = "M_O: F·0.08 + 40·0.27 = 0\nF = −135 N\n"
    result = verifier.check(LEVER, working)
    assert not result.another_sheet
    assert [(fault.line, fault.kind) for fault in result.faults] == [(1, "lever-arm")]


def test_the_report_says_it_and_goes_through_no_line(tmp_path: Path):
    sheet, working = tmp_path / "rack.given", tmp_path / "rack.txt"
    sheet.write_text(RACK, "utf-8")
    working.write_text("ΣM_A: 6.4 R_B − 14(1.6) − 11(4.4) = 0\nR_B = 11.06 kN\n", "utf-8")
    for language, words in (("en", "another sheet"), ("de", "anderes Blatt")):
        out = io.StringIO()
        report(verifier.check(sheet, working), Console(file=out, width=80), language=language)
        assert words in out.getvalue().splitlines()[0] + out.getvalue().splitlines()[1]
        assert "lever arm" not in out.getvalue()
        assert "Hebelarm" not in out.getvalue()


def test_a_trapezoid_taken_apart_is_of_this_sheet():
    sheet = (
        "units kN, m\njoint K 0 0\njoint L 1.9 0\njoint P 3 0\njoint Q 5 0\njoint R 6.5 0\n"
        "body deck: K, L, P, Q, R\npin L\nroller Q\ndistributed Q-R 10 to 15.2 down\n"
        "distributed P-R 9 to 13.6 down\nfind reactions\n"
    )
    working = (
        "Block 10 × 1.5 = 15 kN\nWedge 0.5 × 5.2 × 1.5 = 3.9 kN\nBlock 9 × 3.5 = 31.5 kN\n"
        "Wedge 0.5 × 4.6 × 3.5 = 8.05 kN\nL_x = 0\n"
        "ΣM_L = 0: Q_y = (15(3.85) + 3.9(4.1) + 31.5(2.85) + 8.05(3.4333))/3.1 = 16.58 kN\n"
        "L_y = (−16.58(5) + 15(5.75) + 3.9(6) + 31.5(4.75) + 8.05(5.3333))/1.9 = 116.0 kN\n"
    )
    first = verifier.check(sheet, working).first_fault
    assert first is not None
    assert (first.line, first.kind) == (6, "arithmetic")
