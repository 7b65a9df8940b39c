"""Free bodies: what acts on each, and on which part."""

import pytest
from worked_sheets import HOIST, TRUSSED

from verifier.statics import FreeBodies, equation, moment
from verifier.structure import read_sheet

FRAME = """units kN, m
joint A 0 0
joint B 0 3
joint C 4 3
joint D 4 0
joint E 2 3
joint F 2 6
body post: A, B
body beam: B, E, C
body strut: C, D
member E-F
pin A
pin D
pin F
load B 3 right
load E 5 down
distributed E-C 2 down
couple A 4 clockwise
"""

BENT = """joint A 0 0
joint B 0 3
joint C 4 3
body davit: A, B, C
fixed A
load C 5 down
distributed B-C 2 down
"""


@pytest.fixture
def hoist():
    return FreeBodies(read_sheet(HOIST))


@pytest.fixture
def frame():
    return FreeBodies(read_sheet(FRAME))


def items(body):
    return sorted(action.item for action in body.actions)


def test_the_whole_has_reactions_and_loads_only(hoist):
    body = hoist.whole()
    assert body.name == "whole structure"
    assert items(body) == [
        "reaction P x", "reaction P y", "reaction S x", "reaction S y",
        "the 2.5 kN load at R", "the 6 kN load at Q",
    ]  # fmt: skip
    assert body is hoist.whole()


def test_members_pull_on_a_joint(hoist):
    along = {action.item: action.along for action in hoist.joint("P").actions}
    assert along["P-Q"] == (1.0, 0.0)
    assert along["P-R"] == pytest.approx((12 / 13, 5 / 13))
    assert along["reaction P y"] == (0.0, 1.0)


def test_sums_are_coefficients_and_a_known_part(hoist):
    assert equation(hoist.whole(), (0.0, 1.0)) == (
        {"reaction P y": 1.0, "reaction S y": 1.0},
        -6.0,
    )
    terms, known = moment(hoist.whole(), (0.0, 0.0))
    assert terms == {"reaction S x": -1.0}
    assert known == pytest.approx(-6 * 2.4 - 2.5)
    off, known = moment(hoist.whole(), (10.0, 5.0))
    assert off == {"reaction P x": 5, "reaction P y": -10, "reaction S x": 4, "reaction S y": -10}
    assert known == pytest.approx(6 * 7.6 + 2.5 * 4)


def test_a_joint_that_is_shared_stands_between_its_bodies(frame):
    assert items(frame.joint("B")) == [
        "pin B x on beam", "pin B x on post", "pin B y on beam", "pin B y on post",
        "the 3 kN load at B",
    ]  # fmt: skip
    on_joint = {a.item: a.along for a in frame.joint("B").actions}
    on_post = {a.item: a.along for a in frame.body("post").actions}
    assert on_joint["pin B x on post"] == (-1.0, 0.0)
    assert on_post["pin B x on post"] == (1.0, 0.0)


def test_a_joint_on_one_body_alone_is_none_of_its_own(frame):
    assert frame.joints == ("B", "C", "E", "F")
    assert "reaction A x" in items(frame.body("post"))
    with pytest.raises(KeyError):
        frame.joint("A")
    with pytest.raises(KeyError):
        frame.joint("nowhere")
    with pytest.raises(KeyError):
        frame.body("nowhere")


def test_a_body_is_taken_bare_or_with_the_joints_that_are_its_own(frame):
    bare = items(frame.body("beam"))
    assert "pin E y on beam" in bare
    assert "the 5 kN load at E" not in bare
    loaded = frame.body("beam", with_joints=True)
    assert loaded.name == "body beam with its joints"
    assert {"E-F", "the 5 kN load at E", "pin B x on beam"} <= set(items(loaded))
    assert "pin E y on beam" not in items(loaded)


def test_a_set_of_bodies_leaves_out_what_is_inside(frame):
    body = frame.part({"post", "beam"})
    assert body.name == "bodies post and beam"
    assert body.parts == {"post", "beam", "B"}
    assert items(body) == [
        "pin C x on beam", "pin C y on beam", "pin E x on beam", "pin E y on beam",
        "reaction A x", "reaction A y", "the 2 kN/m load on E-C", "the 3 kN load at B",
        "the 4 kN m couple at A",
    ]  # fmt: skip
    assert frame.part({"post", "A"}) is frame.body("post")
    with pytest.raises(KeyError):
        frame.part({"post", "D"})


def test_a_couple_turns_and_has_no_arm(frame):
    couple = next(a for a in frame.body("post").actions if a.kind == "couple")
    assert (couple.along, couple.turn, couple.value) == ((0.0, 0.0), -1.0, 4.0)
    assert couple.moment((7.0, -3.0)) == -1.0


def test_sections_leave_two_parts_with_the_cut_members(hoist):
    # P and S hang together through the ground alone, and are on one side all the same.
    left, right = hoist.cut(["P-Q", "P-R", "R-S"])
    assert (left.parts, right.parts) == ({"P", "S"}, {"Q", "R"})
    assert right.name == "part right of the cut through PQ, PR, RS"
    assert right.cut == ("P-Q", "P-R", "R-S")
    assert hoist.cut(["P-Q"]) == ()
    found = {body.parts for body in hoist.sections()}
    assert {frozenset("PS"), frozenset("QR"), frozenset("PQ")} <= found
    assert all(2 <= len(body.cut) <= 4 for body in hoist.sections())


