"""One decimal sign a page: what looks like the other one is settled by the rest."""

import pytest

from verifier.reading.decimal_sign import agreed, signs, with_sign
from verifier.reading.lines import ReadLine


def line(text, confidence=0.8, others=()):
    return ReadLine(text, 1, (0, 0, 9, 9), confidence, tuple(others))


def texts(*lines):
    return [one and one.text for one in agreed(lines)]


def test_most_of_a_page_settles_the_rest():
    page = line("F = 2.5 kN"), line("R_{A} = 1,5·0.75"), None, line("M = 12.25 kNm")
    assert texts(*page) == ["F = 2.5 kN", "R_{A} = 1.5·0.75", None, "M = 12.25 kNm"]


def test_a_page_with_commas_keeps_them():
    page = line("F = 2,5 kN"), line("R_{A} = 1,5·0,75"), line("M = 12.25 kNm")
    assert texts(*page)[2] == "M = 12,25 kNm"


def test_signs_at_odds_stay_as_they_are():
    page = line("F = 2,5 kN"), line("R = 1.5 kN")
    assert texts(*page) == ["F = 2,5 kN", "R = 1.5 kN"]


@pytest.mark.parametrize("text", ["P = 1,250 N", "C(3,4)", "1,2,3", "A, B", "F_{1,2}"])
def test_other_commas_stay(text):
    assert signs(text) == []
    assert texts(line("F = 2.5"), line("F = 4.5·2.75"), line(text))[2] == text


def test_readings_that_have_become_one_count_together():
    page = [line("F = 2.5·1.25 + 3.5"), line("V = 1,5", 0.5, [("V = 1.5", 0.3), ("V = 7,5", 0.1)])]
    told = agreed(page)[1]
    assert told.text == "V = 1.5"
    assert told.alternatives == (("V = 7.5", 0.1),)


def test_a_sign_keeps_its_place():
    assert len(with_sign("T = 0,125·3,5", ".")) == len("T = 0,125·3,5")
