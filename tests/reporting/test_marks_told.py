"""A marking run in another language: what people read is told, what programs read stays."""

import csv
import shutil
from pathlib import Path

from verifier.cli import main

HOIST = Path(__file__).resolve().parents[2] / "samples" / "slip-hoist"


def test_a_run_in_german_speaks_german_and_keeps_its_tables(tmp_path, capsys):
    pile = tmp_path / "pile"
    pile.mkdir()
    shutil.copyfile(HOIST / "faulty.txt", pile / "anna.txt")
    (pile / "ben.txt").write_text("A_x = 10.5 kN\n", encoding="utf-8")
    sheet = HOIST / "slip-hoist.given"
    assert main(["mark", "--language", "de", "--workers", "1", str(sheet), str(pile)]) == 1
    said = capsys.readouterr().out
    assert "2 Arbeiten: 1 fehlerhaft, 1 unfertig" in said
    results = pile / "_marks"
    feedback = (results / "feedback" / "anna.txt.txt").read_text(encoding="utf-8")
    assert "Punkte: " in feedback
    assert "Wo es zuerst schiefgeht" in feedback
    assert "Komponente: Sinus und Kosinus sind vertauscht" in feedback
    assert "follows" not in feedback
    assert "Auflagerkraft A x" in (results / "summary.txt").read_text(encoding="utf-8")
    assert "Arbeiten nach Punkten" in (results / "summary.svg").read_text(encoding="utf-8")
    table = (results / "marks.csv").read_text(encoding="utf-8-sig")
    rows = list(csv.DictReader(table.splitlines()))
    assert [row["verdict"] for row in rows] == ["fault", "unfinished"]
    assert rows[0]["first fault"] == "component"
