import os
import shutil
import signal
import sqlite3
import subprocess
import sys
import time
from pathlib import Path

import pytest
from marking_fakes import DOUBTFUL, FAULTY, OPENER, RIGHT

from verifier.errors import FileError, SheetError
from verifier.marking import run as running


@pytest.fixture
def judged_names(monkeypatch):
    """The names of the scripts that were judged, not only marked or kept."""
    names = []
    before = running.row_of

    def noting(outcome, scheme):
        names.append(outcome.task.name)
        return before(outcome, scheme)

    monkeypatch.setattr(running, "row_of", noting)
    return names


def test_a_pile_is_marked_and_nothing_is_judged_twice(pile, judged_names):
    pile("anna.txt", RIGHT)
    pile("ben.txt", FAULTY)
    pile("cy/p1.txt", "S_x(1.0) = 3\nRS = 16.9 kN\n")
    pile("cy/p2.png", "PR = -75.6 kN?PR = -15.6 kN\n")
    assert pile.mark() == 1
    assert pile.marks() == {"anna.txt": "5", "ben.txt": "3", "cy": "5"}
    before = pile.outputs()
    assert pile.mark() == 1
    assert pile.outputs() == before
    assert sorted(judged_names) == ["anna.txt", "ben.txt", "cy"]
    pile("ben.txt", RIGHT)
    pile("dot.txt", RIGHT)
    (pile.folder / "anna.txt").unlink()
    assert pile.mark() == 3
    assert pile.marks() == {"ben.txt": "5", "cy": "5", "dot.txt": "5"}
    assert sorted(judged_names[3:]) == ["ben.txt", "dot.txt"]
    pile("anna.txt", RIGHT)
    pile.mark()
    assert judged_names[5:] == []  # it was kept while its script was away
    assert pile.marks()["anna.txt"] == "5"


def test_another_scheme_marks_anew_without_judging(pile, judged_names):
    pile("anna.txt", RIGHT)
    pile.mark()
    scheme = pile.folder / "scheme.toml"
    scheme.write_text('[marks]\n"P-R" = 7\n')
    pile.mark(scheme=scheme)
    assert pile.marks() == {"anna.txt": "7"}
    assert judged_names == ["anna.txt"]


def test_another_sheet_and_again_judge_anew(pile, judged_names):
    pile("anna.txt", RIGHT)
    pile.mark()
    pile.sheet.write_text("another sheet\n")
    pile.mark()
    pile.mark(again=True)
    assert judged_names == ["anna.txt"] * 3


def test_whatever_a_script_does_is_one_row_with_its_reason(pile):
    pile("a.txt", RIGHT)
    for name in ("crash", "hang", "raise", "unusable"):
        pile(f"{name}.txt", name)
    pile("essay.docx", "x")
    pile("z.txt", RIGHT)
    assert pile.mark(seconds=1.0, workers=2) == 3
    rows = {row["script"]: row for row in pile.csv()}
    assert rows["a.txt"]["total"] == rows["z.txt"]["total"] == "5"
    assert "SIGKILL" in rows["crash.txt"]["note"]
    assert "longer than 1 s" in rows["hang.txt"]["note"]
    assert "ZeroDivisionError" in rows["raise.txt"]["note"]
    assert "nothing that can be read" in rows["unusable.txt"]["note"]
    assert "docx" in rows["essay.docx"]["note"]
    assert {row["verdict"] for row in rows.values()} == {"agrees", "failed"}


def test_what_is_no_ordinary_file_is_never_opened(pile):
    os.mkfifo(pile.folder / "pipe.txt")
    (pile.folder / "gone.txt").symlink_to(pile.folder / "nowhere")
    pile("loop/p1.txt", RIGHT)
    (pile.folder / "loop" / "again").symlink_to(pile.folder)
    pile.mark()
    rows = {row["script"]: row for row in pile.csv()}
    assert "not an ordinary file" in rows["pipe.txt"]["note"]
    assert "gone.txt" in rows["gone.txt"]["note"]
    assert rows["loop"]["total"] == "5"


