import io
import os
import pty
from dataclasses import replace

import made_results as made
import pytest

from verifier.findings import Finding, LineVerdict, Result
from verifier.reporting.colours import console
from verifier.reporting.terminal import report


def shown(result, width=80, **settings):
    out = io.StringIO()
    report(result, console(out, width), **settings)
    return out.getvalue()


FAULTY = """\
hoist-slip.txt: not right yet. It first goes wrong at line 2.
The one claim before it is right.

  Line 2: lever arm

    ΣM_P = 0 ⟲+: S_x(1.0) − 6(2.0) − 2.5(1.0) = 0
                            ^^^^^^

  Written        6(2.0)
  Statics wants  6(2.4)
  In             whole structure, moments about P
  Why            The 6 kN load at Q stands 2.4 m to the right of P, so that is
                 its lever arm about P.

  Lines 3 and 4 only follow from it: rightly worked from what came before.

Answers
  reaction P x  17 kN left  follows from the fault; statics: 19.4 kN left
  reaction P y  6 kN up     agrees
  P-R           –           no answer yet

Names as taken
  S_x: reaction at S, to the right; P_y: reaction at P, upward.

Bear in mind
  Equilibrium alone is checked, not strength, stability, deflection or any code
    of practice.

--full shows every line.
"""


def test_a_fault_is_told_first_with_its_term_marked():
    assert shown(made.faulty()) == FAULTY


def test_full_shows_every_line_and_how_each_name_was_taken():
    text = shown(made.faulty(), full=True)
    assert (
        """\
Names as taken
  S_x: reaction at S, to the right (as the working fits best)
  P_y: reaction at P, upward (as the working says)

Every line
  1  right    ΣF_y = 0: P_y − 6 = 0
              read as P_y − 6 = 0
  2  WRONG    ΣM_P = 0 ⟲+: S_x(1.0) − 6(2.0) − 2.5(1.0) = 0
              read as S_x·1.0 − 6·2.0 − 2.5·1.0 = 0
  3  follows  S_x = 14.5 kN
  4  follows  P_x = −17.0 kN
  5  -        Joint R
  6  right    RS = 2.5 kN (T)
"""
        in text
    )
    assert "--full" not in text


def test_a_right_working_is_told_in_two_lines():
    assert shown(made.right()).startswith(
        "hoist-right.txt: right.\n"
        "All 2 lines that claim something agree with statics. Well worked.\n\nAnswers\n"
    )


def test_doubtful_and_unread_lines_are_shown_for_confirmation():
    assert shown(made.doubtful()).startswith("""\
page.jpg: no fault found, but it cannot be called right before you have looked.
2 lines are open: please look at them below.

Please look at
  Line 2: in doubt where ⟦likeliest|other⟧ stands (read with 71 % certainty)
    PR = −1⟦6|5⟧.6 kN
  Line 3: not understood
    ½)§ kN
  If the paper says what is shown here: --confirmed 2
  If it says something else, correct the reading and check that:
    counterpoise read page.jpg > reading.txt

Answers
""")


def test_an_unfinished_working_says_what_is_still_to_be_found():
    assert shown(made.unfinished()).startswith(
        "half.txt: nothing wrong so far, and not finished yet.\nStill to be found: P-R and R-S.\n"
    )


def test_a_working_without_a_sheet_says_that_the_figure_was_not_checked():
    assert (
        shown(made.alone())
        == """\
page.txt: agrees with itself.
The one line that claims something is in order in itself.
There was no sheet, so the figure itself was not checked.

--full shows every line.
"""
    )


def test_right_answers_reached_through_a_fault_are_told_as_such():
    result = made.faulty()
    right = tuple(replace(answer, status="agrees") for answer in result.answers)
    assert "The answers come out right all the same" in shown(replace(result, answers=right))


def test_later_faults_and_repeats_come_after_the_first():
    result = made.faulty()
    first = replace(made.FAULT, repeats=(4, 5, 6, 9), certainty="best explanation")
    second = Finding("sign", 6, (5, 8), "2.5", "joint R", "−2.5", "It pushes.")
    text = shown(replace(result, faults=(first, second)))
    assert "The same slip comes again in lines 4 to 6 and 9." in text
    assert "How sure       this explains the line best" in text
    assert text.index("Further on") > text.index("Line 2: lever arm")
    assert "    RS = 2.5 kN (T)\n         ^^^\n    It pushes.\n" in text


def test_a_note_of_several_lines_keeps_them():
    noted = replace(made.alone(), notes=("A sheet drafted from the working:\nunits   kN, m",))
    assert """\
A sheet to fill in
  A sheet drafted from the working:
  units   kN, m
""" in shown(noted)


@pytest.mark.parametrize("width", [40, 80, 120, 300])
@pytest.mark.parametrize("make", [made.faulty, made.right, made.doubtful, made.unfinished])
def test_no_row_is_wider_than_the_terminal_and_none_ends_in_blanks(make, width):
    for row in shown(make(), width, full=True).splitlines():
        assert len(row) <= min(width, 120)
        assert row == row.rstrip()


def test_a_pipe_gets_no_control_codes():
    assert "\x1b" not in shown(made.faulty(), full=True)


def test_hostile_text_steers_nothing():
    evil = "\x1b[2J\x07[red]x[/red] \u202e = 1"
    fault = replace(made.FAULT, line=1, columns=(0, 3), message=evil, expected=evil, where=evil)
    result = Result(
        evil, evil, "fault", (fault,), (LineVerdict(1, evil, "fault", evil),), notes=(evil,)
    )
    text = shown(result, full=True)
    assert "\x1b" not in text
    assert "\x07" not in text
    assert "\u202e" not in text
    assert "[red]x[/red]" in text


def on_a_terminal(monkeypatch, **environment):
    for name in ("NO_COLOR", "FORCE_COLOR"):
        monkeypatch.delenv(name, raising=False)
    monkeypatch.setenv("TERM", "xterm-256color")
    for name, setting in environment.items():
        monkeypatch.setenv(name, setting)
    ours, theirs = pty.openpty()
    with os.fdopen(theirs, "w", encoding="utf-8") as terminal:
        report(made.right(), console(terminal, 80))
    told = os.read(ours, 100_000).decode()
    os.close(ours)
    return told


def test_colour_only_adds_to_the_words(monkeypatch):
    assert "\x1b[32m" in on_a_terminal(monkeypatch)
    assert "\x1b[32m" not in on_a_terminal(monkeypatch, NO_COLOR="1")
