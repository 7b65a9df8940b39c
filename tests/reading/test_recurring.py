"""What recurs on a page is likelier where a line leaves doubt, and nowhere else."""

from verifier.reading.lines import ReadLine
from verifier.reading.recurring import settled


def _line(text: str, sure: float, *others: tuple[str, float]) -> ReadLine:
    return ReadLine(text, 1, (0, 0, 9, 9), sure, others, (None,) * len(text), "hand")


PAGE = [_line("Q_{x} = 4,2 kN", 0.99), _line("F_{PQ} + Q_{x} = 0", 0.99)]


def test_a_name_that_the_page_shows_is_likelier() -> None:
    doubtful = _line("0 = 3 - O_{x}", 0.35, ("0 = 3 - Q_{x}", 0.3))
    found = settled([*PAGE, doubtful])[-1]
    assert found is not None
    assert found.text == "0 = 3 - Q_{x}"
    assert abs(found.confidence + found.alternatives[0][1] - 0.65) < 1e-9


def test_a_figure_that_was_read_with_certainty_stays_though_another_one_recurs() -> None:
    slip = _line("Q_{x} = 4,5 kN", 0.98, ("Q_{x} = 4,2 kN", 0.01))
    assert settled([*PAGE, slip])[-1] == slip


def test_a_reading_that_is_far_less_likely_is_not_preferred() -> None:
    slip = _line("Q_{x} = 4,5 kN", 0.93, ("Q_{x} = 4,2 kN", 0.02))
    found = settled([*PAGE, slip])[-1]
    assert found is not None
    assert found.text == slip.text


def test_what_recurs_weighs_alike_whether_it_is_right_or_wrong() -> None:
    for shown, other in (("4,2", "4,7"), ("4,7", "4,2")):
        page = [_line(f"Q_{{x}} = {shown} kN", 0.99)]
        doubtful = _line(f"{other} - 3 = 1", 0.3, (f"{shown} - 3 = 1", 0.3))
        found = settled([*page, doubtful])[-1]
        assert found is not None
        assert found.text == f"{shown} - 3 = 1"


def test_signs_are_not_weighed_and_missing_lines_stay_missing() -> None:
    minus = _line("Q_{x} - 3 = 0", 0.4, ("Q_{x} + 3 = 0", 0.39))
    found = settled([*PAGE, minus, None])
    assert found[-1] is None
    assert found[-2] is not None
    assert found[-2].text == minus.text
