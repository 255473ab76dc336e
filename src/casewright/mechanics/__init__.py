"""Physics by topic: pure functions on SI floats and arrays; no job, no sheet, no I/O."""
