"""Follows the working and judges it against the independent solution."""
