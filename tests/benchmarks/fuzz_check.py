"""Coverage-guided fuzzing of `check` with typed workings (needs the extra `fuzz`: atheris).

python tests/benchmarks/fuzz_check.py [--seconds S] [--corpus FOLDER] [--replay FOLDER]

Each input is a working held against one of a few small sheets (its first byte says which, or none).
What must hold: nothing but a `CounterpoiseError` is raised, every line that is not blank is in the
result, its parts give it back, the answer is plain JSON, and no input of a few hundred
characters takes longer than three seconds of a processor. With `--replay` a kept corpus is run,
without atheris, and the slowest input is told.
"""

# ruff: noqa: T201  (a command that prints what it found)

from __future__ import annotations

import argparse
import json
import random
import sys
import time
from pathlib import Path

HERE = Path(__file__).resolve().parent
sys.path.insert(0, str(HERE.parents[1]))
CORPUS = HERE / "fuzz_corpus"
LIMIT = 600
SLOW = 3.0
SHEETS = (
    "units kN, m\njoint P 0 0\njoint Q 2.4 0\njoint R 2.4 1.0\njoint S 0 1.0\n"
    "member P-Q, Q-R, P-R, R-S\npin P\npin S\nload Q 6 down\nload R 2.5 right\nfind P-R, R-S\n",
    "units kN, m\njoint A 0 0\njoint B 4 0\njoint C 6 0\nbody deck: A, B, C\npin A\nroller B\n"
    "load C 9 down\ncouple A 3 clockwise\nfind reactions\n",
    "units kip, ft\njoint L0 0 0\njoint L1 8 0\njoint U1 4 3\nmember L0-L1, L0-U1, U1-L1\n"
    "pin L0\nroller L1\nload U1 2.5 down\nfind all members\n",
)


class Subject:
    """The code under test, with the sheets made ready once."""

    def __init__(self) -> None:
        from verifier import pipeline
        from verifier.errors import CounterpoiseError
        from verifier.notation import read_working
        from verifier.notation.tree import Names, Struck

        self.pipeline, self.error, self.read = pipeline, CounterpoiseError, read_working
        self.no_names, self.struck = Names(), Struck
        self.sheets = [pipeline.open_sheet(text) for text in SHEETS]

    def __call__(self, data: bytes) -> None:
        """Hold one input against what must be true of every working."""
        which, body = (data[0], data[1:]) if data else (0, b"")
        text = body[:LIMIT].decode("utf-8", "ignore") + "\n"
        sheet = (*self.sheets, None)[which % (len(SHEETS) + 1)]
        start = time.process_time()
        try:
            result = self.pipeline.check_against(sheet, text)
        except self.error:
            return
        finally:
            took = time.process_time() - start
            if took > SLOW:
                raise TimeoutError(f"{took:.1f} s for {text!r}")
        json.dumps(result.to_json())
        self._lines(text, sheet.names if sheet else self.no_names)

    def _lines(self, text: str, names: object) -> None:
        for line in self.read(text, names):  # type: ignore[arg-type]
            at = 0
            for part in line.parts:
                start, end = part.span
                if isinstance(part, self.struck) and start < at:  # inside a relation
                    continue
                assert at <= start <= end <= len(line.whole), (part, line.whole)
                at = end


def golden_lines() -> list[str]:
    """The written lines of the golden files, stuff for the mutator."""
    folder = HERE.parent / "golden" / "notation"
    return [
        row.removeprefix("> ")
        for path in sorted(folder.glob("*.txt"))
        for row in path.read_text("utf-8").splitlines()
        if row.startswith("> ")
    ]


class Mutator:
    """Joins, cuts and mixes lines that people write."""

    def __init__(self) -> None:
        self.lines = golden_lines()
        self.pieces = sorted({word for line in self.lines for word in line.split()})

    def __call__(self, data: bytes, most: int, seed: int) -> bytes:
        import atheris

        rng = random.Random(seed)
        if rng.random() < 0.3:
            return bytes(atheris.Mutate(data, most))
        which, text = data[:1] or b"\0", data[1:].decode("utf-8", "ignore")
        for _ in range(rng.randint(1, 4)):
            text = self.change(text, rng)
        return (which + text.encode())[:most]

    def change(self, text: str, rng: random.Random) -> str:
        """Change a text in one place."""
        a, b = sorted((rng.randint(0, len(text)), rng.randint(0, len(text))))
        match rng.randint(0, 6):
            case 0:
                return text + "\n" + rng.choice(self.lines)
            case 1:
                return text[:a] + " " + rng.choice(self.pieces) + " " + text[a:]
            case 2:
                return text[:a] + text[min(b, a + 8) :]
            case 3:
                return text[:a] + text[a:b][:40] + text[a:]
            case 4:
                return text[:a] + rng.choice("()[]{}=|~$\\_^→⇒:;,.+-×/'°√Σ0\n") + text[a:]
            case 5:
                rows = text.split("\n")
                rng.shuffle(rows)
                return "\n".join(rows)
            case _:
                return rng.choice(self.lines)


def replay(folder: Path) -> None:
    """Run a kept corpus once."""
    subject = Subject()
    slowest, name, count = 0.0, "", 0
    for path in sorted(folder.iterdir()):
        start = time.process_time()
        subject(path.read_bytes())
        took = time.process_time() - start
        count += 1
        if took > slowest:
            slowest, name = took, path.name
    print(f"{count} inputs hold; the slowest, {name}, took {slowest:.2f} s")


def fuzz(seconds: int, corpus: Path) -> None:
    """Fuzz for some seconds, starting from and adding to a corpus."""
    import atheris

    corpus.mkdir(parents=True, exist_ok=True)
    for number, line in enumerate(golden_lines()):
        seed = corpus / f"seed-{number:03d}"
        if not any(corpus.glob("*")) or number % 4 == 0:
            seed.write_bytes(bytes([number % 4]) + line.encode())
    with atheris.instrument_imports(include=["verifier.notation", "verifier.checking"]):
        subject = Subject()
    mutate = Mutator()
    atheris.Setup(
        [sys.argv[0], str(corpus), f"-max_total_time={seconds}", f"-max_len={LIMIT}", "-timeout=20",
         f"-artifact_prefix={corpus}-found-", "-print_final_stats=1"],
        subject, custom_mutator=mutate,
    )  # fmt: skip
    atheris.Fuzz()


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("--seconds", type=int, default=60)
    parser.add_argument("--corpus", type=Path, default=None, help="where new inputs are kept")
    parser.add_argument("--replay", type=Path, default=None)
    options = parser.parse_args()
    if options.replay:
        replay(options.replay)
    else:
        import tempfile

        fuzz(options.seconds, options.corpus or Path(tempfile.mkdtemp()) / "corpus")
