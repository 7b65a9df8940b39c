"""The class summary and the moderation table as text and as rows of a table."""

import io
from collections.abc import Iterator

from rich.table import Table

from verifier.marking.moderation import Moderation
from verifier.marking.summary import Summary
from verifier.reporting.colours import console
from verifier.reporting.sentences import kind_name
from verifier.reporting.words import spoken

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
        return spoken().text("No script was marked both by hand and by the tool.") + "\n"
    tell = spoken().text
    grid = _grid("", "scripts", "exact", "within 1", "kappa", "tool - hand")
    for row in table.rows:
        kappa = "-" if row.kappa is None else f"{row.kappa:.2f}"
        grid.add_row(
            spoken().phrase(row.item) or tell("total"), str(row.scripts), f"{row.exact:.0%}",
            f"{row.within_one:.0%}", kappa, f"{row.bias:+.2f}",
        )  # fmt: skip
    head = tell("Marks by hand against the tool's own (kappa: quadratic weights)")
    lines = [head, "", _drawn(grid)]
    if table.apart:
        lines.append(tell("Furthest apart:"))
        lines += [
            tell("  {script}: by hand {mine:g}, tool {its:g}", script=script, mine=mine, its=its)
            for script, mine, its in table.apart[:_MOST]
        ]
    if table.unknown:
        names = ", ".join(table.unknown[:_MOST])
        lines.append(tell("Not in this class: {names}", names=names))
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
    say = spoken()
    lines = [summary.title or say.text("Class summary"), ""]
    counts = ", ".join(
        f"{count} {say(f'marks.verdict.{verdict}')}" for verdict, count in summary.verdicts if count
    )
    lines.append(f"{say.many(summary.scripts, '{count} script', '{count} scripts')}: {counts}")
    if summary.mean is not None and summary.median is not None and summary.spread is not None:
        said = say.text(
            "Marks out of {most:g}: mean {mean:.2f}, median {median:g}, standard deviation "
            "{spread:.2f}, from {lowest:g} to {highest:g}",
            most=summary.out_of, mean=summary.mean, median=summary.median, spread=summary.spread,
            lowest=summary.lowest, highest=summary.highest,
        )  # fmt: skip
        lines.append(said)
    hardest = summary.hardest
    if hardest is not None and len(summary.items) > 1:
        name, percent = say.phrase(hardest.item), round(100 * hardest.share)
        said = "Hardest item: {item} ({percent} % of its marks earned)"
        lines.append(say.text(said, item=name, percent=percent))
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
        grid.add_row(
            spoken().phrase(item.item), f"{item.share:.0%}", *(str(count) for count in counts)
        )
    return _drawn(grid)


def _faults(summary: Summary) -> str:
    if not summary.faults:
        return ""
    grid = _grid("fault", "where", "scripts", "first")
    for fault in summary.faults[:_MOST]:
        say = spoken()
        grid.add_row(
            kind_name(fault.kind, say),
            say.phrase(fault.where),
            str(fault.scripts),
            str(fault.first),
        )
    text = _drawn(grid)
    left = len(summary.faults) - _MOST
    more = spoken().text("and {count} more in summary.csv", count=left)
    return text + (f"{more}\n" if left > 0 else "")


def marks_range(low: float, high: float, out_of: float) -> str:
    """Return a bin of the distribution as text: marks from `low`, below `high`."""
    if high - low <= 1 or low == out_of:
        return f"{low:g}"
    return spoken().text("{low:g} to <{high:g}", low=low, high=high)


def _grid(*heads: str) -> Table:
    grid = Table(box=None, pad_edge=False, padding=(0, 2, 0, 0))
    for number, name in enumerate(heads):
        words = name in ("where", "", "marks", "item", "fault") or number == 0
        grid.add_column(
            spoken().text(name) if name else "",
            justify="left" if words else "right",
            overflow="fold",
        )
    return grid


def _drawn(grid: Table) -> str:
    file = io.StringIO()
    console(file, WIDTH).print(grid)
    return "\n".join(line.rstrip() for line in file.getvalue().splitlines()) + "\n"
