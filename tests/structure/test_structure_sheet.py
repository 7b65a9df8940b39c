"""Sheets that hold: every statement of the language, and the exact values that come out."""

import pytest

from verifier.structure import new_sheet, read_sheet

BEAM = "joint A 0 0\njoint B 4 0\nbody deck: A, B\npin A\nroller B\n"


def beam(*more):
    return read_sheet("units kN, m\n" + BEAM + "\n".join(more))


def test_the_sheet_to_start_from_is_valid():
    sheet = read_sheet(new_sheet())
    assert sheet.title == "Slip hoist bracket"
    assert [member.name for member in sheet.members] == ["P-Q", "Q-R", "P-R", "R-S"]
    assert sheet.find[-2:] == ("P-R", "R-S")
    assert [load.label for load in sheet.loads] == ["the 6 kN load at Q", "the 2.5 kN load at R"]


def test_words_are_case_insensitive_and_names_are_not():
    sheet = read_sheet(
        "JOINT a 0 0\nJoint A 1 0\nMember a-A\nPIN a\nRoller A AT 90\nFind All Members"
    )
    assert list(sheet.joints) == ["a", "A"]
    assert sheet.find == ("a-A",)


def test_without_units_newtons_and_metres():
    sheet = read_sheet(BEAM)
    assert (sheet.force_unit, sheet.length_unit) == ("N", "m")


@pytest.mark.parametrize("words", ["KN, MM", "kn, mm", "kN , mm"])
def test_units_in_any_case(words):
    sheet = read_sheet(f"units {words}\n" + BEAM)
    assert (sheet.force_unit, sheet.length_unit) == ("kN", "mm")


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("2.5", 2.5),
        ("2 - 1", 1),
        ("-2^2", -4),
        ("2 ** -2", 0.25),
        ("(1+2)*3/4", 2.25),
        ("4 · 2 ÷ 16", 0.5),
        ("sqrt(2.25)", 1.5),
        ("sin 30", 0.5),
        ("180 + atan(4/3)", 233.13010235),
        ("2 × cos(60°)", 1),
        ("1e-3", 0.001),
        ("—3 + 4", 1),
    ],
)
def test_values(text, expected):
    sheet = beam(f"let q = {text}")
    assert sheet.lets["q"].number() == pytest.approx(expected)


@pytest.mark.parametrize(
    ("text", "place"),
    [
        ("0 -3", (0, -3)),
        ("-1 -2", (-1, -2)),
        ("2-1 3", (1, 3)),
        ("2 - 1 3 - 5", (1, -2)),
        ("+2 +1", (2, 1)),
        ("a 2a", (1.5, 3)),
        ("3 * -1 -b/2", (-3, -2)),
        ("3*(2 -1) 1", (3, 1)),
    ],
)
def test_coordinates(text, place):
    sheet = beam("let a = 1.5", "let b = 4", f"joint Z {text}")
    assert sheet.point("Z") == pytest.approx(place)


def test_lets_angles_and_joints_in_any_order():
    sheet = read_sheet(
        "joint B L 0\nlet L = 2*h\nlet h = 1 + sin(t)\nangle t = A-C to A-D\n"
        "joint A 0 0\njoint C 1 0\njoint D 3 3\nbody deck: A, C, B\npin A\nroller B"
    )
    assert sheet.point("B")[0] == pytest.approx(2 * (1 + 0.5**0.5))
    assert sheet.angles["t"].between == ("A", "C", "A", "D")
    assert list(sheet.joints) == ["B", "A", "C", "D"]


@pytest.mark.parametrize("name", ["T1", "T_1", "T₁"])
def test_one_name_in_three_spellings(name):
    assert beam("let T1 = 3", f"load B {name} down").loads[0].size.number() == 3


def test_letters_stay_letters_with_positive_stand_ins():
    sheet = read_sheet("let P\nlet a\nlet θ\n" + BEAM.replace("4", "2*a") + "load B P at θ")
    assert set(sheet.letters) == {"P", "a", "θ"}
    assert all(number > 1 for number in sheet.letters.values())
    assert 20 < sheet.letters["θ"] < 70
    assert sheet.letters == read_sheet(sheet.source).letters
    assert sheet.loads[0].label == "the load P at B"
    assert str(sheet.joints["B"].x.exact()) == "2*a"


def test_calls_and_angles():
    sheet = beam(
        "joint C 4 3",
        "member A-C, B-C",
        "load C 5 right",
        "call T = force C-A",
        "call W = load C",
        "call L = length A-B",
        "call V = reaction A y",
        "angle θ = 30",
    )
    assert sheet.calls == {
        "T": ("item", "A-C"),
        "W": ("load", "C"),
        "L": ("length", "A", "B"),
        "V": ("item", "reaction A y"),
    }
    assert sheet.angles["θ"].degrees.number() == 30


@pytest.mark.parametrize(
    ("lines", "degrees"),
    [
        ("A-B to A-C", 36.8698976),
        ("C-A to C-B", 53.1301024),
        ("B-A to B-C", 90),
        ("B-A to A-C", 143.1301024),
        ("A-D to A-B", 45),
    ],
)
def test_angle_between_lines(lines, degrees):
    sheet = beam("joint C 4 3", "joint D 2 2", f"angle t = {lines}")
    assert sheet.angles["t"].degrees.number() == pytest.approx(degrees)


def test_find_and_marks():
    sheet = beam(
        "joint C 2 0",
        "body arm: B, C",
        "find reaction A, reaction B, pin B y on arm, moment at C, axial at C",
        "find shear at B",
        "marks reaction A y 2",
        "marks moment at C 3",
    )
    assert sheet.find == (
        "reaction A x",
        "reaction A y",
        "reaction B",
        "pin B y on arm",
        "moment at C",
        "axial at C",
        "shear at B",
    )
    assert sheet.marks == {"reaction A y": 2, "moment at C": 3}


def test_members_under_the_name_of_the_sheet():
    sheet = beam("joint C 2 3", "member A-C", "cable C-B", "find B-C, C-A")
    assert sheet.find == ("C-B", "A-C")
    assert [member.cable for member in sheet.members] == [False, True]


def test_a_particle_on_cables():
    sheet = read_sheet(
        "joint M 0 0\njoint U -3 4\njoint V 5 12\ncable M-U, M-V\npin U\npin V\nmass M 40"
    )
    assert sheet.find[-2:] == ("M-U", "M-V")


def test_joints_may_be_numbers():
    sheet = read_sheet("joint 1 0 0\njoint 2 3 0\nmember 1-2\npin 1\nroller 2\nload 2 5 down")
    assert sheet.find[-1] == "1-2"


def test_comments_blank_lines_and_line_ends():
    sheet = read_sheet("\ufeff# a comment\r\n\r\n" + BEAM.replace("\n", "  # here too\r\n"))
    assert list(sheet.joints) == ["A", "B"]
