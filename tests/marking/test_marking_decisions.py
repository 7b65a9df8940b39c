import pytest
from marking_fakes import DOUBTFUL, FAULTY, OPENER, RIGHT

from verifier.errors import FileError, UsageError
from verifier.marking.commands import mark, moderate
from verifier.marking.moderation import moderate_marks, weighted_kappa
from verifier.marking.options import MarkOptions
from verifier.marking.sheets import read_hand_marks, read_numbers, read_overrides


def test_a_decision_stands_with_who_and_why_and_survives(pile):
    pile("anna.txt", FAULTY)
    pile.mark(override=[["anna.txt", "R-S", "1,5", "method seen overleaf"]], by="Jo")
    pile.mark(again=True)
    (row,) = pile.csv()
    assert (row["total"], row["R-S"], row["decided by"]) == ("4.5", "1.5", "Jo")
    said = (pile.results / "feedback" / "anna.txt.txt").read_text()
    assert "set to 1.5 by Jo: method seen overleaf [+1.5]" in said


def test_a_decision_on_a_part_the_total_and_taken_back(pile):
    pile("anna.txt", FAULTY)
    pile.mark(override=[["anna", "R-S method", "1", "seen"]])
    assert pile.marks() == {"anna.txt": "4"}
    pile.mark(override=[["anna", "total", "2", "late"]])
    assert pile.marks() == {"anna.txt": "2"}
    pile.mark(override=[["anna", "total", "-", "was in time"]])
    assert pile.marks() == {"anna.txt": "4"}


def test_a_decision_on_a_script_that_failed(pile):
    pile("essay.docx", "x")
    pile.mark(override=[["essay.docx", "P-R", "2", "read on paper"]])
    assert pile.marks() == {"essay.docx": "2"}


def test_a_decision_on_an_earlier_version_asks_for_an_eye(pile):
    pile("anna.txt", FAULTY)
    pile.mark(override=[["anna", "R-S", "2", "seen"]])
    pile("anna.txt", RIGHT)
    pile.mark()
    assert pile.marks() == {"anna.txt": "5"}
    (row,) = pile.csv("attention.csv")
    assert "1 decision made on an earlier version" in row["why"]


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (["nobody", "P-R", "1", "x"], "no script 'nobody'"),
        (["anna", "Q-Z", "1", "x"], "'Q-Z' has no marks"),
        (["anna", "P-R", "99", "x"], "it can have 0 to 3"),
        (["anna", "P-R", "many", "x"], "not a number of marks"),
        (["anna", "P-R", "nan", "x"], "P-R cannot have nan"),
        (["anna", "P-R", "1", " "], "needs a reason"),
    ],
)
def test_a_wrong_decision_is_told(pile, words, said):
    pile("anna.txt", RIGHT)
    with pytest.raises(UsageError) as caught:
        pile.mark(override=[words])
    assert said in str(caught.value)


def test_a_table_of_decisions_may_be_handed_in_again(pile, tmp_path):
    pile("anna.txt", FAULTY)
    table = tmp_path / "decisions.csv"
    table.write_text("script;item;marks;why;who\nanna.txt;R-S;2;seen;Kim\n")
    pile.mark(overrides=table)
    pile.mark(overrides=table)
    (row,) = pile.csv()
    assert (row["total"], row["decided by"]) == ("5", "Kim")


def test_numbers_take_the_place_of_names_everywhere(pile, tmp_path):
    pile("anna.txt", "unusable")
    pile("anna2/anna-page.tex", "x")
    (pile.folder / "anna2" / "anna-page.tex").write_bytes(b"\0")
    pile("ben.txt", FAULTY)
    pile("cy.txt", DOUBTFUL)
    table = tmp_path / "numbers.csv"
    table.write_text("script,number\nben,17\nanna.txt,4\nanna2,5\n")
    pile.mark(candidates=table)
    assert [row["script"] for row in pile.csv()] == ["0001", "4", "5", "17"]
    for name, data in pile.outputs().items():
        if not name.endswith(".xlsx"):
            assert not any(who in data + name.encode() for who in (b"anna", b"ben", b"cy.txt"))
    pile.mark()  # the numbers stay
    assert [row["script"] for row in pile.csv()] == ["0001", "4", "5", "17"]
    pile.mark(override=[["17", "total", "1", "late"]])
    assert pile.marks()["17"] == "1"


