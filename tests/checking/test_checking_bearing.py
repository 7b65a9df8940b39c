"""What the rest of a page says of a line that may have been misread."""

from dataclasses import replace

import pytest

from verifier.pipeline import check_against, open_sheet
from verifier.reading.lines import Reading, ReadLine

SHEET = """\
title Slip beam
units kN, m
joint K 0 0
joint L 3.6 0
joint S 2.4 0
body beam: K, S, L
pin K
roller L
load S 8.1 down
find reactions
"""
RIGHT = (
    "ΣM_K = 0: R_L·3.6 - 8.1·2.4 = 0",
    "R_L = 5.40 kN",
    "ΣF_y = 0: K_y + 5.40 - 8.1 = 0 ∴ K_y = 2.70 kN",
    "K_x = 0",
)
FEW = tuple((f"{n} ~", 1e-6) for n in range(6))  # readings not worth a thought


def _page(*lines: ReadLine | str) -> Reading:
    read = [line if isinstance(line, ReadLine) else _line(line) for line in lines]
    return Reading("page.jpg", tuple(read))


def _line(text: str, sure: float = 0.97, *others: tuple[str, float]) -> ReadLine:
    return ReadLine(text, 1, (0, 0, 9, 9), sure, (*others, *FEW), (), "hand")


def _verdict(*lines: ReadLine | str) -> tuple[str, str]:
    result = check_against(open_sheet(SHEET), _page(*lines))
    return result.verdict, result.first_fault.kind if result.first_fault else ""


def test_a_right_page_agrees():
    assert _verdict(*RIGHT) == ("agrees", "")


def test_a_name_that_every_line_has_otherwise_was_written_otherwise():
    first = _line("ΣM_K = 0: B_L·3.6 - 8.1·2.4 = 0", 0.8, ("ΣM_K = 0: R_L·3.6 - 8.1·2.4 = 0", 0.1))
    second = _line("B_L = 5.40 kN", 0.8, ("R_L = 5.40 kN", 0.1))
    assert _verdict(first, second, *RIGHT[2:]) == ("agrees", "")


def test_a_line_not_understood_is_taken_as_its_likely_reading_that_agrees():
    line = _line("R_L = 5.40 kN = = ))", 0.6, ("R_L = 5.40 kN", 0.2))
    assert _verdict(RIGHT[0], line, *RIGHT[2:]) == ("agrees", "")


@pytest.mark.parametrize(("chance", "verdict"), [(0.08, "agrees"), (0.03, "undecided")])
def test_two_figures_that_a_stroke_makes_others_are_read_anew_together(chance, verdict):
    line = _line(
        "ΣM_K = 0: R_L·3.6 - 8.4·2.1 = 0", 0.8,
        ("ΣM_K = 0: R_L·3.6 - 8.1·2.1 = 0", 0.08), ("ΣM_K = 0: R_L·3.6 - 8.4·2.4 = 0", chance),
    )  # fmt: skip
    assert _verdict(line, *RIGHT[1:]) == (verdict, "")


def test_a_slip_is_not_read_away():
    line = _line("R_L = 5.90 kN", 0.96, ("R_L = 5.40 kN", 0.004))
    verdict, _ = _verdict(
        RIGHT[0], line, "ΣF_y = 0: K_y + 5.90 - 8.1 = 0 ∴ K_y = 2.20 kN", "K_x = 0"
    )
    assert verdict == "fault"


def test_a_sign_is_not_read_away():
    wrong = "ΣF_y = 0: K_y - 5.40 - 8.1 = 0 ∴ K_y = 13.5 kN"
    line = _line(wrong, 0.9, (wrong.replace("K_y - 5", "K_y + 5"), 0.06))
    assert _verdict(*RIGHT[:2], line, "K_x = 0")[0] != "agrees"


def test_what_a_line_goes_on_with_bears_its_fault_out():
    line = "ΣM_K = 0: R_L·3.6 - 8.1·1.2 = 0 ∴ R_L = 2.70 kN"
    assert _verdict(line, "K_x = 0") == ("fault", "lever-arm")


def test_several_slips_in_a_line_read_unsurely_accuse_nobody():
    line = _line("ΣM_G = 0: M·36 - 0.1·2.9 = 0", 0.56)
    assert _verdict(line, "M = 5.40 kN", *RIGHT[2:])[0] != "fault"


def test_points_that_are_not_seen_accuse_nobody():
    line = _line("ΣM_K = 0: R_L·3.6 = 81.24", 0.92)  # 8.1·2.4
    assert _verdict(line, *RIGHT[1:])[0] != "fault"


@pytest.mark.parametrize(("sure", "verdict"), [(0.7, "undecided"), (0.99, "unfinished")])
def test_a_strange_name_may_be_the_answer_that_is_missing(sure, verdict):
    assert _verdict("K_x = 0", "K_y = 2.70 kN", _line("Q_Z = 12 kN", sure)) == (verdict, "")


