"""Look-alikes in print that only one reading of can be written, and those that stay in doubt."""

import pytest

from verifier.notation.tree import Names
from verifier.reading.choice import Choice, text_of
from verifier.reading.repair import repaired

NAMES = Names(joints=frozenset("PQRS"))


def _line(text: str) -> list[Choice]:
    """Return choices for a line: ↓ before a glyph drops it, a space parts words."""
    made: list[Choice] = []
    space, script = False, 0
    for char in text:
        if char == " ":
            space = True
        elif char == "↓":
            script = 1
        else:
            at = len(made) * 20
            box = (at, 0, 10, 3 if char in "−-" else 20)
            made.append(Choice(char, box, 0.99, script, space and bool(made)))
            space, script = False, 0
    return made


@pytest.mark.parametrize(
    ("seen", "meant"),
    [
        ("S× = 6540 kN", "Sx = 6540 kN"),
        ("P × 3 = 6", "P × 3 = 6"),
        ("PQ = 5 [b", "PQ = 5 lb"),
        ("P↓−y = 4", "P_y = 4"),
        ("N_↓P↓Qv = 4", "N__{PQV} = 4"),
        ("6 sin a − 2 = 0", "6 sin α − 2 = 0"),
        ("6 sin 30 a = 0", "6 sin 30 a = 0"),
        ("PQ = 5 kN −", "PQ = 5 kN →"),
        ("PQ = 5 − 3", "PQ = 5 − 3"),
    ],
)
def test_a_sign_is_read_as_what_can_be_written(seen: str, meant: str) -> None:
    assert text_of(repaired(_line(seen), NAMES))[0] == meant


def test_a_lost_arrowhead_stays_in_doubt() -> None:
    last = repaired(_line("PQ = 5 kN −"), NAMES)[-1]
    assert last.sure < 0.8
    assert "←" in dict(last.others)


def test_figures_and_signs_between_terms_stay_as_seen() -> None:
    for line in ("PQ = 3 − 5 + 7 = 6", "P = 1 + 1 = 3", "−PQ + 8 = 0"):
        assert text_of(repaired(_line(line), NAMES))[0] == line
