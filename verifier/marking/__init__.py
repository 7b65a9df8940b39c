"""Marks, bulk runs and the ledger."""
