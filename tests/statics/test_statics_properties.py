"""What holds for every determinate structure."""

import sys
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings

sys.path.insert(0, str(Path(__file__).parents[1]))

from strategies import beams, frames, in_letters, structures, trusses

from verifier.statics import FreeBodies, NoSolution, Solution, answers, equation, moment, solve
from verifier.structure import read_sheet

quick = settings(
    max_examples=60, deadline=None, suppress_health_check=[HealthCheck.too_slow], print_blob=True
)
few = settings(quick, max_examples=25)


def solved(text):
    structure = read_sheet(text)
    solution = solve(structure)
    assert isinstance(solution, Solution), solution
    return structure, solution


def left_over(terms, known, values):
    parts = [known, *(share * values[item] for item, share in terms.items())]
    return abs(sum(parts)), sum(abs(part) for part in parts)


@quick
@given(structures())
def test_every_free_body_is_in_equilibrium(text):
    structure, solution = solved(text)
    bodies = FreeBodies(structure)
    largest = max(abs(value) for value in solution.values.values()) or 1.0
    for body in bodies.candidates():
        for direction in ((1.0, 0.0), (0.0, 1.0), (0.6, 0.8)):
            rest, _ = left_over(*equation(body, direction), solution.values)
            assert rest <= 1e-9 * largest, (body.name, direction)
        for about in [*bodies.points.values(), (7.3, -2.9)]:
            rest, _ = left_over(*moment(body, about), solution.values)
            assert rest <= 1e-8 * largest * bodies.size, (body.name, about)


@quick
@given(beams() | frames())
def test_the_two_pieces_of_a_cut_body_agree(text):
    structure, solution = solved(text)
    bodies = FreeBodies(structure)
    largest = max(abs(value) for value in solution.values.values()) or 1.0
    for name in bodies.bodies:
        line = bodies.line(name)
        spots = [(joint, just) for joint in line.joints for just in ("before", "after")]
        for (x1, y1), (x2, y2) in zip(line.points, line.points[1:], strict=False):
            spots.append(((x1 + 0.3 * (x2 - x1), y1 + 0.3 * (y2 - y1)), ""))
        for at, just in spots:
            found = []
            for side in ("left", "right"):
                for joints in (False, True):
                    piece = bodies.through_body(
                        name, at, side, just=just, name="K", with_joints=joints
                    )
                    found.append(faces(piece, solution.values))
            for other in found[1:]:
                for item, value in other.items():
                    near = 1e-9 * largest * max(1.0, bodies.size)
                    assert value == pytest.approx(found[0][item], abs=near), (at, just, item)


def faces(piece, values):
    found = {}
    for action in piece.actions:
        if action.kind != "cut":
            continue
        about = moment(piece, action.at) if action.turn else equation(piece, action.along)
        terms, total = dict(about[0]), about[1]
        own = terms.pop(action.item)
        total += sum(share * values[item] for item, share in terms.items())
        found[action.item] = -total / own
    return found


@few
@given(structures())
def test_exact_and_float_agree(text):
    structure, solution = solved(text)
    largest = max(abs(value) for value in solution.values.values()) or 1.0
    for item in {*solution.values, *structure.find}:
        exact = solution.exact(item)
        assert not exact.atoms(float)
        assert float(exact) == pytest.approx(solution.values[item], rel=1e-9, abs=1e-9 * largest)


@quick
@given(structures())
def test_the_steps_lead_to_everything_asked_for(text):
    structure, solution = solved(text)
    steps = solution.steps()
    given_items = [result.split(" = ")[0] for step in steps for result in step.gives]
    assert len(given_items) == len(set(given_items))
    assert len(given_items) >= len(set(structure.find))
    assert all(step.text.endswith(" = 0") for step in steps)
    for answer in answers(structure, solution):
        assert answer.value == solution.values[answer.item]


@few
@given(trusses())
def test_a_truss_without_its_roller_is_a_mechanism(text):
    if "roller" not in text:
        return
    held = "\n".join(line for line in text.splitlines() if not line.startswith("roller"))
    verdict = solve(read_sheet(held))
    if verdict:
        assert "do not push it" in " ".join(verdict.notes) or verdict.notes == ()
        return
    assert isinstance(verdict, NoSolution)
    assert verdict.reason == "mechanism"
    assert "can turn about P" in verdict.detail


@few
@given(trusses())
def test_a_truss_with_a_further_support_is_indeterminate_to_degree_two(text):
    if "roller" not in text:
        return
    line = next(line for line in text.splitlines() if line.startswith("roller"))
    verdict = solve(
        read_sheet(text.replace(line, f"pin {line.split()[1]}\n").replace("pin P", "pin P\npin Q"))
    )
    assert verdict.reason == "indeterminate"
    assert verdict.degree == 3
    assert "reaction Q x" in verdict.redundant


@settings(few, max_examples=15)
@given(trusses(most=2) | beams() | frames())
def test_letters_scale_as_lengths_and_forces_do(text):
    plain, solution = solved(
        "\n".join(
            line.replace("mass", "load") + (" down" if line.startswith("mass") else "")
            for line in text.splitlines()
        )
    )
    lettered, scaled = solved(in_letters(text))
    a, force = (lettered.letters[name] for name in ("a", "F"))
    largest = max(abs(value) for value in solution.values.values()) or 1.0
    for item in (*solution.values, *plain.find):
        times = force * a if "moment" in item else force
        expected = solution.values[item] * times
        near = 1e-9 * largest * max(1.0, times)
        assert scaled.values[item] == pytest.approx(expected, abs=near), item
        exact = scaled.exact(item)
        names = {symbol.name for symbol in exact.free_symbols}
        assert names <= {"a", "F"}
        at = {symbol: lettered.letters[symbol.name] for symbol in exact.free_symbols}
        assert float(exact.subs(at)) == pytest.approx(expected, abs=near), item
    assert len(scaled.steps()) >= 1
