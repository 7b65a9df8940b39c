"""What a page by hand tells of its own figures, and faults behind lines that are open."""

import pytest

from verifier.pipeline import check_against, open_sheet
from verifier.reading.lines import Reading, ReadLine

SHEET = """\
title Slip beam
units kN, m
joint K 0 0
joint L 4 0
joint S 2.4 0
joint U 3.4 0
body beam: K, S, U, L
pin K
roller L
load S 14 down
load U 4.5 down
find reactions
"""
RIGHT = (
    "ΣM_K = 0: R_L·4 - 14·2.4 - 4.5·3.4 = 0",
    "R_L = 48.9/4 = 12.2 kN",
    "ΣF_y = 0: K_y + 12.2 - 14 - 4.5 = 0",
    "K_y = 6.3 kN",
    "K_x = 0",
)
FEW = tuple((f"{n} ~", 1e-6) for n in range(6))  # readings not worth a thought


def _line(text: str, sure: float = 0.97, *others: tuple[str, float]) -> ReadLine:
    return ReadLine(text, 1, (0, 0, 9, 9), sure, (*others, *FEW), (), "hand")


def _verdict(*lines: ReadLine | str) -> tuple[str, str]:
    read = tuple(line if isinstance(line, ReadLine) else _line(line) for line in lines)
    result = check_against(open_sheet(SHEET), Reading("page.jpg", read))
    return result.verdict, result.first_fault.kind if result.first_fault else ""


def test_figures_that_a_hand_writes_alike_are_told_by_the_whole_page():
    lines = [line.replace("4", "1") for line in RIGHT]
    shown = _line(lines[1], 0.9, (lines[1].replace("/1", "/4"), 0.002))
    assert _verdict(lines[0], shown, *lines[2:]) == ("agrees", "")


def test_one_number_that_is_wrong_in_every_line_is_a_slip():
    wrong = (
        "ΣM_K = 0: R_L·4 - 11·2.4 - 4.5·3.4 = 0",
        _line("R_L = 41.7/4 = 10.4 kN", 0.9, ("R_L = 44.7/4 = 10.4 kN", 0.002)),
        "ΣF_y = 0: K_y + 10.4 - 11 - 4.5 = 0",
        "K_y = 5.1 kN",
        "K_x = 0",
    )
    assert _verdict(*wrong) == ("fault", "magnitude")


def test_what_a_writer_goes_on_with_tells_what_he_wrote():
    line = _line("R_L = 48.9/4 = 72.2 kN", 0.95, (RIGHT[1], 0.004))
    assert _verdict(RIGHT[0], line, *RIGHT[2:]) == ("agrees", "")
    on = ("ΣF_y = 0: K_y + 72.2 - 14 - 4.5 = 0", "K_y = -53.7 kN", "K_x = 0")
    assert _verdict(RIGHT[0], line, *on)[0] == "fault"


def test_a_product_that_the_line_goes_on_with_was_worked_out_with_its_own_figures():
    line = _line("ΣM_K = 0: R_L·4 - 14·2.9 - 4.5·3.4 = 0, so 4·R_L = 48.9, so R_L = 12.2 kN", 0.9)
    assert _verdict(line, *RIGHT[2:]) == ("agrees", "")


@pytest.mark.parametrize("name", ["K_y", "R_L"])
def test_a_wrong_sense_behind_an_open_line_of_other_forces(name):
    spoilt = _line(f"ΣF_x = 0: {name} + h0 = 4", 0.8)
    line = _line("R_L = 48.9/4 = 12.2 kN ↓", 0.92)
    verdict, _ = _verdict(RIGHT[0], spoilt, line, *RIGHT[2:])
    assert verdict == ("fault" if name == "K_y" else "undecided")


def test_the_only_fault_of_a_line_is_told_by_the_doubt_at_its_place():
    wrong = "ΣF_y = 0: K_y - 12.2 - 14 - 4.5 = 0"
    ways = [(f"ΣF_y = {n}: K_y - 12.2 - 14 - 4.5 = 0", 0.04) for n in "oOQDG86"]
    line = _line(wrong, 0.42, *((way.replace("= o", "= 0 "), c) for way, c in ways))
    assert _verdict(*RIGHT[:2], line, "K_x = 0") == ("fault", "sign")


WRONG_ARM = "R_L = (14·2.4 + 4.5·2.4)/4 = 11.1 kN"
BEHIND = ("K_y = 14 + 4.5 - 11.1 = 7.4 kN", "K_x = 0")


def test_figures_that_a_hand_writes_alike_are_told_by_what_faulty_lines_come_to():
    shown = _line("W = 37.5 - 14 = 18.5 kN", 0.9, ("W = 32.5 - 14 = 18.5 kN", 0.002))
    line = WRONG_ARM.replace("2.4", "7.4")
    assert _verdict(shown, line, *BEHIND) == ("fault", "lever-arm")


def test_readings_are_put_together_on_a_page_with_decimal_commas():
    page = [line.replace(".", ",") for line in RIGHT]
    right, ways = "R_L = 48,9/4 = 12,225 kN", (("48,7", "12,225"), ("48,9", "72,225"))
    others = [(f"R_L = {one}/4 = {two} kN", 0.12) for one, two in ways]
    line = ReadLine("R_L = 48,7/4 = 72,225 kN", 1, (0, 0, 9, 9), 0.7, (*others,), (), "hand")
    assert _verdict(page[0], line, *page[2:]) == ("agrees", "")
    assert _verdict(page[0], right, *page[2:]) == ("agrees", "")
