"""Load kinds: one file a kind, found by walking this folder."""
