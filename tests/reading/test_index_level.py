"""A page writes its indices in one way."""

from verifier.reading import index_level
from verifier.reading.hand_text import Written
from verifier.reading.hand_views import LOWERED_IS_USUAL, Told, ordered


def line(level, lowered, name="R"):
    """Return a line's two ways to write a name, with their log chances by ink."""
    texts = f"{name}A = 3", f"{name}_{{A}} = 3"
    ways = [
        Told(Written(text, (9,) * len(text), (0,) * len(text)), 0.0, [ink], [ink], ((n,), ()))
        for n, (text, ink) in enumerate(zip(texts, (level, lowered), strict=True))
    ]
    return {f"{name}A=3": ways}


def texts(lines):
    found = [ordered(groups) for groups in lines]
    return [one[0].reading.text for one in index_level.settled(found, lines)]


LEVEL, LOWERED, OPEN = line(-0.1, -9.0), line(-9.0, -0.1), line(-1.0, -1.0)


def test_open_names_are_written_as_the_others():
    assert texts([*[LEVEL] * 5, OPEN])[-1] == "RA = 3"
    assert texts([*[LOWERED] * 5, OPEN])[-1] == "R_{A} = 3"


def test_clear_ink_stays():
    clear = line(-0.1, -60.0)
    assert texts([*[LOWERED] * 5, clear])[-1] == "RA = 3"


def test_a_few_lines_tell_nothing():
    assert texts([LEVEL, OPEN])[-1] == "R_{A} = 3"
    assert index_level.habit([]) == LOWERED_IS_USUAL


def test_what_is_meant_and_its_chances_stay():
    lines = [*[LEVEL] * 5, OPEN]
    found = [ordered(groups) for groups in lines]
    for before, after in zip(found, index_level.settled(found, lines), strict=True):
        assert [one.score for one in before] == [one.score for one in after]
        assert [one.leads for one in before] == [one.leads for one in after]


def test_lines_without_readings_stay():
    assert index_level.settled([[]], [{}]) == [[]]
