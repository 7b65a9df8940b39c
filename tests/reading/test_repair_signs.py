"""Look-alikes in print that only one reading of can be written, and those that stay in doubt."""

from dataclasses import replace

import pytest

from verifier.notation.tree import Names
from verifier.reading.choice import Choice, text_of
from verifier.reading.joined import parted
from verifier.reading.repair import repaired
from verifier.reading.repair_words import marked
from verifier.reading.tesseract import Letter

NAMES = Names(joints=frozenset("PQRS"))


def _line(text: str) -> list[Choice]:
    """Return choices for a line: ↓ before a glyph drops it, a space parts words."""
    made: list[Choice] = []
    space, script = False, 0
    for char in text:
        if char == " ":
            space = True
        elif char == "↓":
            script = 1
        else:
            at = len(made) * 20
            box = (at, 0, 10, 3 if char in "−-" else 20)
            made.append(Choice(char, box, 0.99, script, space and bool(made)))
            space, script = False, 0
    return made


@pytest.mark.parametrize(
    ("seen", "meant"),
    [
        ("S× = 6540 kN", "Sx = 6540 kN"),
        ("P × 3 = 6", "P × 3 = 6"),
        ("Tx = Flx − 4", "Tx = F1x − 4"),
        ("PFly = Flow", "PFly = Flow"),
        ("PQ = 5 [b", "PQ = 5 lb"),
        ("P↓−y = 4", "P_y = 4"),
        ("N_↓P↓Qv = 4", "N__{PQV} = 4"),
        ("6 sin a − 2 = 0", "6 sin α − 2 = 0"),
        ("6 sin 30 a = 0", "6 sin 30 a = 0"),
        ("PQ = 5 kN −", "PQ = 5 kN →"),
        ("PQ = 5 − 3", "PQ = 5 − 3"),
        ("−+ Σ F = 0", "→+ Σ F = 0"),
        ("+1 Σ F = 0", "+↑ Σ F = 0"),
        ("−+ PQ = 0", "−+ PQ = 0"),
        ("P = 3 (Il)", "P = 3 (II)"),
        ("P = 3 (11)", "P = 3 (11)"),
        ("P = 3 (ID", "P = 3 (II)"),
        ("P = 3 (ABD", "P = 3 (ABD"),
        ("P = Fl + F2", "P = F1 + F2"),
        ("Al nodo P", "Al nodo P"),
        ("X√cos θ = 3", "X/cos θ = 3"),
        ("3 + √(2) = 4", "3 + √(2) = 4"),
        ("P = 12 kN' , up", "P = 12 kN , up"),
        ("P = −−43−− 62 kN", "P = ~~43~~ 62 kN"),
        ("P = −−4 + 6 kN", "P = −−4 + 6 kN"),
        ("P = 3, tzn.4 kN", "P = 3, tzn. 4 kN"),
    ],
)
def test_a_sign_is_read_as_what_can_be_written(seen: str, meant: str) -> None:
    assert text_of(repaired(_line(seen), NAMES))[0] == meant


def test_a_lost_arrowhead_stays_in_doubt() -> None:
    last = repaired(_line("PQ = 5 kN −"), NAMES)[-1]
    assert last.sure < 0.8
    assert "←" in dict(last.others)


def test_figures_and_signs_between_terms_stay_as_seen() -> None:
    for line in ("PQ = 3 − 5 + 7 = 6", "P = 1 + 1 = 3", "−PQ + 8 = 0"):
        assert text_of(repaired(_line(line), NAMES))[0] == line


def _at(*glyphs: tuple[str, int, tuple[int, int, int, int], bool]) -> list[Choice]:
    """Return choices from (glyph, script, box, whether a space stands before it)."""
    return [Choice(char, box, 0.99, script, space) for char, script, box, space in glyphs]


@pytest.mark.parametrize(
    ("glyphs", "meant"),
    [
        # A comma as large as a J, a bar at the foot of two letters, a nought without its rim.
        (_at(("3", 0, (0, 0, 15, 27), False), ("J", 0, (20, 19, 10, 15), False),
             ("5", 0, (40, 0, 15, 27), True)), "3,5"),
        (_at(("R", 0, (0, 0, 18, 27), False), ("−", 0, (20, 25, 18, 4), False),
             ("Q", 0, (40, 0, 18, 27), False)), "R_Q"),
        (_at(("R", 0, (0, 0, 18, 27), False), ("−", 0, (20, 14, 18, 4), False),
             ("Q", 0, (40, 0, 18, 27), False)), "R−Q"),
        (_at(("9", 0, (0, 0, 15, 27), False), ("(", 0, (18, 0, 7, 27), False),
             (")", 0, (27, 0, 7, 27), False)), "90"),
        # Raised or dropped beside nothing; an index whose first letter is told as level.
        (_at(("(", 0, (0, 0, 8, 30), False), ("6", 2, (10, 0, 15, 27), False),
             (")", 0, (28, 0, 8, 30), False)), "(6)"),
        (_at(("3", 0, (0, 0, 15, 27), False), ("4", 1, (18, 8, 15, 27), False)), "34"),
        (_at(("F", 0, (0, 0, 18, 27), False), ("P", 0, (20, 15, 13, 19), False),
             ("Q", 1, (35, 15, 13, 19), False)), "F_{PQ}"),
        # One separator is enough inside a number; a figure of an old fashion hangs.
        (_at(("2", 0, (0, 0, 15, 27), False), (",", 0, (18, 22, 5, 10), False),
             (";", 0, (26, 10, 3, 19), False), ("5", 0, (26, 0, 15, 27), False)), "2,5"),
        (_at(("4", 0, (0, 5, 15, 27), False), ("8", 2, (18, 0, 15, 27), False)), "48"),
        (_at(("4", 0, (0, 5, 15, 27), False), ("2", 2, (18, 0, 10, 17), False)), "4²"),
        # The sheet has a joint S and nothing that is called s.
        (_at(("M", 0, (0, 0, 25, 27), False), ("s", 1, (28, 15, 10, 17), False)), "M_S"),
    ],
)  # fmt: skip
def test_a_glyph_is_what_its_place_tells(glyphs: list[Choice], meant: str) -> None:
    assert text_of(repaired(glyphs, NAMES))[0] == meant


