"""Random figures of every family against a solution that shares nothing with ours."""

import random

import pytest
from mpmath import mpf
from odd_figures import ODD
from plain_figures import System, internal
from random_figures import FAMILIES

from verifier.errors import SheetError
from verifier.statics import Solution, solve
from verifier.structure import read_sheet


def expected(figure):
    found = System(figure).solve()
    if found is None:
        return None
    for at, body in figure.cuts:
        found |= internal(figure, found, at, body)
    return found


@pytest.mark.parametrize("seed", range(25))
@pytest.mark.parametrize("family", FAMILIES)
def test_solved_as_joint_by_joint_and_body_by_body(family, seed):
    figure = FAMILIES[family](random.Random(f"{family} {seed}"))
    truth = expected(figure)
    structure = read_sheet(figure.sheet())
    solution = solve(structure)
    largest = max(map(abs, truth.values())) if truth else mpf(0)
    if largest > 1e7 or not truth:
        assert not solution  # reactions that meet in one point
        return
    assert isinstance(solution, Solution), solution
    for item in {*solution.values, *structure.find}:
        near = pytest.approx(float(truth[item]), rel=1e-9, abs=1e-10 * float(largest))
        assert solution.values[item] == near, item


@pytest.mark.parametrize("offset", ["1", "1e-2", "1e-4", "1e-6", "1e-8", "1e-10"])
@pytest.mark.parametrize("make", ODD)
def test_almost_singular_is_solved_right_or_refused(make, offset):
    figure = make(f"{float(offset):.10f}")
    truth = expected(figure)
    if figure.closest() <= 1e-9 * max(map(max, map(figure.at, figure.joints))):
        with pytest.raises(SheetError, match="lie in one place"):
            read_sheet(figure.sheet())
        return
    structure = read_sheet(figure.sheet())
    solution = solve(structure)
    if not solution:
        assert float(offset) < 1e-6
        assert solution.detail
        return
    largest = max(map(abs, truth.values()))
    for item in structure.find:
        near = pytest.approx(float(truth[item]), rel=1e-6, abs=1e-9 * float(largest))
        assert solution.values[item] == near, item
        assert float(solution.exact(item)) == near, item
