"""The benchmark's own cases: right by their own statics, faulty where they say, of many hands."""

import random
import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).resolve().parent))

from generator.case import make_case
from generator.every import FAMILIES
from generator.faults import PLANTS
from generator.manners import MANNERS
from generator.plan import wanted_keys
from generator.rework import rework
from generator.sets import SETS
from generator.situations import SITUATIONS, make_situation
from generator.style import STYLES, Style
from judging_outcomes import judge
from judging_tables import wilson


def test_there_are_at_least_twenty_five_different_hands() -> None:
    for roster in (STYLES, MANNERS):
        habits = {tuple(vars(s).items())[1:] for s in roster}
        assert len(habits) == len(roster) >= 25


@pytest.mark.parametrize("family", FAMILIES)
def test_every_family_gives_solvable_problems_and_right_workings(family: str) -> None:
    for number in range(6):
        case = make_case(5, None, family=family, number=number)
        assert case is not None
        assert case.problem is not None
        assert set(wanted_keys(case.problem)) <= set(case.problem.truth)
        assert case.truth is None


@pytest.mark.parametrize("roster", [STYLES, MANNERS], ids=["first", "second"])
def test_the_text_of_right_workings_works_out_again_line_by_line(roster: list[Style]) -> None:
    seen = read = 0
    for number in range(160):
        person = roster[number % len(roster)]
        unsigned = person.size_only and person.steps == "short"
        if person.latex or unsigned or person.kilo or person.plain_names:
            continue
        case = make_case(8, None, style=person, number=number)
        if case is None or case.problem is None or case.problem.letters:
            continue
        tally = rework(case.working, case.names, person.comma)
        seen, read = seen + tally.seen, read + tally.read
        assert not tally.wrong, (case.sheet, case.working, tally.wrong)
    assert read > 0.7 * seen > 400


@pytest.mark.parametrize("kind", [*PLANTS, *SETS])
def test_a_plant_points_into_its_own_line(kind: str) -> None:
    for number in range(4):
        case = make_case(6, kind, number=number)
        if case is None:
            continue
        assert case.truth is not None
        lines = case.working.split("\n")
        for span in case.truth.spans:
            assert 0 <= span.start < span.end <= len(lines[span.line - 1])
        assert any(span.line == case.truth.line for span in case.truth.spans)


@pytest.mark.parametrize("name", SITUATIONS)
def test_a_situation_points_into_its_own_page(name: str) -> None:
    made = [make_situation(7, name, number) for number in range(5)]
    assert sum(case is not None for case in made) >= 4
    for case in made:
        if case is None or case.truth is None:
            continue
        lines = case.working.split("\n")
        for span in case.truth.spans:
            assert 0 <= span.start < span.end <= len(lines[span.line - 1])


def test_the_same_seed_gives_the_same_case() -> None:
    one, two = (make_case(9, "sign", number=3) for _ in range(2))
    assert one is not None
    assert two is not None
    assert (one.sheet, one.working, one.truth) == (two.sheet, two.working, two.truth)


def test_confidence_intervals_hold_the_share_and_narrow_with_number() -> None:
    low, high = wilson(5, 100)
    wide_low, wide_high = wilson(1, 20)
    assert low < 5 < high
    assert wide_high - wide_low > high - low


@pytest.mark.parametrize("roster", [STYLES, MANNERS], ids=["first", "second"])
def test_a_small_sample_is_judged_without_a_crash_and_hardly_accused(roster: list[Style]) -> None:
    rng = random.Random(3)
    outcomes = []
    for number in rng.sample(range(10_000), 40):
        person = roster[number % len(roster)]
        case = make_case(31, None if number % 2 else "sign", style=person, number=number)
        if case is not None:
            outcomes.append(judge(case))
    assert not [o.said for o in outcomes if o.verdict == "crash"]
    accused = [o.said for o in outcomes if o.kind == "right" and o.verdict == "fault"]
    assert len(accused) <= 3, accused
    missed = [o.said for o in outcomes if o.kind != "right" and not o.found]
    assert len(missed) <= 2, missed
