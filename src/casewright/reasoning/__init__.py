"""Decisions by method: uncertainty, conformity, ladders, sequences, causes, cover, shimming."""
