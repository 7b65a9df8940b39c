"""One slip is told once: what is worked on with it follows, whatever it went wrong in."""

import verifier

ARM = """units kN, m
joint A 0 0
joint C 2 0
joint B 6 0
body arm: A, C, B
fixed A
load C 5 down
distributed C-B 3 down
"""
SHELF = """units kN, m
joint A 0 0
joint C 3 0
joint B 9 0
body shelf: A, C, B
pin A
roller B
distributed A-B 0 to 4 down
load C 7 down
"""
PORTAL = """units kN, m
joint A 0 0
joint D 0 4
joint C 3 4
joint K 4.5 4
joint E 6 4
joint B 6 0
body left: A, D, C
body right: C, K, E, B
pin A
pin B
load D 5 right
load K 10 down
find reactions, pin C x on right, pin C y on right
"""


def told(sheet: str, working: str) -> list[tuple[int, str, str]]:
    return [(f.line, f.kind, f.expected) for f in verifier.check(sheet, working).faults]


def test_a_load_laid_on_too_long_a_stretch_has_its_arm_from_there():
    working = (
        "ΣF_y = 0: A_y − 5 − 3·6 = 0\nA_y = 23 kN\nΣM_A = 0: M_A − 5·2 − 18·3 = 0\nM_A = 64 kN m\n"
    )
    assert told(ARM, working) == [(1, "magnitude", "3·4")]
    odd = working.replace("18·3", "18·5").replace("64", "100")
    assert [(line, kind) for line, kind, _ in told(ARM, odd)][:1] == [(1, "magnitude")]


def test_a_wrong_resultant_follows_into_sums_with_other_loads():
    working = (
        "W = 4·9 = 36 kN\nΣM_A: 9 B − 36·6 − 7·3 = 0\nB = 26.33 kN\nA_y = 43 − 26.33 = 16.67 kN\n"
    )
    assert told(SHELF, working) == [(1, "magnitude", "18")]


def test_a_pin_drawn_on_the_other_body_behind_a_wrong_sign():
    working = (
        "ΣM_A = 0: 6·B_V + 5·4 − 10·4,5 = 0 → B_V = 4,17 kN\nΣV = 0: A_V = 10 − 4,17 = 5,83 kN\n"
        "rechter Teil, ΣM_C = 0: 3·B_V − 4·B_H − 10·1,5 = 0 → B_H = −0,62 kN\n"
        "ΣH = 0 rechts: C_H = B_H = −0,62 kN\nΣV = 0 rechts: C_V = 10 − 4,17 = 5,83 kN\n"
        "ΣH = 0 ganz: A_H = B_H − 5 = −5,62 kN\n"
    )
    assert [(line, kind) for line, kind, _ in told(PORTAL, working)] == [(1, "sign")]


LETTERS = """let P
let a
joint A 0 0
joint C 2*a 0
joint B 3*a 0
joint D 4*a 0
body spar: A, C, B, D
pin A
roller B
load C 3*P down
load D P down
"""


def test_what_a_slip_in_letters_should_come_to_is_told_in_letters():
    term = "3aR_B = 3P·2a + P·4a = 6Pa + 5Pa = 11Pa\n"
    assert told(LETTERS, term) == [(1, "arithmetic", "4Pa")]
    whole = "R_B = 10P/3\nR_A = 4P − 10P/3 = P/3\n"
    assert told(LETTERS, whole) == [(2, "arithmetic", "2P/3")]


def test_a_resultant_with_a_slip_follows_with_its_moment():
    working = "R = 3·4 = 14 kN\nM1 = 14·4 = 56\nM_A = 10 + 56 = 66 kN m\nA_y = 5 + 14 = 19 kN\n"
    assert told(ARM, working) == [(1, "arithmetic", "12")]


def test_the_only_vertical_reaction_is_told_under_v():
    working = "V = 5 + 3·6 = 23 kN\nM = 5·2 + 12·4 = 58 kN m\nH = 0\n"
    assert told(ARM, working) == [(1, "magnitude", "3·4")]
    assert not told(ARM, working.replace("3·6 = 23", "3·4 = 17"))
    section = "A_y = 17 kN\nM = 58 kN m\nV = 17 − 5 = 12 kN\n"
    assert not told(ARM, section)
