"""Marks of the samples, through the real checker."""

from pathlib import Path

import pytest

from verifier.marking.awarding import award
from verifier.marking.desk import DeskPlan
from verifier.marking.judging import Task, judge
from verifier.marking.scheme_file import scheme_of

SAMPLES = Path(__file__).parents[2] / "samples"
SHEETS = sorted(SAMPLES.glob("*/*.given"))


def marks(sheet, working):
    desk = DeskPlan(sheet.read_text(encoding="utf-8"), sheet.name).open()
    scheme = scheme_of(desk.structure)
    outcome = judge(Task(working.name, (str(working),)), desk)
    assert outcome.reason == ""
    return award(outcome.result, scheme), outcome.result


@pytest.mark.parametrize("sheet", SHEETS, ids=lambda path: path.stem)
def test_a_right_working_has_every_mark_and_a_faulty_one_says_which_it_lost(sheet):
    right, faulty = sheet.with_name("right.txt"), sheet.with_name("faulty.txt")
    if not right.exists() or not faulty.exists():
        pytest.skip("a sample of another kind")
    score, _ = marks(sheet, right)
    assert score.total == score.out_of
    score, result = marks(sheet, faulty)
    assert score.total < score.out_of
    first = result.first_fault
    whys = [why for item in score.items for why in item.reasons]
    assert any(why.line == first.line and why.change < 0 for why in whys)
    changes = sum(why.change for why in (*whys, *score.reasons, *score.bounds))
    assert score.total == pytest.approx(score.out_of + changes)
