"""Memory that a page took, given back to the system before the next one."""

import ctypes
from contextlib import suppress


def give_back() -> None:
    """Return freed memory to the system, where its C library can: each thread's heap keeps it."""
    with suppress(OSError, AttributeError, TypeError):
        ctypes.CDLL(None).malloc_trim(0)
