"""The figure as line art for a terminal: braille dots for lines, letters over them."""

import itertools
import math
import textwrap
import unicodedata
from collections.abc import Sequence
from typing import Any

from verifier.reporting.figure_plan import body_line
from verifier.reporting.figure_values import alike, shown, with_unit
from verifier.reporting.figure_words import describe
from verifier.reporting.words import spoken
from verifier.structure.model import Force, Structure

_ROWS = 17
_SIDE, _TOP = 9, 3
_DOTS = ((0x01, 0x08), (0x02, 0x10), (0x04, 0x20), (0x40, 0x80))
_ARROWS = "→↗↑↖←↙↓↘"
_SYMBOLS = {"pin": "△", "roller": "○", "fixed": "▒"}
Cell = tuple[int, int]
"""Column and row."""


def to_text(structure: Structure, width: int = 78) -> str:
    """Return title, line art and description, no line wider than `width` (at least 40)."""
    width = max(40, width)
    canvas = _Canvas(structure, width)
    lines = textwrap.wrap(structure.title, width)[:3] if structure.title else []
    lines += ["", *canvas.rows(), ""]
    for line in describe(structure):
        lines += textwrap.wrap(line, width, subsequent_indent="  ", break_long_words=True)
    return "\n".join(lines).strip("\n")


