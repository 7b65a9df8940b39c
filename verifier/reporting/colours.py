"""Every colour of the terminal, named once, and the console that knows them.

The terminal's own palette is used, so that light and dark backgrounds both stay readable; each
colour only repeats what a word or a mark already says.
"""

from typing import IO

from rich.console import Console
from rich.theme import Theme

THEME = Theme(
    {
        "right": "green",
        "wrong": "bold red",
        "open": "bold magenta",
        "follows": "cyan",
        "title": "bold",
        "mark": "bold red",
        "quiet": "default",
    }
)

STATUS_STYLES = {
    "agrees": "right",
    "fault": "wrong",
    "carried": "follows",
    "differs": "wrong",
    "missing": "open",
    "unread": "open",
    "doubtful": "open",
    "undecided": "open",
    "unfinished": "open",
    "remark": "quiet",
}
"""The colour of each line status, answer status and verdict."""


def console(file: IO[str] | None = None, width: int | None = None) -> Console:
    """Return a console that takes text as it is: no markup, no emoji, no guessing at numbers."""
    return Console(
        file=file,
        width=width,
        theme=THEME,
        markup=False,
        emoji=False,
        highlight=False,
        soft_wrap=False,
        safe_box=True,
    )
