"""Casewright: the thinking and the arithmetic of rebuilding a damaged drive leg."""

__version__ = "0.1.0"
