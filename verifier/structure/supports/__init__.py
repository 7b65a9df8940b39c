"""Supports: one file a kind. Each has `WORD`, `EXAMPLE`, its dataclass and `build`."""
