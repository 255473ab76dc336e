"""Published tables with their provenance: edition, clause, units, how known."""
