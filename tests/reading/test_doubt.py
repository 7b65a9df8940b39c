"""A reading as text and back."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from verifier.reading import as_text, from_text
from verifier.reading.lines import Reading, ReadLine


def _line(text: str, *others: tuple[str, float]) -> ReadLine:
    return ReadLine(text, 1, (0, 0, 9, 9), 0.8, others)


def _text(*lines: ReadLine) -> str:
    return as_text(Reading("page.jpg", lines))


def test_one_doubtful_glyph_is_shown_likeliest_first() -> None:
    assert _text(_line("P = 7 kN", ("P = 1 kN", 0.2))) == "P = ⟦7|1⟧ kN\n"


def test_several_options_share_a_place() -> None:
    line = _line("P = 7 kN", ("P = 1 kN", 0.1), ("P = / kN", 0.05))
    assert _text(line) == "P = ⟦7|1|/⟧ kN\n"


def test_two_places_stand_apart() -> None:
    line = _line("7 + 5", ("1 + 5", 0.1), ("7 + S", 0.1))
    assert _text(line) == "⟦7|1⟧ + ⟦5|S⟧\n"


def test_a_missing_mark_is_an_empty_option() -> None:
    assert _text(_line("P = 2.5", ("P = 25", 0.1))) == "P = 2⟦.|⟧5\n"
    assert _text(_line("P = 25", ("P = -25", 0.1))) == "P = ⟦|-⟧25\n"


def test_unlikely_options_are_not_shown() -> None:
    assert _text(_line("P = 7", ("P = 1", 0.001))) == "P = 7\n"


def test_text_comes_back_with_its_alternatives() -> None:
    (line,) = from_text("P = ⟦7|1⟧ kN\n").lines
    assert line.text == "P = 7 kN"
    assert [other for other, _ in line.alternatives] == ["P = 1 kN"]
    assert line.confidence + line.alternatives[0][1] == pytest.approx(1)
    assert line.confidence > line.alternatives[0][1]
    assert line.box is None


def test_a_corrected_line_is_sure() -> None:
    (line,) = from_text("P = 7 kN").lines
    assert (line.confidence, line.alternatives) == (1.0, ())


def test_every_way_of_two_places_is_there() -> None:
    (line,) = from_text("⟦7|1⟧ + ⟦5|S⟧").lines
    assert {line.text, *(other for other, _ in line.alternatives)} == {
        "7 + 5", "1 + 5", "7 + S", "1 + S",
    }  # fmt: skip


def test_a_line_of_a_thousand_doubts_is_bounded() -> None:
    (line,) = from_text("⟦7|1⟧" * 1000).lines
    assert len(line.alternatives) <= 30


def test_a_written_bar_survives() -> None:
    line = _line("|F| = 7", ("|F| = 1", 0.2), ("1F| = 7", 0.1))
    (again,) = from_text(_text(line)).lines
    assert again.text == "|F| = 7"
    assert "1F| = 7" in {other for other, _ in again.alternatives}


@pytest.mark.parametrize("text", ["⟦", "⟧⟦", "⟦⟧", "⟦|⟧", "a⟦b", "⟦⟦7|1⟧⟧"])
def test_odd_brackets_do_no_harm(text: str) -> None:
    assert len(from_text(text).lines) == 1


@given(st.text(alphabet="AB70O=+−. ()|", min_size=1, max_size=14), st.data())
def test_what_is_shown_first_is_the_reading(text: str, data: st.DataObject) -> None:
    at = data.draw(st.integers(0, len(text) - 1))
    other = text[:at] + data.draw(st.sampled_from("71O−")) + text[at + 1 :]
    line = _line(text, (other, 0.2)) if other != text else _line(text)
    (again,) = from_text(_text(line)).lines
    assert again.text == text
    assert other in {text, *(way for way, _ in again.alternatives)}
