"""Distributed loads: where their resultants lie, on bodies, members and rows of them."""

import pytest

from verifier.structure import read_sheet
from verifier.structure.values import value

BEAM = "units kN, m\njoint A 0 0\njoint K 2 0\njoint B 6 0\nbody deck: A, K, B\npin A\nroller B\n"


def loads(text):
    return read_sheet(text).loads


def numbers(load):
    return [
        tuple(
            part.number()
            for part in (one.size, one.direction[0], one.direction[1], one.at[0], one.at[1])
        )
        for one in load.resultants()
    ]


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        ("A-B 3 down", (18, 0, -1, 3, 0)),
        ("K-B 3 down", (12, 0, -1, 4, 0)),
        ("A-B 0 to 3 down", (9, 0, -1, 4, 0)),
        ("B-A 0 to 3 up", (9, 0, 1, 2, 0)),
        ("A-B 2 to 5 down", (21, 0, -1, 3 + 3 / 7, 0)),
        ("A-K 4 left", (8, -1, 0, 1, 0)),
        ("A-B 3 down on plan", (18, 0, -1, 3, 0)),
    ],
)
def test_resultant(line, expected):
    (load,) = loads(BEAM + f"distributed {line}")
    assert numbers(load) == [pytest.approx(expected)]
    assert load.resultants()[0].on == "deck"


def test_label():
    assert loads(BEAM + "distributed A-B 3 down")[0].label == "the 3 kN/m load on A-B"
    assert loads(BEAM + "distributed A-B 3 to 5 down")[0].label == "the 3 to 5 kN/m load on A-B"
    assert loads("let w\n" + BEAM + "distributed A-B w down")[0].label == "the load w on A-B"


def test_a_load_that_changes_its_sense_has_two_resultants():
    (load,) = loads(BEAM + "distributed A-B -3 to 3 down")
    assert numbers(load) == [
        pytest.approx((-9, 0, -1, 2, 0)),
        pytest.approx((9, 0, -1, 4, 0)),
    ]


RAFTER = "units kN, m\njoint A 0 0\njoint B 3 4\nbody rafter: A, B\npin A\nroller B at 0\n"


@pytest.mark.parametrize(
    ("line", "size"),
    [
        ("A-B 2 down", 10),
        ("A-B 2 down on plan", 6),
        ("B-A 2 down on plan", 6),
        ("A-B 2 at 180 - atan(3/4)", 10),
    ],
)
def test_on_a_slope(line, size):
    (load,) = loads(RAFTER + f"distributed {line}")
    (one,) = load.resultants()
    assert one.size.number() == pytest.approx(size)
    assert (one.at[0].number(), one.at[1].number()) == pytest.approx((1.5, 2))


def test_the_part_beyond_a_cut():
    (load,) = loads(RAFTER + "distributed A-B 0 to 6 down on plan")
    (part,) = load.part(value(1) / value(3), value(1))
    w1, w2, length = 2 * 0.6, 6 * 0.6, 10 / 3
    assert part.size.number() == pytest.approx((w1 + w2) / 2 * length)
    share = 1 / 3 + (w1 + 2 * w2) / (3 * (w1 + w2)) * 2 / 3
    assert part.at[0].number() == pytest.approx(3 * share)
    assert load.intensity(value(1)).number() == pytest.approx(3.6)
    assert [part.number() for part in load.spread()] == pytest.approx([0, 0, 0, 3, 4, 3.6])


def test_over_two_bodies_that_meet_in_a_hinge():
    text = (
        "joint A 0 0\njoint K 2 0\njoint H 4 0\njoint B 10 0\nbody left: A, K, H\n"
        "body right: H, B\nfixed A\nroller B\ndistributed A-B 0 to 5 down"
    )
    first, second = loads(text)
    assert (first.on, second.on) == ("left", "right")
    assert (first.start, first.end, second.start, second.end) == ("A", "H", "H", "B")
    assert numbers(first) == [pytest.approx((4, 0, -1, 8 / 3, 0))]
    assert second.first.number() == pytest.approx(2)
    assert first.source == second.source
    assert first.label == "the part A-H of the 0 to 5 N/m load on A-B"


def test_on_members_it_is_shared_between_their_joints():
    text = (
        "joint A 0 0\njoint B 3 0\njoint C 6 0\njoint D 3 2\n"
        "member A-B, B-C, A-D, B-D, C-D\npin A\nroller C\ndistributed A-C 4 down"
    )
    found = [one for load in loads(text) for one in load.resultants()]
    assert [(one.on, one.size.number()) for one in found] == [
        ("A", 6),
        ("B", 6),
        ("B", 6),
        ("C", 6),
    ]


def test_a_varying_load_on_a_member_keeps_force_and_moment():
    text = "joint A 0 0\njoint B 6 0\nmember A-B\npin A\nroller B\ndistributed A-B 1 to 4 down"
    first, second = (one for load in loads(text) for one in load.resultants())
    assert first.size.number() + second.size.number() == pytest.approx(15)
    assert second.size.number() * 6 == pytest.approx(15 * (1 + 8) / 15 * 6)


def test_letters_all_the_way():
    sheet = read_sheet(
        "let w\nlet a\njoint A 0 0\njoint H 2a 0\njoint B 3a 0\nbody left: A, H\n"
        "body right: H, B\nfixed A\nroller B\ndistributed A-B w down"
    )
    sizes = [str(one.size.exact()) for load in sheet.loads for one in load.resultants()]
    assert sizes == ["2*a*w", "a*w"]
