"""Mirror symmetry about an upright axis."""

import pytest

from verifier.statics import is_symmetric
from verifier.structure import read_sheet

ROOF = """joint A 0 0
joint B 6 0
joint C 3 0
joint D 3 2
member A-C, C-B, A-D, D-B, C-D
pin A
roller B
load {at} {load}
"""
DECK = """joint A 0 0
joint B 6 0
joint C 2 0
joint D 4 0
body deck: A, C, D, B
{supports}
load C 5 down
{more}
"""


def axis(sheet):
    return is_symmetric(read_sheet(sheet))


def test_a_pin_and_a_roller_mirror_each_other():
    assert axis(ROOF.format(at="D", load="8 down")) == 3.0
    assert axis(ROOF.format(at="D", load="8 at 280")) is None
    assert axis(ROOF.format(at="A", load="8 down")) is None
    assert axis(ROOF.format(at="D", load="8 down").replace("joint C 3 0", "joint C 2.9 0")) is None
    assert axis(ROOF.format(at="D", load="8 down").replace("roller B", "roller B at 60")) is None


@pytest.mark.parametrize(
    ("more", "expected"),
    [
        ("load D 5 down", 3.0),
        ("load D 4 down", None),
        ("load D 5 down\ndistributed A-B 2 down", 3.0),
        ("load D 5 down\ndistributed A-B 2 to 3 down", None),
        ("load D 5 down\ndistributed A-C 1 to 2 down\ndistributed D-B 2 to 1 down", 3.0),
        ("load D 5 down\ncouple A 3 clockwise\ncouple B 3 anticlockwise", 3.0),
        ("load D 5 down\ncouple A 3 clockwise\ncouple B 3 clockwise", None),
        ("load D 5 down\nload A 2 right\nload B 2 left", 3.0),
        ("load D 5 down\nload A 2 right\nload B 2 right", None),
    ],
)
def test_loads_must_mirror(more, expected):
    assert axis(DECK.format(supports="pin A\nroller B", more=more)) == expected


def test_supports_must_mirror():
    for supports, expected in (
        ("roller A at 60\nroller B at 120\nroller C\nroller D", 3.0),
        ("roller A at 60\nroller B at 60", None),
        ("pin A\npin B", 3.0),
        ("pin A\nroller D", None),
    ):
        assert axis(DECK.format(supports=supports, more="load D 5 down")) == expected
