import contextlib
import sqlite3
import subprocess
import sys
from dataclasses import replace

import pytest
from marking_fakes import DOUBTFUL, FAULTY, judged, open_fake

from verifier.errors import CounterpoiseError, FileError, UsageError
from verifier.marking import stored
from verifier.marking.awarding import award
from verifier.marking.ledger import Ledger, Row
from verifier.marking.options import Override
from verifier.marking.pages import Correction, typed_lines
from verifier.marking.scheme_file import scheme_of
from verifier.reading.lines import ReadLine

SCHEME = scheme_of(open_fake("sheet").structure)


def as_read(result):
    return tuple(
        ReadLine(one.text, 1, one.box, 0.7, tuple((other, 0.3) for other in one.alternatives),
                 (None, (1, 2, 3, 4)), "hand")
        for one in result.lines
    )  # fmt: skip


def row(name="anna.txt", text=FAULTY):
    made = judged(text, picture=True)
    return Row(
        name,
        "d" * 64,
        "stamp",
        "key",
        read=as_read(made),
        result=made,
        marks_key="m",
        marks=award(made, SCHEME),
        tool="1",
        verdict=made.verdict,
    )


@pytest.fixture
def ledger(tmp_path):
    with Ledger(tmp_path / "ledger.sqlite") as opened:
        yield opened


def test_results_come_back_as_they_went_in():
    for text in (FAULTY, DOUBTFUL):
        result = judged(text, picture=True)
        assert stored.load(stored.dump(result)) == result
        assert stored.dump(stored.load(stored.dump(result))) == stored.dump(result)


def test_rows_come_back_and_a_second_one_takes_the_firsts_place(ledger):
    ledger.put(row())
    ledger.put(row(text=DOUBTFUL))
    assert ledger.row("anna.txt") == row(text=DOUBTFUL)
    assert list(ledger.heads()) == ["anna.txt"]
    assert ledger.heads()["anna.txt"].verdict == "undecided"
    assert ledger.row("ben.txt") is None


def test_a_typed_reading_is_kept_only_where_it_was_corrected(ledger):
    made = judged("\n\nRS = 16.9 kN\n\nPR = 1 kN\n")
    typed = replace(row(), result=made, read=typed_lines(made.lines))
    ledger.put(typed)
    assert ledger.row("anna.txt").read == typed.read
    assert [line.text for line in typed.read] == ["", "", "RS = 16.9 kN", "", "PR = 1 kN"]
    right = judged("\n\nRS = 16.9 kN\n\nPR = -15.6 kN\n")
    ledger.put(replace(typed, result=right))
    assert ledger.row("anna.txt").read == typed.read


def test_a_transaction_is_kept_whole_or_not_at_all(ledger):
    with contextlib.suppress(KeyError), ledger.together():
        ledger.put(row())
        raise KeyError
    assert ledger.heads() == {}


def test_a_second_run_is_turned_away(tmp_path, ledger):
    code = (
        "import sys; from pathlib import Path; from verifier.marking.ledger import Ledger\n"
        "from verifier.errors import UsageError\n"
        "try: Ledger(Path(sys.argv[1]))\n"
        "except UsageError as error: print(error)\n"
    )
    said = subprocess.run(
        [sys.executable, "-c", code, str(ledger.path)], capture_output=True, text=True, check=True
    )
    assert "another run is at work" in said.stdout
    with pytest.raises(UsageError, match="another run"):
        Ledger(ledger.path)


@pytest.mark.parametrize("content", [b"no ledger" * 99, b"SQLite format 3\0" + b"\xff" * 999])
def test_a_file_that_is_no_ledger_is_refused(tmp_path, content):
    path = tmp_path / "ledger.sqlite"
    path.write_bytes(content)
    with pytest.raises(FileError, match="not a ledger"):
        Ledger(path)
    assert path.read_bytes() == content


def test_a_ledger_of_another_form_is_refused(tmp_path, ledger):
    ledger.note("form", "99")
    ledger.close()
    with pytest.raises(FileError, match="form 99"):
        Ledger(ledger.path)


def test_decisions_keep_their_history(ledger):
    ledger.override(Override("a", "P-R", "", 2.0, "Jo", "seen", "now"), "d1")
    ledger.override(Override("a", "P-R", "", 3.0, "Jo", "again", "later"), "d2")
    assert [(one.marks, digest) for one, digest in ledger.overrides("a")] == [(2, "d1"), (3, "d2")]


def test_corrections_belong_to_one_version_of_a_script(ledger):
    ledger.correct("a", "d1", Correction(3, "7", "1", "Jo", "now"))
    ledger.correct("a", "d1", Correction(3, "7", "4", "Jo", "now"))
    assert [one.text for one in ledger.corrections("a", "d1")] == ["4"]
    assert ledger.corrections("a", "d2") == ()


def test_numbers_can_be_swapped_but_not_shared(ledger):
    ledger.number({"a": "1", "b": "2"})
    ledger.number({"a": "2", "b": "1"})
    assert ledger.numbers() == {"a": "2", "b": "1"}
    with pytest.raises(UsageError, match="two scripts"):
        ledger.number({"c": "1"})
    assert ledger.numbers() == {"a": "2", "b": "1"}


def test_the_forgotten_leave_nothing_behind(tmp_path, ledger):
    secret = "zebedee-quillfeather"
    ledger.put(row(f"{secret}.txt", RIGHTLY := f"{FAULTY}signed {secret}\n"))
    assert secret in RIGHTLY
    ledger.number({f"{secret}.txt": "7"})
    ledger.override(Override(f"{secret}.txt", "", "", 1.0, "Jo", secret, "now"), "d")
    ledger.correct(f"{secret}.txt", "d" * 64, Correction(1, secret, secret))
    ledger.forget(f"{secret}.txt")
    assert ledger.is_forgotten(f"{secret}.txt")
    assert not ledger.is_forgotten("anna.txt")
    ledger.close()
    for path in tmp_path.iterdir():
        assert secret.encode() not in path.read_bytes()


def test_a_ledger_that_cannot_be_written_is_told(tmp_path):
    (tmp_path / "file").write_text("x")
    with pytest.raises(CounterpoiseError):
        Ledger(tmp_path / "file" / "ledger.sqlite")


def test_it_is_an_ordinary_database(ledger):
    ledger.put(row())
    ledger.close()
    base = sqlite3.connect(ledger.path)
    assert base.execute("SELECT name, verdict FROM scripts").fetchall() == [("anna.txt", "fault")]
    base.close()
