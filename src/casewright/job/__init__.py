"""A job: an append-only log of entries, and the state that is folded from it."""
