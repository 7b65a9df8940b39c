"""Loads and supports of a sheet: what they come down to, exactly."""

from fractions import Fraction

import pytest

from verifier.structure import read_sheet
from verifier.structure.model import Couple, Force

BEAM = "joint A 0 0\njoint B 4 0\nbody deck: A, B\npin A\nroller B\n"


def beam(*more):
    return read_sheet("units kN, m\n" + BEAM + "\n".join(more))


def force(sheet, index=0):
    resultants = [one for load in sheet.loads for one in load.resultants()]
    one = resultants[index]
    assert isinstance(one, Force)
    numbers = sheet.letters
    return (
        one.size.number(numbers) * one.direction[0].number(numbers),
        one.size.number(numbers) * one.direction[1].number(numbers),
        one.at[0].number(numbers),
        one.at[1].number(numbers),
    )


@pytest.mark.parametrize(
    ("direction", "expected"),
    [
        ("up", (0, 5)),
        ("down", (0, -5)),
        ("left", (-5, 0)),
        ("right", (5, 0)),
        ("at 180 + atan(4/3)", (-3, -4)),
        ("at -acos(4/5)", (4, -3)),
        ("at asin(3/5)", (4, 3)),
        ("at 210", (-4.3301270, -2.5)),
        ("toward A", (-5, 0)),
        ("away from C", (0, -5)),
        ("Towards C", (0, 5)),
    ],
)
def test_directions(direction, expected):
    sheet = beam("joint C 4 3", f"load B 5 {direction}")
    assert force(sheet)[:2] == pytest.approx(expected)


@pytest.mark.parametrize(
    "direction", ["at 180 + atan(4/3)", "at -acos(4/5)", "at asin(3/5)", "toward D", "at 630"]
)
def test_rational_directions_are_exact(direction):
    sheet = beam("joint D 1 4", f"load B 5 {direction}")
    one = sheet.loads[0].resultants()[0]
    assert [part.op for part in one.direction] == ["num", "num"]


def test_roller_direction():
    sheet = read_sheet(BEAM.replace("roller B", "roller B at 120"))
    (unknown,) = sheet.supports[1].reactions()
    assert unknown.item == "reaction B"
    assert [part.number() for part in unknown.direction] == pytest.approx([-0.5, 3**0.5 / 2])


def test_fixed_end():
    sheet = read_sheet("joint A 0 0\njoint B 2 0\nbody bracket: A, B\nfixed A")
    items = [one.item for one in sheet.supports[0].reactions()]
    assert items == ["reaction A x", "reaction A y", "reaction A moment"]
    assert sheet.find == tuple(items)


def test_couple_is_on_the_only_body_or_the_one_named():
    one = beam("couple B 4 clockwise").loads[0].resultants()[0]
    assert isinstance(one, Couple)
    assert (one.moment.number(), one.on, one.label) == (-4, "deck", "the 4 kN m couple at B")
    text = BEAM + "joint C 8 0\nbody arm: B, C\nroller C\ncouple B 3 anticlockwise on arm"
    two = read_sheet(text).loads[0].resultants()[0]
    assert (two.moment.number(), two.on) == (3, "arm")


@pytest.mark.parametrize(
    ("units", "let", "weight"),
    [
        ("N, m", "", 250 * 9.81),
        ("kN, m", "let g = 9.8", 2.45),
        ("kgf, m", "", 250),
        ("lbf, ft", "", 250),
        ("kip, ft", "", 0.25),
    ],
)
def test_mass(units, let, weight):
    sheet = read_sheet(f"units {units}\n{let}\n{BEAM}mass B 250")
    assert force(sheet)[:2] == pytest.approx((0, -weight))


def test_exact_weight():
    assert beam("mass B 100").loads[0].size.exact() == Fraction(981, 1000)


def test_loads_that_would_be_called_alike_are_numbered():
    sheet = beam("load B 3 down", "load B 3 right", "load B 2 up")
    assert [load.label for load in sheet.loads] == [
        "the 3 kN load at B (no. 1)",
        "the 3 kN load at B (no. 2)",
        "the 2 kN load at B",
    ]


@pytest.mark.parametrize(("given", "used"), [("θ", "theta"), ("alpha_B", "αB"), ("Δ", "Delta")])
def test_greek_letters_spelt_out(given, used):
    assert force(beam(f"let {given} = 30", f"load B 4 at {used}"))[1] == pytest.approx(2)
