"""Every family of problems by its name."""

from .families import FAMILIES as SIMPLE
from .frames import FRAMES
from .letters import LETTERS
from .more import MORE

FAMILIES = {**SIMPLE, **FRAMES, **LETTERS, **MORE}
