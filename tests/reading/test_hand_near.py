"""Readings that differ from a likely one at a single place."""

import numpy as np

from verifier.reading.hand_beam import Path
from verifier.reading.hand_near import near
from verifier.reading.hand_tokens import MAIN, numbers, tokens

NUMBER = {sign: number for (sign, level), number in numbers(0).items() if level == MAIN}


def _logs(*columns: dict[str, float]) -> np.ndarray:
    """Return log chances (T, tokens): of each column what its signs have, the rest is blank."""
    chances = np.full((len(columns), len(tokens(0))), 1e-9)
    for row, signs in zip(chances, columns, strict=True):
        for sign, chance in signs.items():
            row[NUMBER[sign]] = chance
        row[0] = 1 - sum(signs.values())
    return np.log(chances)


def _read(paths: list[Path]) -> list[str]:
    return ["".join(t.sign for n in path.tokens if (t := tokens(0)[n])) for path in paths]


def test_another_figure_is_found_wherever_it_stands() -> None:
    logs = _logs({"2": 0.99}, {}, {"3": 0.9, "9": 0.05}, {}, {"k": 0.99}, {"N": 0.99})
    best = Path(tuple(NUMBER[s] for s in "23kN"), (0, 2, 4, 5), -0.2)
    found = _read(near(logs, best, 0))
    assert found[0] in ("29kN", "2kN")
    assert {"29kN", "2kN"} <= {*found}


def test_a_sign_passed_over_is_found() -> None:
    logs = _logs({"8": 0.99}, {}, {"·": 0.1}, {}, {"3": 0.99})
    found = _read(near(logs, Path((NUMBER["8"], NUMBER["3"]), (0, 4), -0.2), 0))
    assert "8·3" in found


def test_words_are_left_as_they_are() -> None:
    columns = [{sign: 0.6, "e": 0.3} for sign in "scion"]
    best = Path(tuple(NUMBER[s] for s in "scion"), tuple(range(5)), -2.5)
    assert near(_logs(*columns), best, 0) == []
