"""Letters that look like units: N is the writer's own force where the working names one so."""

from verifier.notation import read_working
from verifier.notation.tree import Names

NAMES = Names(frozenset("ABC"), units=("kN", "m"))


def test_a_force_called_n_is_no_unit() -> None:
    lines = read_working("N verso l'alto\n6,3 N + 10,2 A_y = 15\nN = 0,95 kN", NAMES)
    assert lines[1].reads_as == "6.3·N + 10.2·A_y = 15"


def test_newtons_stay_newtons_where_no_force_is_called_so() -> None:
    lines = read_working("A_y = 6,3 N + 10,2 N = 16,5 N", NAMES)
    assert lines[0].reads_as == "A_y = 6.3 N + 10.2 N = 16.5 N"
