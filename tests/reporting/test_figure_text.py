"""The figure as line art: exact for one beam, and never wider than it may be."""

from pathlib import Path

import pytest

from verifier.reporting.figure import draw_text
from verifier.structure import read_sheet

SHEETS = sorted((Path(__file__).parents[2] / "samples").glob("*/*.given"))

BEAM = """\
title Shelf
units kN, m
joint A 0 0
joint K 2 0
joint B 6 0
body shelf: A, K, B
pin A
roller B at 120
load K 6 down
distributed K-B 3 down
couple A 2 clockwise
"""

SHOWN = """\
Joints, in m: A (0, 0), K (2, 0), B (6, 0)
Bodies: shelf through A, K, B
Supports: pin at A, roller at B along 120°
Loads: 6 kN load at K, down; 3 kN/m load on K-B, down; 2 kN m couple at A,
  clockwise"""


def test_the_words_below_the_art():
    assert draw_text(read_sheet(BEAM)).endswith(SHOWN)


def test_the_art():
    art = draw_text(read_sheet(BEAM)).split("\n\n")[1]
    assert art.count("↓") > 10
    for sign in ("△", "○", "↻ 2 kN m", "6 kN", "3 kN/m", "A", "B", "K", "⠉"):
        assert sign in art


@pytest.mark.parametrize("width", [40, 78, 120])
@pytest.mark.parametrize("path", SHEETS, ids=lambda path: path.stem)
def test_no_line_is_too_wide(path, width):
    text = draw_text(read_sheet(path.read_text("utf-8")), width)
    assert max(len(line) for line in text.split("\n")) <= width
    assert all(line == line.rstrip() for line in text.split("\n"))


@pytest.mark.parametrize("path", SHEETS, ids=lambda path: path.stem)
def test_every_joint_is_named_in_the_art(path):
    structure = read_sheet(path.read_text("utf-8"))
    art = draw_text(structure).split("\nJoints, in")[0]
    assert all(name in art for name in structure.joints)


def test_names_of_two_columns_keep_the_width():
    text = "joint 甲 0 0\njoint 乙 4 0\nbody 梁: 甲, 乙\npin 甲\nroller 乙\nload 乙 5 down"
    art = draw_text(read_sheet(text), 60).split("\nJoints, in")[0]
    assert "甲" in art
    assert "乙" in art
