"""The class summary as one picture: distribution, items, kinds of fault. Plain SVG, no script."""

import re
from collections.abc import Sequence
from xml.sax.saxutils import escape

from verifier.marking.summary import Summary
from verifier.reporting.marks_summary import marks_range
from verifier.reporting.sentences import kind_name
from verifier.reporting.words import spoken

_WIDTH, _LEFT, _BAR, _ROW = 720, 250, 380, 22
_INK, _PALE = "#1d3557", "#e6ebf1"
_MOST = 14
_FORBIDDEN = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\ufffe\uffff\ud800-\udfff]")


def picture(summary: Summary) -> str:
    """Return the SVG, 720 wide and as high as it needs."""
    parts: list[str] = []
    say = spoken()
    tell = say.text
    top = _heading(parts, summary)
    marks = [
        (marks_range(low, high, summary.out_of), float(count)) for low, high, count in summary.bins
    ]
    top = _bars(parts, top, tell("Scripts by marks"), marks, None)
    items = [(say.phrase(item.item), item.share) for item in summary.items]
    earned = tell("Part of each item's marks that was earned")
    top = _bars(parts, top, earned, items, 1.0, "{:.0%}")
    kinds = [(kind_name(kind, say), float(count)) for kind, count in summary.kinds]
    if kinds:
        top = _bars(parts, top, tell("Scripts with each kind of fault"), kinds, None)
    head = (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{_WIDTH}" height="{top}" '
        f'viewBox="0 0 {_WIDTH} {top}" font-family="sans-serif" role="img" '
        f'aria-label="{escape(tell("Class summary"))}">\n'
        f'<rect width="100%" height="100%" fill="#ffffff"/>\n'
    )
    return head + "\n".join(parts) + "\n</svg>\n"


def _heading(parts: list[str], summary: Summary) -> int:
    parts.append(_text(20, 32, summary.title or spoken().text("Class summary"), 18, bold=True))
    say = spoken()
    said = say.many(summary.scripts, "{count} script", "{count} scripts")
    if summary.mean is not None and summary.median is not None:
        said += say.text(
            ", out of {most:g}: mean {mean:.2f}, median {median:g}",
            most=summary.out_of, mean=summary.mean, median=summary.median,
        )  # fmt: skip
    parts.append(_text(20, 54, said, 13))
    return 74


def _bars(
    parts: list[str],
    top: int,
    title: str,
    rows: Sequence[tuple[str, float]],
    full: float | None,
    form: str = "{:g}",
) -> int:
    parts.append(_text(20, top + 16, title, 14, bold=True))
    top += 28
    most = full or max((size for _, size in rows), default=0.0) or 1.0
    for name, size in rows[:_MOST]:
        width = round(_BAR * min(size / most, 1.0), 1)
        parts.append(_text(_LEFT - 10, top + 15, name, 12, end=True))
        parts.append(_rect(top, _BAR, _PALE))
        parts.append(_rect(top, width, _INK))
        parts.append(_text(_LEFT + _BAR + 10, top + 15, form.format(size), 12))
        top += _ROW
    if len(rows) > _MOST:
        parts.append(
            _text(_LEFT, top + 15, spoken().text("and {count} more", count=len(rows) - _MOST), 12)
        )
        top += _ROW
    return top + 18


def _rect(top: int, width: float, colour: str) -> str:
    return (
        f'<rect x="{_LEFT}" y="{top + 2}" width="{width:g}" height="{_ROW - 6}" fill="{colour}"/>'
    )


def _text(x: int, y: int, text: str, size: int, *, bold: bool = False, end: bool = False) -> str:
    shown = escape(_FORBIDDEN.sub("�", text if len(text) <= 60 else text[:59] + "…"))
    weight = ' font-weight="bold"' if bold else ""
    anchor = ' text-anchor="end"' if end else ""
    return f'<text x="{x}" y="{y}" font-size="{size}" fill="{_INK}"{weight}{anchor}>{shown}</text>'