def test_what_a_line_comes_to_bears_out_how_it_was_read():
    whole = "ΣM_K = 0: R_L = 8.1·1.2/3.6 = {} kN"
    even, uneven = (
        ReadLine(whole.format(value), 1, (0, 0, 9, 9), 0.95, (), (), "hand")
        for value in ("2.70", "5.40")
    )
    assert _verdict(even, "K_x = 0") == ("fault", "lever-arm")
    assert _verdict(uneven, "K_x = 0")[0] == "undecided"
    assert _verdict(replace(even, confidence=0.75), "K_x = 0")[0] == "undecided"


def test_a_reading_that_claims_less_is_no_way_out():
    wrong = _line("R_L = 5.40 kN ↓", 0.9, ("R_L = 5.40 kN (1)", 0.05), ("R_L - 5.40 kN ↓", 0.04))
    assert _verdict(RIGHT[0], wrong, *RIGHT[2:]) == ("fault", "sense")
    bar = _line("R_L = 5.40 kN ↓", 0.9, ("R_L = 5.40 kN (T)", 0.05))
    assert _verdict(RIGHT[0], bar, *RIGHT[2:]) == ("fault", "sense")
    about = _line("R_L = 5.40 kN ↓", 0.6, ("R_L = 5.40 kN (1)", 0.15))
    assert _verdict(RIGHT[0], about, *RIGHT[2:]) == ("undecided", "")


def test_a_name_without_a_meaning_is_no_way_out():
    line = _line("R_L = 5.90 kN", 0.9, ("R_J = 5.90 kN", 0.1))
    after = ("ΣF_y = 0: K_y + 5.90 - 8.1 = 0 ∴ K_y = 2.20 kN", "K_x = 0")
    assert _verdict(RIGHT[0], line, *after)[0] == "fault"


def test_a_length_of_the_figure_rests_on_no_line_before():
    doubtful = _line("Q_G = 27 kN = 90", 0.6, ("Q_G = 27 kN = 27", 0.01))
    lines = (doubtful, "KS = √(1.2^2 + 1.5^2) = 1.92 m", *RIGHT)
    assert _verdict(*lines) == ("fault", "geometry")


def test_a_moment_s_unit_read_otherwise_is_no_question():
    moment = _line("M_S = 2.70·2.4 = 6.48 kN·m", 0.4, ("M_S = 2.70·2.4 = 6.48 kN/m", 0.3))
    assert _verdict(*RIGHT, moment) == ("agrees", "")


def test_a_number_that_is_repeated_is_read_anew_wherever_it_stands():
    result = _line("R_L = 5.10 kN", 0.6, ("R_L = 5.40 kN", 0.2))
    again = _line("R_L = 5.10 kN; K_x = 0", 0.6, ("R_L = 5.40 kN; K_x = 0", 0.2))
    assert _verdict(RIGHT[0], result, RIGHT[2], again) == ("agrees", "")


@pytest.mark.parametrize(("chance", "verdict"), [(0.02, "fault"), (0.08, "undecided")])
def test_a_sign_that_is_hardly_another_one_is_the_writer_s(chance, verdict):
    wrong = "ΣM_K = 0: R_L·3.6 + 8.1·2.4 = 0"
    line = _line(wrong, 0.9, (wrong.replace("+", "-"), chance))
    assert _verdict(line, *RIGHT[1:])[0] == verdict


def test_what_differs_in_its_dress_alone_makes_no_term_that_lacks_doubtful():
    wrong = "ΣM_K = 0: R_L·3.6 = 0 ∴ R_L = 0 kN"
    dressed = _line(wrong, 0.5, (wrong.replace(" ∴ ", "  ∴ "), 0.36))
    assert _verdict(dressed, "K_x = 0") == ("fault", "missing-force")
    assert _verdict(_line(wrong, 0.5, (wrong.replace("3", "8"), 0.3)), "K_x = 0")[0] == "undecided"


def test_a_result_that_is_at_odds_with_a_doubtful_line_alone_is_no_fault_by_itself():
    sums = _line("ΣM_K = 0: R_L·3.6 = 19.14 - 1.1", 0.3)
    assert _verdict(sums, _line("R_L = 5.90 kN", 0.98), "K_x = 0")[0] == "undecided"


def test_scraps_beside_a_text_are_no_lines_that_a_result_hangs_on():
    scrap = ReadLine("1v]^V", 1, (0, 0, 9, 9), 0.5, (), (), "hand")
    wrong = _line("R_L = (8.1·1.2)/3.6 = 2.70 kN", 0.99)
    assert _verdict(scrap, wrong, "K_x = 0") == ("fault", "lever-arm")


def test_a_result_told_anew_at_once_is_not_borne_out_by_what_it_was_before():
    lines = (*RIGHT[:1], "R_L = 5.40 kN", "R_L = 4.50 kN", "K_y = 2.70 kN", "K_x = 0")
    assert _verdict(*(_line(text, 0.985) for text in lines)) == ("fault", "arithmetic")


def test_what_another_reading_has_as_expected_accuses_nobody_though_more_is_at_odds():
    wrong = "ΣM_K = 0: R_L·3.6 - 8.1·2.1 = 0 ∴ R_L = 2.1 kN"
    other = wrong.replace("8.1·2.1", "8.1·2.4")
    assert _verdict(_line(wrong, 0.8, (other, 0.1)), "K_x = 0")[0] == "undecided"
