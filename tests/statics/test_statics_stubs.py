"""Inner forces of bodies with stubs, against sums over one side of the cut worked by hand."""

from itertools import permutations

import pytest

from verifier.statics import solve
from verifier.structure import read_sheet

# A 6 m beam on A and B; C, D lie at 2 m and 5 m, the cut K at 4 m.
BEAM = """units kN, m
joint A 0 0
joint C 2 0
joint K 4 0
joint D 5 0
joint B 6 0
{joints}
body beam: {order}
pin A
roller B
{loads}
"""


def beam(order, joints, loads):
    return read_sheet(BEAM.format(order=order, joints=joints, loads=loads))


def cut(structure, joint="K", side=""):
    values = solve(structure).values
    said = f"{joint}, {side}" if side else joint
    return [values[f"{what} at {said}"] for what in ("axial", "shear", "moment")]


def near(*numbers):
    return pytest.approx(numbers, abs=1e-9)


@pytest.mark.parametrize("order", [", ".join(order) for order in permutations("ACKBT")])
def test_a_stub_stands_on_its_foot_in_any_order_of_the_list(order):
    loads = "load T 9 right\nload K 6 down\ndistributed C-K 2 down"
    structure = beam(order, "joint T 2 1.5", loads)
    # ΣM_A: 6 B = 9·1.5 + 4·3 + 6·4 = 49.5; on the right of K acts B alone, with K's own 6 kN.
    assert cut(structure, side="right") == near(0, -8.25, 8.25 * 2)
    assert cut(structure) == near(0, 6 - 8.25, 8.25 * 2)
    assert float(solve(structure).exact("moment at K")) == pytest.approx(16.5)


@pytest.mark.parametrize(
    "order", ["A, C, K, B, T", "T, A, C, K, B", "A, T, C, K, B", "A, C, T, K, B"]
)
def test_a_stub_hangs_down_as_well(order):
    # The 9 kN below the beam turn the other way: 6 B = −9·1.5 + 6·4 = 10.5.
    structure = beam(order, "joint T 2 -1.5", "load T 9 right\nload K 6 down")
    assert cut(structure, side="right") == near(0, -1.75, 1.75 * 2)


@pytest.mark.parametrize(
    "order", ["T, A, C, K, B", "B, K, C, A, T", "A, T, C, K, B", "T, A, K, C, B"]
)
def test_a_stub_at_an_end(order):
    # 6 B = 9·1.5 = 13.5; left of K: A's 9 kN to the left and 9 kN at T to the right.
    structure = beam(order, "joint T 0 1.5", "load T 9 right")
    assert cut(structure) == near(0, -2.25, 2.25 * 2)


@pytest.mark.parametrize(
    "order",
    ["A, C, T, K, D, S, B", "T, A, C, K, D, B, S", "S, A, C, K, D, B, T", "A, S, C, K, T, D, B"],
)
def test_several_stubs(order):
    # 6 B = 8·1 + 5·5 − 4·2 = 25 with S 2 m below D; right of K: 5 kN at D, B, and 4 kN at S.
    structure = beam(
        order, "joint T 2 1\njoint S 5 -2", "load T 8 right\nload D 5 down\nload S 4 right"
    )
    up = 25 / 6
    assert cut(structure) == near(4, 5 - up, up * 2 - 5 * 1 + 4 * 2)


@pytest.mark.parametrize("order", ["A, C, K, B, T, U", "A, C, T, U, K, B", "U, T, A, C, K, B"])
def test_a_stub_of_two_joints_is_cut_along_itself(order):
    structure = beam(order, "joint U 2 1\njoint T 2 3", "load T 7 right\nload U 1 left")
    # 6 B = 7·3 − 1·1 = 20; above U: 7 kN to the right at 2 m, U's own load below the cut.
    assert cut(structure) == near(0, -20 / 6, 20 / 6 * 2)
    assert [abs(value) for value in cut(structure, "U", "right")] == near(0, 7, 14)
    assert [abs(value) for value in cut(structure, "U", "left")] == near(0, 6, 14)


