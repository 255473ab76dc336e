"""What a store of logs does; one contract suite runs against every one of them."""

from __future__ import annotations

from typing import Protocol

from casewright.job.entry import Accepted, Entry
from casewright.job.log import Log


class LogStore(Protocol):
    """The one store that owns its jobs: it gives sequence, time and hash, and never rewrites."""

    def jobs(self) -> tuple[str, ...]:
        """Ids of the jobs kept here."""

    def jobs_of_leg(self, serial: str) -> tuple[str, ...]:
        """Ids of the jobs that were opened for the leg with this number; none for no number."""

    def jobs_on_sheet(self, sheet: str, kind: str) -> tuple[str, ...]:
        """Ids of the jobs that adopted the sheet of this name and hold an entry of this kind."""

    def read(self, job: str, *, allow_broken: bool = False) -> Log:
        """A job's log, its chain checked."""

    def append(self, job: str, entry: Entry) -> Accepted:
        """Take an entry; the same entry sent twice is taken once."""

    def bring_in(self, job: str, log: Log) -> None:
        """Import a whole log as it is; LogError where the job is here already with another log."""
