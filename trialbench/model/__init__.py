"""Frozen records, quantities, checks and errors. Standard library only."""
