"""A name that the sheet lacks is told, with what is near it there: offered, never taken."""

import pytest

import verifier
from verifier.reporting.words import words

HOIST = """units kN, m
joint P 0 0
joint Q 2.4 0
joint R 2.4 1.0
joint S 0 1.0
member P-Q, Q-R, P-R, R-S
pin P
pin S
load Q 6 down
load R 2.5 right
find P-R, R-S
"""


@pytest.mark.parametrize(
    ("lines", "told"),
    [
        ("Joint Q\nΣF_y = 0: F_QT − 6 = 2", "no meaning found for F_QT (nearest in the sheet: "),
        ("Joint R\n−QR − F_PT sin 22.62° = 3", "found for F_PT (nearest in the sheet: P-Q, P-R)"),
        ("Joint R\nF_PT + 2 F_WZ = 7.3", "found for F_PT, F_WZ (nearest in the sheet: P-Q, P-R)"),
        ("Joint R\n2 F_VU + 3 F_WZ = 7.3", "no meaning found for F_VU, F_WZ"),
    ],
)
def test_an_open_line_offers_what_its_name_may_mean(lines: str, told: str) -> None:
    result = verifier.check(HOIST, lines)
    assert not result.faults
    assert result.lines[-1].status == "undecided"
    assert told in result.lines[-1].note


@pytest.mark.parametrize("line", ["QT = 6 kN (T)", "F_QT = −6 kN"])
def test_a_value_for_a_misspelt_name_is_told_while_an_answer_is_missing(line: str) -> None:
    result = verifier.check(HOIST, f"Joint Q\nQR = 6 kN\n{line}")
    assert not result.faults
    (note,) = (note for note in result.notes if "no meaning" in note)
    assert note.startswith("Line 3: no meaning found for ")
    assert "Q-R" in note
    assert words("de").note(note).startswith("Zeile 3: keine Bedeutung gefunden für ")
    assert "Q-R" in words("de").note(note)


def test_a_name_of_the_writers_own_is_not_taken_for_a_misspelt_one() -> None:
    result = verifier.check(
        HOIST, "W = 6 kN\nd_1 = 2.4 m\nJoint Q\nΣF_y = 0: QR − W = 0\nQR = 6 kN"
    )
    assert not [note for note in result.notes if "no meaning" in note]
    assert all("no meaning" not in line.note for line in result.lines)
