import made_results as made
import pytest

from verifier.reporting.html import join, tag
from verifier.reporting.page import student_page
from verifier.reporting.page_working import Extras
from verifier.statics.solution import Step

STEPS = (Step("joint R", "ΣF_x", "2.5 − R-S = 0", ("R-S = 2.5 kN (T)",)),)


def test_text_is_escaped_and_only_text():
    assert tag("p", "a < b", tag("b", "c"), title='"') == '<p title="&quot;">a &lt; b<b>c</b></p>'
    assert join("a\x1b&", None, "\u202e") == "a�&amp;�"


def test_the_first_fault_is_ringed_in_the_line_as_written():
    page = student_page(made.faulty())
    assert 'S_x(1.0) − <mark title="lever arm">6(2.0)</mark> − 2.5(1.0)' in page
    assert "6(2.4)" in page


def test_no_solution_unless_asked():
    assert "19.4" not in student_page(made.faulty())
    shown = student_page(made.faulty(), Extras(steps=STEPS, solution=True))
    assert "19.4" in shown
    assert "2.5 − R-S = 0" in shown


def test_a_page_fetches_nothing_and_runs_nothing():
    page = student_page(made.faulty())
    assert "default-src &#x27;none&#x27;" in page or "default-src 'none'" in page
    assert "http" not in page.replace("http-equiv", "")
    assert "<script" not in page


def test_the_page_speaks_german():
    page = student_page(made.faulty(), language="de")
    assert '<html lang="de">' in page
    assert "Zeile 2: Hebelarm" in page
    assert "ganzes Tragwerk, Momente um P" in page


@pytest.mark.parametrize("make", [made.faulty, made.right, made.doubtful, made.unfinished])
def test_every_line_is_there(make):
    page = student_page(make())
    assert page.count('<span class="number">') == len(make().lines)
