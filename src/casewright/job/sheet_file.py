"""Whether a sheet's file is still what a job adopted: the job keeps its own text either way."""

from __future__ import annotations

from casewright.drive.load import digest_of
from casewright.job.state import State


def sheet_changed(state: State, text: str) -> str:
    """A sentence where `text`, the sheet's file now, differs from what was adopted; else ""."""
    if not text or not state.sheet_digest or digest_of(text) == state.sheet_digest:
        return ""
    return (
        f"The sheet {state.sheet_name!r} was changed after this job adopted it. The job keeps the "
        "text that it adopted; open a new job to use the changed one."
    )
