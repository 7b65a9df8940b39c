"""Every family of problems by its name, and every person."""

from .families import FAMILIES as SIMPLE
from .frames import FRAMES
from .letters import LETTERS
from .machines import MACHINES
from .manners import MANNERS
from .more import MORE
from .roofs import ROOFS
from .spreads import SPREADS
from .style import STYLES

FIRST = {**SIMPLE, **FRAMES, **LETTERS, **MORE}
WIDER = {**ROOFS, **SPREADS, **MACHINES}
FAMILIES = {**FIRST, **WIDER}
PEOPLE = [*STYLES, *MANNERS]