def test_strokes_between_the_columns_of_a_table_are_no_letters() -> None:
    assert text_of(repaired(_line("l P l 30 I"), NAMES))[0] == "| P | 30 |"
    assert text_of(repaired(_line("l−−−l−−−I"), NAMES))[0] == "|---|---|"
    assert "|" not in text_of(repaired(_line("l = 3 l"), NAMES))[0]


def test_hyphens_do_not_tell_how_long_a_minus_is() -> None:
    line = _line("P − 9 lb-ft − 5 = 0")
    hyphen = next(i for i, one in enumerate(line) if one.char == "-")
    line[hyphen] = replace(line[hyphen], box=(line[hyphen].box[0], 9, 5, 3))
    assert all(one.sure > 0.9 for one in repaired(line, NAMES) if one.char == "−")


def test_letters_that_cling_together_are_told_apart_by_tesseract() -> None:
    glyph = Choice("R", (40, 10, 22, 27), 0.8, 0, True, (("k", 0.1),))
    seen = [
        Letter("f", (39, 10, 14, 27), 0.99, 0.95, True),
        Letter("t", (50, 10, 13, 27), 0.99, 0.95, False),
    ]
    assert text_of([Choice("3", (10, 10, 20, 27), 0.99), *parted([glyph], seen)])[0] == "3 ft"
    told = replace(glyph, char="t", others=())  # its neighbour is the f, in a box that strays
    assert parted([told], seen) == [told]
    doubtful = [replace(letter, sure=0.5) for letter in seen]
    assert parted([glyph], doubtful) == [glyph]


def test_words_get_the_letters_that_the_network_lacks() -> None:
    assert text_of(marked(_line("nφud P : d'oü P = 3")))[0] == "nœud P : d'où P = 3"
    assert text_of(marked(_line("nud 3ud noud")))[0] == "nud 3ud nœud"
    assert text_of(marked(_line("Wqze↑ P")))[0] == "Węzeł P"
    assert text_of(marked(_line("P (kciskany) Q (rozci4gany)")))[0] == "P (ściskany) Q (rozciągany)"
    assert text_of(marked(_line("Ca}y uk}ad, d'oà P")))[0] == "Cały układ, d'où P"
    assert text_of(marked(_line("(kciskanu)")))[0] == "(kciskanu)"
    assert text_of(marked(_line("FBD of crank on stud")))[0] == "FBD of crank on stud"


def test_an_index_is_the_joint_that_it_may_be() -> None:
    line = _line("F_↓P↓o")
    line = [one for one in line if one.char != "_"]
    line[-1] = replace(line[-1], others=(("Q", 0.04),))
    assert text_of(repaired(line, NAMES))[0] == "F_{PQ}"
    assert text_of(repaired(_line("F_↓P↓x"), NAMES))[0] == "F__{Px}"


def test_a_v_before_a_bracket_may_be_a_root() -> None:
    line = _line("P = V(3 + 4)")
    assert text_of(repaired(line, NAMES))[0] == "P = V(3 + 4)"
    line = [replace(one, others=(("√", 0.008),)) if one.char == "V" else one for one in line]
    found = repaired(line, NAMES)
    assert text_of(found)[0] == "P = √(3 + 4)"
    assert found[2].sure < 0.8


def test_a_raised_dot_between_figures_may_be_a_point() -> None:
    dot = repaired(_line("P = 49·9 kN"), NAMES)[4]
    assert (dot.char, dot.others[0][0]) == ("·", ".")


def test_an_equation_in_a_column_of_its_own_stands_apart():
    first, second = _line("A = 0"), _line("B = 4")
    there = [replace(one, box=(one.box[0] + 200, *one.box[1:])) for one in second]
    there[0] = replace(there[0], space=True)
    assert text_of([*first, *there])[0] == "A = 0   B = 4"
    assert text_of([*first[:1], *there])[0] == "A B = 4"
