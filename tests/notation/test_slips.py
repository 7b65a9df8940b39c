"""Syntax slips answered by name, with a pointer; the rest of the line goes on."""

import pytest

from verifier.notation import read_line
from verifier.notation.slips import SLIPS
from verifier.notation.tree import Names, Relation, Unread

NAMES = Names(frozenset("AB"), frozenset(), frozenset({("A", "B")}), frozenset({"T"}))
CASES = [(slip.label, example) for slip in SLIPS for example in slip.examples]


@pytest.mark.parametrize(("label", "example"), CASES)
def test_each_slip_is_known_by_its_examples(label: str, example: str) -> None:
    unread = [p for p in read_line(example, 1, NAMES).parts if isinstance(p, Unread)]
    assert [part.slip for part in unread] == [label]


@pytest.mark.parametrize(
    ("text", "at"),
    [
        ("8(2.4 − 3 = 0", 1),
        ("A_y + 3) − 6 = 0", 7),
        ("A_y + = 6", 6),
        ("A_y = 2.5.3", 6),
        ("A_y = 4.5 3", 10),
        ("A_y = 4 & 5", 8),
        ("A_y × kN = 3", 6),
    ],
)
def test_the_pointer_stands_where_understanding_stopped(text: str, at: int) -> None:
    unread = next(p for p in read_line(text, 1, NAMES).parts if isinstance(p, Unread))
    assert unread.at == at, text[unread.at :]
    assert unread.reason


def test_the_rest_of_the_line_goes_on() -> None:
    parts = read_line("A_x + (3 = 0; A_y = 3", 1, NAMES).parts
    assert [type(part) for part in parts] == [Unread, Relation]


def test_labels_are_unique_and_have_a_message() -> None:
    labels = [slip.label for slip in SLIPS]
    assert len(set(labels)) == len(labels)
    assert all(slip.message for slip in SLIPS)
