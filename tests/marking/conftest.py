import marking_fakes
import pytest
from rich.console import Console

from verifier.marking.commands import mark
from verifier.marking.options import MarkOptions


@pytest.fixture
def pile(tmp_path):
    """A sheet and an empty folder for scripts; `pile(name, text)` hands one in."""

    class Pile:
        sheet = tmp_path / "hoist.given"
        folder = tmp_path / "scripts"
        results = tmp_path / "scripts" / "_marks"

        def __call__(self, name, text):
            path = self.folder / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_text(text, encoding="utf-8")
            return path

        def mark(self, **options):
            chosen = {"workers": 1, "quiet": True} | options
            return mark(self.sheet, self.folder, MarkOptions(**chosen), opener=marking_fakes.OPENER)

        def csv(self, name="marks.csv"):
            import csv

            text = (self.results / name).read_text(encoding="utf-8-sig")
            return list(csv.DictReader(text.splitlines()))

        def marks(self):
            return {row["script"]: row["total"] for row in self.csv()}

        def outputs(self):
            return {
                str(path.relative_to(self.results)): path.read_bytes()
                for path in sorted(self.results.rglob("*"))
                if path.is_file() and "ledger" not in path.name
            }

    made = Pile()
    made.folder.mkdir()
    made.sheet.write_text(marking_fakes.SHEET)
    return made


@pytest.fixture
def screen():
    import io

    return Console(file=io.StringIO(), width=80, markup=False, highlight=False, no_color=True)
