"""Values held against the benchmark generator's own solver, which shares nothing with statics."""

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parents[1] / "benchmarks"))

from generator.case import make_case

from verifier.statics import solve
from verifier.structure import read_sheet


@pytest.mark.parametrize("number", range(40))
def test_both_solvers_agree(number):
    case = make_case(5, number=number)
    if case is None:
        pytest.skip("the dice gave no structure")
    structure = read_sheet(case.sheet)
    if structure.letters:
        return  # its letters stand for one, ours for odd numbers
    values = solve(structure).values
    largest = max(abs(value) for value in case.problem.truth.values())
    for item, value in case.problem.truth.items():
        assert values[item] == pytest.approx(value, abs=1e-6 * (1 + largest)), item
