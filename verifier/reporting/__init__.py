"""Findings → terminal, JSON, pages; knows nothing of how they were found."""
