"""Structures worked by hand: the figures here come from paper, not from the program."""

import math

import pytest
from worked_sheets import BEAM, HOIST

from verifier.statics import answers, solve
from verifier.structure import read_sheet

WALL = """units kN, m
joint A 0 0
joint B 3 0
body arm: A, B
fixed A
distributed A-B 6 to 0 down
load B 2 down
"""

RAMP = """units kN, m
joint A 0 0
joint K 2.5 0
joint B 4 0
body ramp: A, K, B
pin A
roller B at 120
load K 9 down
"""

TRESTLE = """units kN, m
joint A 0 0
joint B 3 0
joint C 1.5 4
joint D 0.375 1
joint E 2.625 1
body left: A, D, C
body right: B, E, C
member D-E
pin A
roller B
load C 2 down
"""

ARCH = """units kN, m
joint A 0 0
joint B 4 3
joint C 8 0
body fore: A, B
body aft: B, C
pin A
pin C
load B 6 right
"""

GANGWAY = """units kN, m
joint A 0 0
joint H 4 0
joint G 7 0
joint B 10 0
body shore: A, H
body float: H, G, B
fixed A
roller B
distributed A-H 2 down
load G 8 down
"""

SLING = """units N, m
joint A -3 4
joint B 4 3
joint K 0 0
joint H 0 -1
cable A-K, B-K, K-H
pin A
pin B
load H 100 down
"""

BOOM = """units kN, m
joint A 0 0
joint K 3 0
joint B 4 0
joint W 0 3
body boom: A, K, B
cable B-W
pin A
pin W
load K 8 down
"""

WORKED = {
    # ΣM_P: S_x = −(6 · 2.4 + 2.5 · 1); joint Q: QR = 6; joint P: PR = −14.4 · 2.6/2.4.
    "hoist": (HOIST, {
        "reaction P x": 14.4, "reaction P y": 6, "reaction S x": -16.9, "reaction S y": 0,
        "P-Q": 0, "Q-R": 6, "P-R": -15.6, "R-S": 16.9,
    }),
    # 21 kN at 3.4286 m: C = (12 + 72 + 4)/5; left of B: 9.4 − 4 − 1 and 18.8 − 4 − 2/3.
    "beam": (BEAM, {
        "reaction A x": 0, "reaction A y": 9.4, "reaction C": 17.6, "axial at B": 0,
        "shear at B": 4.4, "shear at B, right": -1.6, "moment at B": 212 / 15,
        "moment at D": -4, "moment at A": 0,
    }),
    "wall": (WALL, {
        "reaction A x": 0, "reaction A y": 11, "reaction A moment": 15, "shear at A": 11,
        "moment at A": -15, "moment at B": 0, "shear at B": 2,
    }),
    "ramp": (RAMP, {
        "reaction B": 22.5 / (4 * math.sin(math.radians(60))),
        "reaction A x": 22.5 / 4 / math.sqrt(3),
        "reaction A y": 9 - 22.5 / 4,
    }),
    # Each leg carries 1 kN; about C: DE · 3 = 1 · 1.5.
    "trestle": (TRESTLE, {
        "reaction A x": 0, "reaction A y": 1, "reaction B": 1, "D-E": 0.5,
        "pin C x on left": -0.5, "pin C y on left": -1, "pin C x on right": 0.5,
        "pin D x on left": 0.5, "pin D y on left": 0,
    }),
    # Both bodies are two-force: 5 kN along each of two 3-4-5 slopes.
    "arch": (ARCH, {
        "reaction A x": -3, "reaction A y": -2.25, "reaction C x": -3, "reaction C y": 2.25,
        "pin B x on fore": 3, "pin B y on fore": 2.25, "pin B x on aft": 3, "pin B y on aft": -2.25,
        "axial at A": 3.75,
    }),
    # The float carries 4 and 4; on the shore arm 8 at 2 m and 4 at 4 m.
    "gangway": (GANGWAY, {
        "reaction B": 4, "pin H y on float": 4, "pin H y on shore": -4, "reaction A y": 12,
        "reaction A moment": 32, "moment at A": -32, "moment at G": 12,
    }),
    # Perpendicular cables: 100 N resolved along 4-3-5 slopes.
    "sling": (SLING, {"A-K": 80, "B-K": 60, "K-H": 100, "reaction A y": 64, "reaction B x": 48}),
    # About A: T · (3/5) · 4 = 8 · 3.
    "boom": (BOOM, {
        "B-W": 10, "reaction A x": 8, "reaction A y": 2, "pin B x on boom": -8,
        "pin B y on boom": 6, "pin A x on boom": 8, "pin A y on boom": 2,
        "moment at K": 6, "axial at K": -8,
    }),
}  # fmt: skip


@pytest.mark.parametrize("name", WORKED)
def test_the_solution_is_that_on_paper(name):
    sheet, expected = WORKED[name]
    solution = solve(read_sheet(sheet))
    for item, value in expected.items():
        assert solution.values[item] == pytest.approx(value, abs=1e-9), item
        assert float(solution.exact(item)) == pytest.approx(value, abs=1e-9), item


def test_values_are_free_of_the_dust_of_floats():
    values = solve(read_sheet(HOIST)).values
    assert values["reaction P x"] == 14.4
    assert values["P-R"] == -15.6
    assert str(values["P-Q"]) == "0.0"


def test_an_item_that_is_none_raises_key_error():
    values = solve(read_sheet(HOIST)).values
    for item in ("P-S", "shear at Q", "moment at Nowhere", "pin P x on deck", "nonsense"):
        assert item not in values
        with pytest.raises(KeyError):
            values[item]


def test_answers_carry_units_and_senses():
    sheet = read_sheet(WALL + "find reactions, moment at A, axial at A, shear at B\n")
    said = {one.item: (one.value, one.unit, one.sense) for one in answers(sheet, solve(sheet))}
    assert said == {
        "reaction A x": (0.0, "kN", ""),
        "reaction A y": (11.0, "kN", "up"),
        "reaction A moment": (15.0, "kN m", "anticlockwise"),
        "moment at A": (-15.0, "kN m", ""),
        "axial at A": (0.0, "kN", ""),
        "shear at B": (2.0, "kN", ""),
    }


def test_answers_of_an_inclined_roller_and_of_bars():
    sheet = read_sheet(RAMP)
    assert [one.sense for one in answers(sheet, solve(sheet))] == ["right", "up", "up and left"]
    hoist = read_sheet(HOIST + "find P-R, R-S, P-Q\n")
    assert [one.sense for one in answers(hoist, solve(hoist))] == ["compression", "tension", ""]


def test_a_cable_that_would_push_is_named():
    turned = BOOM.replace("load K 8 down", "load K 8 up")
    assert solve(read_sheet(turned)).notes == ("cable B-W would have to push",)
    assert solve(read_sheet(BOOM)).notes == ()


def test_a_load_shared_by_a_member_acts_once_on_the_whole():
    sheet = read_sheet(
        "joint A 0 0\njoint B 3 0\njoint C 0 4\nmember A-B, B-C\npin A\npin C\n"
        "distributed A-B 4 down\n"
    )
    values = solve(sheet).values
    # ΣM_A: C_x · 4 = −12 · 1.5; joint B: 6 = BC · 4/5.
    assert values["reaction C x"] == pytest.approx(-4.5)
    assert values["B-C"] == pytest.approx(7.5)