@pytest.mark.skipif(not Path("/proc/self/statm").exists(), reason="the system does not tell")
def test_a_script_that_takes_too_much_memory_is_one_row(pile):
    pile("hog.txt", "hog")
    pile("z.txt", RIGHT)
    assert pile.mark(megabytes=150) == 3
    rows = {row["script"]: row for row in pile.csv()}
    assert "more than 150 MB" in rows["hog.txt"]["note"]
    assert rows["z.txt"]["total"] == "5"


def test_a_worker_that_dies_once_costs_nothing(pile, monkeypatch, tmp_path):
    monkeypatch.setenv("MARKING_FLAG", str(tmp_path / "flag"))
    pile("once.txt", "crash once")
    assert pile.mark() == 3
    assert pile.csv()[0]["verdict"] == "unfinished"


def test_results_are_the_same_bytes_whatever_the_workers(pile, tmp_path):
    for number in range(12):
        pile(f"s{number}.txt", (RIGHT, FAULTY, DOUBTFUL, "raise")[number % 4] + "\n" * number)
    pile.mark(workers=1)
    before = pile.outputs()
    shutil.rmtree(pile.results)
    pile.mark(workers=3)
    assert pile.outputs() == before
    assert len([name for name in before if name.startswith("feedback")]) == 12


def test_a_wrong_sheet_is_told_before_anything_is_written(pile):
    pile("a.txt", RIGHT)
    pile.sheet.write_text("broken\n")
    with pytest.raises(SheetError):
        pile.mark()
    assert not pile.results.exists()
    pile.sheet.unlink()
    with pytest.raises(FileError, match="no such"):
        pile.mark()


_RUN = """
import sys
from pathlib import Path
sys.path.insert(0, sys.argv[3])
from verifier.marking.commands import mark
from verifier.marking.options import MarkOptions
if __name__ == "__main__":
    options = MarkOptions(workers=2, quiet=True, plain=True)
    sys.exit(mark(Path(sys.argv[1]), Path(sys.argv[2]), options, opener=sys.argv[4]))
"""


def start(pile, tmp_path):
    script = tmp_path / "runner.py"
    script.write_text(_RUN)
    here = str(Path(__file__).parent)
    return subprocess.Popen(
        [sys.executable, str(script), str(pile.sheet), str(pile.folder), here, OPENER]
    )


def rows_so_far(pile):
    """Return the names in the ledger as a killed run left them, from a copy."""
    copy = pile.folder.parent / "copy"
    shutil.rmtree(copy, ignore_errors=True)
    copy.mkdir()
    for file in pile.results.glob("ledger.sqlite*"):
        shutil.copy(file, copy)
    base = sqlite3.connect(copy / "ledger.sqlite")
    names = [name for (name,) in base.execute("SELECT name FROM scripts")]
    base.close()
    return names


def wait_for_rows(pile, count):
    until = time.monotonic() + 20
    while time.monotonic() < until:
        if (pile.results / "ledger.sqlite-wal").exists():
            try:
                if len(rows_so_far(pile)) >= count:
                    return
            except (OSError, shutil.Error, sqlite3.Error):
                pass  # copied in the middle of a write
        time.sleep(0.05)
    raise AssertionError("the run has written nothing")


@pytest.mark.skipif(os.name == "nt", reason="signals")
def test_a_killed_run_goes_on_without_losing_or_doubling(pile, tmp_path, judged_names):
    for number in range(30):
        pile(f"s{number:02}.txt", "slow\n" + "\n" * number)
    process = start(pile, tmp_path)
    wait_for_rows(pile, 3)
    process.send_signal(signal.SIGKILL)
    process.wait()
    kept = rows_so_far(pile)
    assert 3 <= len(kept) == len(set(kept)) < 30
    pile.mark(workers=2)
    assert [row["script"] for row in pile.csv()] == [f"s{number:02}.txt" for number in range(30)]
    assert set(judged_names) == {f"s{number:02}.txt" for number in range(30)} - set(kept)


@pytest.mark.skipif(os.name == "nt", reason="signals")
def test_ctrl_c_stops_cleanly_and_keeps_what_is_done(pile, tmp_path):
    for number in range(40):
        pile(f"s{number:02}.txt", "slow")
    process = start(pile, tmp_path)
    wait_for_rows(pile, 3)
    process.send_signal(signal.SIGINT)
    assert process.wait(timeout=10) == 3
    done = pile.csv()
    assert 0 < len(done) < 40
    assert len(rows_so_far(pile)) == len(done)