class _Canvas:
    def __init__(self, structure: Structure, width: int) -> None:
        self.structure = structure
        self.width = width
        points = {name: structure.point(name) for name in structure.joints}
        xs, ys = [p[0] for p in points.values()] or [0], [p[1] for p in points.values()] or [0]
        self.left, self.top = min(xs), max(ys)
        wide, tall = max(xs) - self.left, self.top - min(ys)
        room = (2 * (width - 2 * _SIDE) - 1, 4 * _ROWS - 1)
        self.scale = min(room[0] / wide if wide else math.inf, room[1] / tall if tall else math.inf)
        self.scale = self.scale if math.isfinite(self.scale) else 1.0
        self.height = _TOP + 4 + math.ceil((tall * self.scale + 1) / 4)
        self.dots: dict[Cell, int] = {}
        self.text: dict[Cell, str] = {}
        self._draw()

    def rows(self) -> list[str]:
        """Return the art, empty rows above and below left out."""
        rows = []
        for row in range(self.height + 1):
            cells = [self._cell(column, row) for column in range(self.width)]
            rows.append("".join(cells).rstrip())
        while rows and not rows[0]:
            rows.pop(0)
        while rows and not rows[-1]:
            rows.pop()
        return rows

    def _cell(self, column: int, row: int) -> str:
        if (column, row) in self.text:
            return self.text[column, row]
        dots = self.dots.get((column, row))
        return chr(0x2800 + dots) if dots else " "

    def _draw(self) -> None:
        structure = self.structure
        for member in structure.members:
            self._line([member.start, member.end])
        for body in structure.bodies:
            self._line(body_line(structure, body))
        cells = {name: self._at(structure.point(name)) for name in structure.joints}
        for cell in cells.values():
            self.text[cell] = "o"
        for support in structure.supports:
            self._support(support.kind, support.reactions()[0].direction, cells[support.joint])
        self._loads(cells)
        for name, cell in cells.items():
            self._write(name, cell)

    def _dot(self, point: tuple[float, float]) -> tuple[int, int]:
        return (
            round((point[0] - self.left) * self.scale) + 2 * _SIDE,
            round((self.top - point[1]) * self.scale) + 4 * _TOP,
        )

    def _at(self, point: tuple[float, float]) -> Cell:
        across, down = self._dot(point)
        return across // 2, down // 4

    def _line(self, names: Sequence[str]) -> None:
        for one, two in itertools.pairwise(names):
            start, end = (self._dot(self.structure.point(name)) for name in (one, two))
            count = max(abs(end[0] - start[0]), abs(end[1] - start[1]), 1)
            for step in range(count + 1):
                across = round(start[0] + (end[0] - start[0]) * step / count)
                down = round(start[1] + (end[1] - start[1]) * step / count)
                cell = (across // 2, down // 4)
                bit = _DOTS[down % 4][across % 2]
                self.dots[cell] = self.dots.get(cell, 0) | bit

    def _support(self, kind: str, direction: tuple, cell: Cell) -> None:  # type: ignore[type-arg]
        away = (0, 1)
        if kind == "roller":
            across, up = (part.number(self.structure.letters) for part in direction)
            away = (-round(across), round(up)) if abs(across) > 0.4 or abs(up) > 0.4 else away
        self.text.setdefault((cell[0] + away[0], cell[1] + away[1]), _SYMBOLS.get(kind, "△"))

    def _loads(self, cells: dict[str, Cell]) -> None:
        structure = self.structure
        unit = structure.force_unit
        spread: dict[int, list[Any]] = {}
        for load in structure.loads:
            if hasattr(load, "first_at"):
                spread.setdefault(load.source, []).append(load)
                continue
            for one in load.resultants():
                if isinstance(one, Force):
                    size = getattr(load, "mass", None)
                    said = with_unit(size, "kg") if size is not None else with_unit(one.size, unit)
                    self._arrow(cells[one.on], self._way(one.direction), said)
                else:
                    turns = one.moment.number(structure.letters) > 0
                    moment = one.moment if turns else -one.moment
                    said = with_unit(moment, f"{unit} {structure.length_unit}")
                    self._write(f"{'↺' if turns else '↻'} {said}", cells[one.at])
        for pieces in spread.values():
            self._spread(pieces, cells)

    def _way(self, direction: tuple) -> tuple[float, float]:  # type: ignore[type-arg]
        across, up = (part.number(self.structure.letters) for part in direction)
        return across, up

    def _spread(self, pieces: list[Any], cells: dict[str, Cell]) -> None:
        """Draw a load along a row of parts, and say once what it is from end to end."""
        for load in pieces:
            first, last = cells[load.start], cells[load.end]
            way = self._way(load.direction)
            back = (-_step(way[0]), _step(way[1]))
            count = max(abs(last[0] - first[0]) // 2, abs(last[1] - first[1]), 1)
            for step in range(count + 1):
                column = round(first[0] + (last[0] - first[0]) * step / count) + back[0]
                row = round(first[1] + (last[1] - first[1]) * step / count) + back[1]
                self.text.setdefault((column, row), _arrow_sign(way))
        unit = f"{self.structure.force_unit}/{self.structure.length_unit}"
        one, two = pieces[0].first, pieces[-1].last
        said = with_unit(one, unit)
        if not alike(one, two, self.structure.letters):
            said = f"{shown(one)}{spoken().text(' to ')}{with_unit(two, unit)}"
        first, last = cells[pieces[0].start], cells[pieces[-1].end]
        middle = ((first[0] + last[0]) // 2 + back[0], (first[1] + last[1]) // 2 + back[1])
        self._write(said, middle)

    def _arrow(self, cell: Cell, way: tuple[float, float], said: str) -> None:
        sign = _arrow_sign(way)
        back = (-_step(way[0]), _step(way[1]))
        for spot in (
            (cell[0] + back[0], cell[1] + back[1]),
            (cell[0] - back[0], cell[1] - back[1]),
        ):
            if spot not in self.text and not self.dots.get(spot):
                self.text[spot] = sign
                self._write(said, spot)
                return
        self._write(f"{sign} {said}", cell)

    def _write(self, said: str, near: Cell) -> None:
        """Write text where it covers nothing, as near to a cell as can be."""
        said = said[: self.width]
        wide = sum(_cells(character) for character in said)
        best: tuple[float, Cell] | None = None
        for row in range(max(0, near[1] - 4), min(self.height, near[1] + 4) + 1):
            for column in range(max(0, near[0] - wide - 6), near[0] + 8):
                if column + wide > self.width:
                    continue
                cost = self._cost(column, row, wide, near)
                if best is None or cost < best[0]:
                    best = (cost, (column, row))
        if best is None:
            return
        column, row = best[1]
        for character in said:
            self.text[column, row] = character
            if _cells(character) == 2:
                self.text[column + 1, row] = ""
            column += _cells(character)

    def _cost(self, column: int, row: int, wide: int, near: Cell) -> float:
        cells = [(c, row) for c in range(column, column + wide)]
        covers = 60 * sum(cell in self.text for cell in cells)
        covers += 4 * sum(cell in self.dots for cell in cells)
        sides = [(column - 1, row), (column + wide, row)]
        touches = 3 * sum(cell in self.text for cell in sides)
        gap = max(column - near[0], near[0] - (column + wide - 1), 0)
        return covers + touches + gap * 1.0 + abs(row - near[1]) * 1.6


def _step(part: float) -> int:
    return 0 if abs(part) < 0.38 else (1 if part > 0 else -1)


def _arrow_sign(way: tuple[float, float]) -> str:
    return _ARROWS[round(math.degrees(math.atan2(way[1], way[0])) / 45) % 8]


def _cells(character: str) -> int:
    if unicodedata.combining(character):
        return 0
    return 2 if unicodedata.east_asian_width(character) in "WF" else 1
