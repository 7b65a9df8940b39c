"""Structures that equilibrium alone does not solve, and those that it only just does."""

import math
from dataclasses import replace

import pytest

from verifier.statics import NoSolution, solve
from verifier.structure import read_sheet
from verifier.structure.supports.fixed import Fixed

PANEL = """joint P 0 0
joint Q 3 0
joint R 3 2
joint S 0 2
member P-Q, Q-R, R-S, S-P
"""
DECK = """joint A 0 0
joint B 4 0
joint C 2 0
body deck: A, C, B
"""


def verdict(sheet):
    found = solve(read_sheet(sheet))
    assert isinstance(found, NoSolution)
    assert not found
    return found


@pytest.mark.parametrize(
    ("sheet", "detail"),
    [
        (PANEL + "pin P\nroller Q\nload S 5 right\n", "the part with R, S can move right"),
        (PANEL + "pin P\nroller Q\nload S 5 left\n", "the part with R, S can move left"),
        # Posts under load lean over, though the first look at equilibrium finds no fault.
        (PANEL + "pin P\nroller Q\nload S 5 down\n", "the part with R, S can move right"),
        (DECK + "pin A\nload C 5 down\n", "body deck can turn about A"),
        (DECK + "pin A\nroller B at 0\nload C 5 down\n", "body deck can turn about A"),
        (DECK + "roller A\nroller B\nload C 5 at 300\n", "body deck can move right"),
        (
            DECK + "roller A at 45\nroller B at 135\nroller C\nload C 3 right\n",
            "body deck can turn about the point (2, 2)",
        ),
        (
            "joint A 0 0\njoint B 2 0\njoint C 4 0\nmember A-B, B-C\npin A\npin C\nload B 3 down\n",
            "joint B can move down",
        ),
        (
            "joint A 0 0\njoint B 2 0\njoint C 4 0\nbody fore: A, B\nbody aft: B, C\n"
            "pin A\npin C\nload B 3 down\n",
            "body fore can turn about A while body aft can turn about C",
        ),
    ],
)
def test_a_mechanism_is_told_by_what_moves(sheet, detail):
    found = verdict(sheet)
    assert (found.reason, found.detail, found.degree) == ("mechanism", detail, 1)


@pytest.mark.parametrize(
    ("sheet", "degree", "redundant"),
    [
        (
            PANEL + "member P-R, Q-S\npin P\nroller Q\nload S 5 right\n",
            1,
            ("P-Q", "Q-R", "R-S", "S-P", "P-R", "Q-S"),
        ),
        (
            PANEL + "member P-R\npin P\npin Q\nload S 5 right\n",
            1,
            ("P-Q", "reaction P x", "reaction Q x"),
        ),
        (DECK + "fixed A\nroller B\nload C 5 down\n", 1, (
            "reaction A y", "reaction B", "reaction A moment")),
        (DECK + "pin A\nroller B\nroller C\nload C 5 down\n", 1, (
            "reaction A y", "reaction B", "reaction C")),
        (DECK + "fixed A\nfixed B\nload C 5 down\n", 3, (
            "reaction A x", "reaction A y", "reaction B x", "reaction B y",
            "reaction A moment", "reaction B moment")),
    ],
)  # fmt: skip
def test_an_indeterminate_structure_is_told_by_what_could_go(sheet, degree, redundant):
    found = verdict(sheet)
    assert (found.reason, found.degree, found.redundant) == ("indeterminate", degree, redundant)
    assert found.detail.startswith(f"to degree {degree}: ")
    for item in redundant if degree == 1 else ():
        assert item in found.detail


def test_an_indeterminate_structure_that_can_also_move_says_both():
    found = verdict(DECK + "roller A\nroller B\nroller C\nload C 5 down\n")
    assert found.reason == "indeterminate"
    assert found.detail.endswith("besides, body deck can move right")


def test_a_deck_on_rollers_alone_is_solved_where_nothing_pushes_it():
    solution = solve(read_sheet(DECK + "roller A\nroller B\nload C 5 down\n"))
    assert solution.values["reaction A"] == 2.5
    assert solution.notes == ("body deck can move right, but these loads do not push it",)


def test_what_hangs_is_solved_and_what_stands_on_links_is_not():
    hung = (
        "joint A 0 3\njoint B 4 3\njoint C 0 0\njoint D 4 0\njoint E 1 0\n"
        "cable A-C, B-D\nbody boat: C, E, D\npin A\npin B\nload E 10 down\n"
    )
    assert solve(read_sheet(hung)).values["A-C"] == 7.5
    stood = hung.replace("load E 10 down", "load E 10 up")
    found = verdict(stood)
    assert found.reason == "mechanism"
    assert "can move right" in found.detail


def test_a_joint_a_hair_off_the_line_is_solved_right():
    sag = 1e-9
    sheet = (
        "units kN, mm\njoint A 0 0\njoint B 2000 -0.000001\njoint C 4000 0\n"
        "member A-B, B-C\npin A\npin C\nload B 3 down\n"
    )
    solution = solve(read_sheet(sheet))
    assert solution.values["A-B"] == pytest.approx(1.5 * 2000 / (sag * 1000), rel=1e-12)
    assert "within a hair of a mechanism" in solution.notes[0]


def test_collinear_in_surds_or_odd_angles_is_still_collinear():
    for x, y in (("sqrt(2)", "sqrt(6)"), ("cos(37)", "sin(37)")):
        sheet = (
            f"joint A 0 0\njoint B {x} {y}\njoint C 3*{x} 3*{y}\n"
            "member A-B, B-C\npin A\npin C\nload B 3 right\n"
        )
        assert verdict(sheet).reason == "mechanism"


def test_millimetres_beside_kilometres():
    sheet = (
        "units N, mm\njoint A 0 0\njoint B 2000000 0\njoint C 2000001 0\njoint D 2000000 1\n"
        "body span: A, B\nbody tip: B, C, D\nmember D-A\nfixed A\nload C 10 down\n"
    )
    values = solve(read_sheet(sheet)).values
    # The tip turns about B: 10 · 1 = D-A's pull, 1 mm above B, but for its minute slope.
    assert values["D-A"] == pytest.approx(10, rel=1e-6)
    assert values["reaction A moment"] == pytest.approx(10 * 2000001, rel=1e-9)


def test_a_fixed_end_with_two_bodies_is_refused_by_name():
    structure = read_sheet(
        "joint A 0 0\njoint B 2 0\njoint C -2 0\nbody one: A, B\nbody two: A, C\n"
        "pin A\nload B 1 down\n"
    )
    found = solve(replace(structure, supports=(Fixed("A"),)))
    assert isinstance(found, NoSolution)
    assert found.reason == "not solved"
    assert "one and two" in found.detail


def test_no_load_gives_no_forces():
    values = solve(read_sheet(DECK + "pin A\nroller B\n")).values
    assert set(values.values()) == {0.0}


def test_loads_of_any_size():
    for size in (1e-9, 1e12):
        solution = solve(read_sheet(DECK + f"pin A\nroller B\nload C {size:.20f} down\n"))
        assert solution.values["reaction B"] == pytest.approx(size / 2, rel=1e-12)
        assert math.isfinite(solution.values["reaction A x"])