def test_anonymous_numbers_stay_with_their_scripts(pile):
    for name in ("anna.txt", "ben.txt"):
        pile(name, RIGHT)
    pile.mark(anonymous=True)
    first = {row["script"] for row in pile.csv()}
    assert first == {"0001", "0002"}
    pile("aaron.txt", FAULTY)
    pile.mark()
    marks = pile.marks()
    assert set(marks) == {"0001", "0002", "0003"}
    assert marks["0003"] == "3"


def test_a_forgotten_candidate_is_gone_and_stays_away(pile, capsys):
    pile("anna.txt", FAULTY)
    pile("ben.txt", RIGHT)
    pile.mark(override=[["anna", "R-S", "2", "seen"]])
    assert pile.mark(forget=["anna.txt"]) == 0
    assert "still in" in capsys.readouterr().out
    for path in pile.results.rglob("*"):
        assert "anna" not in path.name
        assert path.is_dir() or b"anna" not in path.read_bytes()
    pile.mark()
    assert pile.marks() == {"ben.txt": "5"}
    with pytest.raises(UsageError, match="no script 'zoe'"):
        pile.mark(forget=["zoe"])


def test_hand_marks_are_held_against_the_tools(pile, tmp_path, capsys):
    pile("anna.txt", RIGHT)
    pile("ben.txt", FAULTY)
    pile("cy.txt", "RS = 16.9\n")
    pile.mark(override=[["ben", "R-S", "2", "hand says so"]])
    hand = tmp_path / "hand.csv"
    hand.write_text("script,P-R,R-S,total\nanna.txt,3,2,5\nben,3,1,4\ncy,0,2,2\nzoe,1,1,2\n")
    table = moderate(pile.folder, hand)
    total, item, other = table.rows
    assert (total.item, total.scripts, total.within_one) == ("", 3, 1)
    assert total.exact == pytest.approx(2 / 3)
    assert (item.item, item.exact, item.kappa) == ("P-R", 1, 1)
    assert (other.item, other.bias) == ("R-S", pytest.approx(-1 / 3))
    assert table.apart == (("ben.txt", 4, 3),)
    assert table.unknown == ("zoe",)
    said = (pile.results / "moderation.txt").read_text()
    assert said == capsys.readouterr().out
    assert "total        3    67%      100%   0.90        -0.33" in said
    assert pile.mark(moderate=hand) == 1


def test_kappa_with_quadratic_weights():
    assert weighted_kappa([(1, 1), (1, 1)]) is None
    assert weighted_kappa([(0, 2), (2, 0)]) == -1
    # by hand: 1 − (1/4) / (Σ over all pairings 10/16)
    assert weighted_kappa([(0, 0), (1, 1), (1, 0), (0, 0)]) == pytest.approx(1 - 0.25 / 0.5)
    assert moderate_marks({}, {}, ["P-R"]).rows == ()


@pytest.mark.parametrize(
    ("reader", "text", "said"),
    [
        (read_numbers, "anna\n", "no script and number"),
        (read_numbers, "a,1\nb,1\n", "a second time"),
        (read_numbers, b"\0\1", "not a text file"),
        (lambda path: read_overrides(path, ""), "a,P-R,2\n", "script, item, marks and why"),
        (lambda path: read_overrides(path, ""), "a,P-R,two,why\n", "not a number of marks"),
        (lambda path: read_hand_marks(path, ["P-R"]), "who,what\n", "does not name"),
        (lambda path: read_hand_marks(path, ["P-R"]), "script,P-R\na,inf\n", "not a number"),
        (lambda path: read_hand_marks(path, ["P-R"]), "", "does not name"),
    ],
)
def test_a_wrong_table_is_told_in_one_line(tmp_path, reader, text, said):
    path = tmp_path / "table.csv"
    path.write_bytes(text if isinstance(text, bytes) else text.encode())
    with pytest.raises(FileError) as caught:
        reader(path)
    assert said in str(caught.value)
    assert "\n" not in str(caught.value)


def test_our_own_table_can_be_handed_back(pile):
    pile("=x.txt", FAULTY)
    pile.mark()
    found = read_hand_marks(pile.results / "marks.csv", ["P-R", "R-S"])
    assert found == {"=x.txt": {"": 3.0, "P-R": 3.0, "R-S": 0.0}}


def test_results_may_lie_elsewhere(pile, tmp_path):
    pile("anna.txt", RIGHT)
    elsewhere = tmp_path / "elsewhere"
    options = MarkOptions(results=elsewhere, workers=1, quiet=True, plain=True)
    assert mark(pile.sheet, pile.folder, options, opener=OPENER) == 0
    assert (elsewhere / "marks.csv").exists()
    assert not (elsewhere / "marks.xlsx").exists()
    assert not pile.results.exists()
