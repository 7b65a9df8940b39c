"""Loads: one file a kind. Each has `WORD`, `EXAMPLE`, its dataclass and `build`.

Every load tells its `kind`, its `label` (what a report calls it), its `source` (the sheet's line)
and its `resultants()`.
"""
