"""One hypothesis profile: the same examples every run, no deadline (nothing here is a timed test)."""

from __future__ import annotations

from hypothesis import settings

settings.register_profile("house", derandomize=True, deadline=None)
settings.load_profile("house")