def test_a_load_along_a_stub_acts_at_its_foot():
    structure = beam("A, C, K, B, T", "joint T 2 2", "distributed C-T 3 right")
    # 6 B = 6·1; right of K acts B alone.
    assert cut(structure) == near(0, -1, 2)
    # Right of C the beam holds B alone, left of it A: 1 kN down, 6 kN to the left.
    assert cut(structure, "C", "left") == near(6, -1, -2)
    assert cut(structure, "C", "right") == near(0, -1, 4)


def test_a_stub_on_the_post_of_a_frame():
    structure = read_sheet(
        "units kN, m\njoint A 0 0\njoint H 0 2\njoint M 0 3\njoint B 0 4\njoint K 1 4\n"
        "joint C 3 4\njoint T 1 2\n"
        "body frame: A, H, T, M, B, K, C\nfixed A\nload T 5 down\nload C 2 down\n"
    )
    # Above M acts C alone: 2 kN down at 3 m; right of K the same at 2 m.
    axial, shear, moment = cut(structure, "M", "right")
    assert (axial, shear, abs(moment)) == near(-2, 0, 6)
    assert cut(structure) == near(0, 2, -4)


@pytest.mark.parametrize("order", ["A, H, B, K, D, E", "E, D, K, B, H, A"])
def test_a_portal_stays_as_it_is(order):
    # E is right across from A and yet at the foot of the other post.
    structure = read_sheet(
        "units kN, m\njoint A 0 0\njoint H 0 1\njoint B 0 3\njoint K 2 3\njoint D 4 3\n"
        f"joint E 4 0\nbody portal: {order}\npin A\nroller E\nload B 8 right\n"
    )
    # E = 8·3/4 = 6 up, A 6 down and 8 to the left. Below H: A alone.
    axial, shear, moment = cut(structure, "H")
    assert (axial, abs(shear), abs(moment)) == near(6, 8, 8)
    # Right of K: E alone, 6 up at 2 m.
    assert cut(structure) == near(0, -6, 12)


def test_a_leg_that_leans_in_stays_at_the_end_of_the_beam():
    structure = read_sheet(
        "units kN, m\njoint A 1 -3\njoint B 0 0\njoint K 2 0\njoint D 4 0\njoint E 3 -3\n"
        "body frame: A, B, K, D, E\npin A\nroller E\nload B 4 down\n"
    )
    # ΣM_A: 2 E + 4·1 = 0, E = −2; right of B acts E alone, 3 m along it.
    assert cut(structure, "B", "right") == near(0, 2, -6)
    assert cut(structure) == near(0, 2, -2)


@pytest.mark.parametrize(
    ("order", "joints"),
    [
        ("A, C, K, B, T", "joint T 0 2"),  # stands on A, or slants back from B
        ("A, C, K, B, T", "joint T 3 1"),  # slants back from B over K, or stands at 3 m
        ("A, C, T, K, B", "joint T 3 1"),  # a spike between C and K, or stands at 3 m
        ("A, C, K, D, B, T, S", "joint T 2 1\njoint S 5 1"),  # two stubs, or an arm
    ],
)
def test_where_the_list_does_not_tell_nothing_is_answered(order, joints):
    loads = "load T 3 right\n"
    plain = solve(beam(order, joints, loads))
    assert plain
    with pytest.raises(KeyError):
        plain.values["moment at K"]
    refused = solve(beam(order, joints, loads + "find moment at K"))
    assert not refused
    assert refused.reason == "not solved"
    assert "T" in refused.detail
    assert "moment at K depends on it" in refused.detail


def test_elsewhere_the_same_sheet_is_answered():
    structure = beam("A, C, K, B, T", "joint T 3 1", "load T 6 right\nfind moment at C")
    # 6 B = 6·1; left of C: A alone, 1 kN down at 2 m.
    assert cut(structure, "C")[2] == pytest.approx(-2)


def test_a_joint_named_beside_its_foot_settles_it():
    structure = beam("T, A, C, K, B", "joint T 0 2", "load T 3 right\nfind moment at K")
    assert cut(structure)[2] == pytest.approx(2)
