"""The class summary and the moderation table as text and as rows of a table."""

import io
from collections.abc import Iterator

from rich.table import Table

from verifier.marking.moderation import Moderation
from verifier.marking.summary import Summary
from verifier.reporting.colours import console

WIDTH = 80
_MOST = 20
"""Places of faults, and scripts far apart, that the text shows; the table has all."""
_BAR = 30


def summary_text(summary: Summary) -> str:
    """Return the summary for reading: marks, their distribution, items, faults by place."""
    blocks = [_facts(summary), _distribution(summary), _items(summary), _faults(summary)]
    return "\n".join(block for block in blocks if block)


def summary_rows(summary: Summary) -> Iterator[list[str | float | None]]:
    """Yield the summary as rows: what is counted, then its figures."""
    yield ["what", "which", "where", "figure", "of"]
    for verdict, count in summary.verdicts:
        yield ["scripts", verdict, "", count, summary.scripts]
    for name in ("mean", "median", "spread", "lowest", "highest"):
        value = getattr(summary, name)
        yield ["marks", name, "", None if value is None else round(value, 3), summary.out_of]
    for low, high, count in summary.bins:
        yield ["distribution", marks_range(low, high, summary.out_of), "", count, summary.scripts]
    for item in summary.items:
        yield ["part of marks earned", item.item, "", round(item.share, 4), 1]
        for status in ("right", "carried", "wrong", "missing"):
            yield [f"answers {status}", item.item, "", getattr(item, status), summary.scripts]
    for fault in summary.faults:
        yield ["scripts with fault", fault.kind, fault.where, fault.scripts, summary.scripts]


def moderation_text(table: Moderation) -> str:
    """Return the agreement of hand and tool as text."""
    if not table.rows:
        return "No script was marked both by hand and by the tool.\n"
    grid = _grid("", "scripts", "exact", "within 1", "kappa", "tool - hand")
    for row in table.rows:
        kappa = "-" if row.kappa is None else f"{row.kappa:.2f}"
        grid.add_row(
            row.item or "total", str(row.scripts), f"{row.exact:.0%}", f"{row.within_one:.0%}",
            kappa, f"{row.bias:+.2f}",
        )  # fmt: skip
    lines = ["Marks by hand against the tool's own (kappa: quadratic weights)", "", _drawn(grid)]
    if table.apart:
        lines.append("Furthest apart:")
        lines += [
            f"  {script}: by hand {mine:g}, tool {its:g}"
            for script, mine, its in table.apart[:_MOST]
        ]
    if table.unknown:
        lines.append(f"Not in this class: {', '.join(table.unknown[:_MOST])}")
    return "\n".join(lines) + "\n"


def moderation_rows(table: Moderation) -> Iterator[list[str | float | None]]:
    """Yield the agreement as rows of a table."""
    yield ["item", "scripts", "exact", "within one", "weighted kappa", "mean tool - hand"]
    for row in table.rows:
        kappa = None if row.kappa is None else round(row.kappa, 4)
        yield [
            row.item or "total", row.scripts, round(row.exact, 4), round(row.within_one, 4), kappa,
            round(row.bias, 4),
        ]  # fmt: skip


def _facts(summary: Summary) -> str:
    lines = [summary.title or "Class summary", ""]
    counts = ", ".join(f"{count} {_WORDS[verdict]}" for verdict, count in summary.verdicts if count)
    lines.append(f"{summary.scripts} scripts: {counts}")
    if summary.mean is not None and summary.median is not None and summary.spread is not None:
        lines.append(
            f"Marks out of {summary.out_of:g}: mean {summary.mean:.2f}, median "
            f"{summary.median:g}, standard deviation {summary.spread:.2f}, "
            f"from {summary.lowest:g} to {summary.highest:g}"
        )
    hardest = summary.hardest
    if hardest is not None and len(summary.items) > 1:
        lines.append(f"Hardest item: {hardest.item} ({hardest.share:.0%} of its marks earned)")
    return "\n".join(lines) + "\n"


def _distribution(summary: Summary) -> str:
    most = max((count for *_, count in summary.bins), default=0)
    if not most:
        return ""
    grid = _grid("marks", "scripts", "")
    for low, high, count in summary.bins:
        bar = "#" * max(1 if count else 0, round(_BAR * count / most))
        grid.add_row(marks_range(low, high, summary.out_of), str(count), bar)
    return _drawn(grid)


def _items(summary: Summary) -> str:
    grid = _grid("item", "earned", "right", "carried", "wrong", "missing")
    for item in summary.items:
        counts = (item.right, item.carried, item.wrong, item.missing)
        grid.add_row(item.item, f"{item.share:.0%}", *(str(count) for count in counts))
    return _drawn(grid)


def _faults(summary: Summary) -> str:
    if not summary.faults:
        return ""
    grid = _grid("fault", "where", "scripts", "first")
    for fault in summary.faults[:_MOST]:
        grid.add_row(fault.kind, fault.where, str(fault.scripts), str(fault.first))
    text = _drawn(grid)
    left = len(summary.faults) - _MOST
    return text + (f"and {left} more in summary.csv\n" if left > 0 else "")


def marks_range(low: float, high: float, out_of: float) -> str:
    """Return a bin of the distribution as text: marks from `low`, below `high`."""
    return f"{low:g}" if high - low <= 1 or low == out_of else f"{low:g} to <{high:g}"


def _grid(*heads: str) -> Table:
    grid = Table(box=None, pad_edge=False, padding=(0, 2, 0, 0))
    for number, name in enumerate(heads):
        words = name in ("where", "", "marks", "item", "fault") or number == 0
        grid.add_column(name, justify="left" if words else "right", overflow="fold")
    return grid


def _drawn(grid: Table) -> str:
    file = io.StringIO()
    console(file, WIDTH).print(grid)
    return "\n".join(line.rstrip() for line in file.getvalue().splitlines()) + "\n"


_WORDS = {
    "agrees": "right",
    "fault": "faulty",
    "unfinished": "unfinished",
    "undecided": "undecided",
    "failed": "failed",
}