def test_a_cut_beam_carries_its_part_of_the_load(frame):
    left = frame.through_body("beam", (3.0, 3.0), "left", name="K")
    right = frame.through_body("beam", (3.0, 3.0), "right", name="K")
    assert left.name == "part of beam left of K"
    load = {side: next(a for a in piece.actions if a.kind == "load") for side, piece in
            (("left", left), ("right", right))}  # fmt: skip
    assert (load["left"].value, load["left"].at) == (2.0, (2.5, 3.0))
    assert (load["right"].value, load["right"].at) == (2.0, (3.5, 3.0))
    faces = {a.item: (a.along, a.turn) for a in left.actions if a.kind == "cut"}
    assert faces == {
        "axial at K": ((1.0, 0.0), 0.0),
        "shear at K": ((0.0, -1.0), 0.0),
        "moment at K": ((0.0, 0.0), 1.0),
    }
    faces = {a.item: (a.along, a.turn) for a in right.actions if a.kind == "cut"}
    assert faces == {
        "axial at K": ((-1.0, 0.0), 0.0),
        "shear at K": ((0.0, 1.0), 0.0),
        "moment at K": ((0.0, 0.0), -1.0),
    }


def test_a_load_at_the_cut_belongs_to_the_piece_that_is_asked_for(frame):
    def loaded(just, side):
        return "pin E y on beam" in items(frame.through_body("beam", "E", side, just=just))

    assert not loaded("before", "left")
    assert loaded("before", "right")
    assert loaded("after", "left")
    assert not loaded("after", "right")
    with_joints = frame.through_body("beam", "E", "right", just="before", with_joints=True)
    assert {"E-F", "the 5 kN load at E"} <= set(items(with_joints))


def test_a_bent_body_is_cut_along_its_line():
    bodies = FreeBodies(read_sheet(BENT))
    before = bodies.through_body("davit", "B", "upper", just="before")
    after = bodies.through_body("davit", "B", "right", just="after")
    axial = [next(a for a in piece.actions if a.item == "axial at B") for piece in (before, after)]
    assert [a.along for a in axial] == [(0.0, -1.0), (-1.0, 0.0)]
    assert before.name == "part of davit above B"
    with pytest.raises(KeyError):
        bodies.through_body("davit", "B", "sideways")
    with pytest.raises(KeyError):
        bodies.through_body("davit", "Z")


def test_a_load_that_changes_its_sense_is_two_triangles():
    sheet = "joint A 0 0\njoint B 6 0\nbody deck: A, B\nfixed A\ndistributed A-B 3 to -3 down\n"
    bodies = FreeBodies(read_sheet(sheet))
    loads = [a for a in bodies.whole().actions if a.kind == "load"]
    assert [(a.value, a.at) for a in loads] == [(9.0, (2.0, 0.0)), (-9.0, (4.0, 0.0))]
    piece = bodies.through_body("deck", (2.0, 0.0), "left", name="K")
    _, down = equation(piece, (0.0, -1.0))
    assert down == pytest.approx(4.0)  # 3 to 1 over 2


def test_a_load_on_a_bar_is_one_action_where_both_ends_are_inside():
    sheet = (
        "joint A 0 0\njoint B 3 0\njoint C 0 4\nmember A-B, B-C\npin A\npin C\n"
        "distributed A-B 4 down\n"
    )
    bodies = FreeBodies(read_sheet(sheet))
    (load,) = [a for a in bodies.whole().actions if a.kind == "load"]
    assert (load.value, load.at) == (12.0, (1.5, 0.0))
    (share,) = [a for a in bodies.joint("B").actions if a.kind == "load"]
    assert (share.value, share.at) == (6.0, (3.0, 0.0))


def test_candidates_are_all_there(frame):
    names = [body.name for body in frame.candidates()]
    assert names[0] == "whole structure"
    assert {
        "body post", "body beam", "body beam with its joints", "body post with B", "joint C",
        "bodies post and beam", "bodies beam and strut",
    } <= set(names)  # fmt: skip


def test_a_section_through_a_member_and_a_hinge():
    bodies = FreeBodies(read_sheet(TRUSSED))
    left, right = bodies.cut(["F-G"])
    assert left.name == "part left of the cut through FG and hinge C"
    assert left.parts == {"left", "A", "D", "F"}
    assert right.parts == {"right", "B", "E", "G"}
    assert [action.item for action in left.actions if action.value is None] == [
        "reaction A x", "reaction A y", "F-G", "pin C x on left", "pin C y on left",
    ]  # fmt: skip
    terms, known = moment(left, bodies.points["C"])
    assert terms == pytest.approx({"reaction A y": -4, "F-G": 1})
    assert known == pytest.approx(24)
    assert left.name in {body.name for body in bodies.candidates()}
    assert bodies.cut(["A-F"]) == ()
    assert bodies.cut(["A-F", "F-G"]) == ()
