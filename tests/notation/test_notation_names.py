"""Names: what a dress may mean, and how runs of letters fall apart by the table of names."""

import pytest

from verifier.notation import dress, likely, read_line
from verifier.notation.tree import Mul, Name, Names, Relation, walk

NAMES = Names(
    frozenset({"A", "B", "L0", "U1", "U12"}),
    frozenset(),
    frozenset({("A", "B"), ("L0", "U1"), ("U1", "U12")}),
    frozenset({"w", "L", "θ", "T"}),
)


def name(text: str) -> Name:
    relation = read_line(f"{text} = 0", 1, NAMES).parts[0]
    assert isinstance(relation, Relation)
    found = relation.sides[0]
    assert isinstance(found, Name), relation
    return found


@pytest.mark.parametrize(
    ("written", "wanted"),
    [
        ("AB", ("member", "A", "B")),
        ("F_AB", ("member", "A", "B")),
        ("T_{BA}", ("member", "B", "A")),
        ("FAB", ("member", "A", "B")),
        ("U1U12", ("member", "U1", "U12")),
        ("F_{U1-U12}", ("member", "U1", "U12")),
        ("L0–U1", ("member", "L0", "U1")),
        ("A_y", ("reaction", "A", "y")),
        ("Ay", ("reaction", "A", "y")),
        ("A_V", ("reaction", "A", "y")),
        ("V_A", ("reaction", "A", "y")),
        ("H_A", ("reaction", "A", "x")),
        ("X_A", ("reaction", "A", "x")),
        ("R_A", ("reaction", "A", "")),
        ("RA", ("reaction", "A", "")),
        ("R_Ax", ("reaction", "A", "x")),
        ("R_{A,x}", ("reaction", "A", "x")),
        ("F_{Ay}", ("reaction", "A", "y")),
        ("L0_y", ("reaction", "L0", "y")),
        ("M_A", ("moment", "A")),
        ("MA", ("moment", "A")),
        ("A_x", ("pin", "A", "x")),
        ("F_A", ("force", "A")),
        ("θ", ("letter", "θ")),
        ("theta", ("letter", "θ")),
        ("T₁", ("letter", "T1")),
        ("T_1", ("letter", "T1")),
    ],
)
def test_a_dress_lists_what_it_may_mean(written: str, wanted: tuple[str, ...]) -> None:
    assert wanted in dress(name(written))


def test_a_phrase_is_a_quantity_of_its_own() -> None:
    relation = read_line("Load on deck = 3 × 4", 1, NAMES).parts[0]
    assert isinstance(relation, Relation)
    assert isinstance(relation.sides[0], Name)
    assert dress(relation.sides[0]) == (("words", "load on deck"),)


@pytest.mark.parametrize(
    ("text", "factors"),
    [
        ("2AB", ["AB"]),
        ("wL", ["w", "L"]),
        ("4.5T sin40", ["T"]),
        ("ABsin30", ["AB"]),
        ("U1U12cosθ", ["U1U12", "θ"]),
        ("3/5AB", ["AB"]),
        ("F_ABcos30", ["F_AB"]),
        ("8By", ["By"]),
        ("2wL", ["w", "L"]),
        ("Tsinθ", ["T", "θ"]),
        ("XYZ", ["XYZ"]),
    ],
)
def test_runs_of_letters_fall_apart_by_the_table(text: str, factors: list[str]) -> None:
    relation = read_line(f"{text} = 0", 1, NAMES).parts[0]
    assert isinstance(relation, Relation)
    found = [node.text for node in walk(relation.sides[0]) if isinstance(node, Name)]
    assert found == factors


def test_a_hyphen_between_joints_of_a_member_is_a_name_else_a_difference() -> None:
    member = read_line("A-B = 3", 1, NAMES).parts[0]
    difference = read_line("A-U1 = 3", 1, NAMES).parts[0]
    spaced = read_line("A - B = 3", 1, NAMES).parts[0]
    assert isinstance(member, Relation)
    assert isinstance(difference, Relation)
    assert isinstance(spaced, Relation)
    assert isinstance(member.sides[0], Name)
    assert not isinstance(difference.sides[0], Name)
    assert not isinstance(spaced.sides[0], Name)


def test_what_looks_like_a_unit_is_a_name_where_the_sheet_has_it() -> None:
    names = Names(letters=frozenset({"m"}))
    relation = read_line("3m + 2 = 0", 1, names).parts[0]
    assert isinstance(relation, Relation)
    assert any(isinstance(node, Mul) for node in walk(relation.sides[0]))
    length = read_line("a = 3 m", 1, NAMES).parts[0]
    assert isinstance(length, Relation)
    assert length.sides[1].unit is not None  # type: ignore[union-attr]


def test_a_misspelt_name_is_offered_what_it_may_mean() -> None:
    assert likely(Name((0, 4), "F_AC", "F", "AC"), NAMES) == ("A-B",)
    assert likely(Name((0, 4), "F_AB", "F", "AB"), NAMES) == ()
    assert likely(Name((0, 2), "AQ", "AQ"), NAMES) == ("A-B", "A_x", "A_y")
