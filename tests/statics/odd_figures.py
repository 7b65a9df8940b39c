"""Figures that are nearly singular or badly scaled: hair's breadths beside miles."""

from itertools import pairwise

from plain_figures import Figure


def flat_hinge(offset):
    """Two bars in almost one line, pulled at the joint between them."""
    joints = {"A": ("0", "0"), "B": ("2", offset), "C": ("5", "0")}
    return Figure(joints, [("A", "B"), ("B", "C")], pins=["A", "C"], forces=[("B", "3", "down")])


def flat_arch(offset):
    """A three-hinged arch that rises by a hair."""
    joints = {"A": ("0", "0"), "K": ("1", "0"), "B": ("2", offset), "C": ("5", "0")}
    return Figure(
        joints,
        bodies={"left": ["A", "K", "B"], "right": ["B", "C"]},
        pins=["A", "C"],
        forces=[("K", "3", "down")],
        spreads=[("B", "C", "2", "1", "down", False)],
    )


def near_parallel(offset):
    """Three rollers of which all but a hair's breadth of a degree are parallel."""
    joints = {"A": ("0", "0"), "B": ("2", "0"), "C": ("5", "0")}
    return Figure(
        joints,
        bodies={"deck": ["A", "B", "C"]},
        rollers=[("A", "90"), ("B", "90"), ("C", str(90 + float(offset)))],
        forces=[("B", "3", "at 300")],
    )


def near_concurrent(offset):
    """Three rollers whose lines almost meet in one point."""
    joints = {"A": ("-2", "0"), "B": (offset, "0"), "C": ("2", "0")}
    return Figure(
        joints,
        bodies={"deck": ["A", "B", "C"]},
        rollers=[("A", "45"), ("B", "90"), ("C", "135")],
        forces=[("C", "3", "right")],
    )


def short_post(offset):
    """A span of kilometres with a seat of millimetres."""
    joints = {"A": ("0", "0"), "B": ("4000", "0"), "C": ("4000", offset), "D": ("9000", offset)}
    return Figure(
        joints,
        bodies={"deck": ["A", "B", "C", "D"]},
        pins=["A"],
        rollers=[("C", "90")],
        forces=[("D", "3", "at 200")],
        couples=[("B", "0.004", "deck")],
        spreads=[("B", "C", "7", "2", "right", False)],
    )


def thin_truss(offset):
    """A truss as long as a course and as thin as a wire."""
    x = ["0", "500", "1000", "1500", "2000"]
    names = [f"L{index}" for index in range(5)]
    joints = {name: (at, "0") for name, at in zip(names, x, strict=True)}
    joints |= {f"U{index}": (x[index], offset) for index in range(1, 4)}
    members = list(pairwise(names))
    members += [("U1", "U2"), ("U2", "U3"), ("L0", "U1"), ("U3", "L4")]
    members += [(f"L{index}", f"U{index}") for index in (1, 2, 3)]
    members += [("L2", "U1"), ("L2", "U3")]
    return Figure(
        joints, members, pins=["L0"], rollers=[("L4", "90")],
        forces=[("L2", "5", "down"), ("U1", "2", "at 17")],
    )  # fmt: skip


def far_away(offset):
    """A small bracket that is drawn far from the origin; the offset is its height."""
    joints = {"A": ("900000", "700000"), "B": ("900001", "700000")}
    joints["W"] = ("900000", str(700000 + float(offset)) if float(offset) > 1e-6 else "700001")
    return Figure(
        joints, [("W", "B")], bodies={"arm": ["A", "B"]}, pins=["A", "W"],
        forces=[("B", "3", "down")], spreads=[("A", "B", "1", "4", "at 250", False)],
    )  # fmt: skip


ODD = (flat_hinge, flat_arch, near_parallel, near_concurrent, short_post, thin_truss, far_away)
