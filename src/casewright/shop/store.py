"""Logs as database rows, with the same meaning as `.jsonl` files."""

from __future__ import annotations

import json

from django.db import transaction

from casewright.errors import LogError
from casewright.job.entry import Accepted, Entry, accept, accepted_from, canonical
from casewright.job.log import Log, broken_links, same_or_refused
from casewright.shop.models import Job, LogEntry
from casewright.store.files import Clock, now


class DatabaseStore:
    """The store behind the pages; one transaction an entry, the job's row locked meanwhile."""

    def __init__(self, clock: Clock = now) -> None:
        self.clock = clock

    def jobs(self) -> tuple[str, ...]:
        """Ids of the jobs, latest touched first."""
        return tuple(Job.objects.values_list("key", flat=True))

    def jobs_of_leg(self, serial: str) -> tuple[str, ...]:
        """Jobs of the leg with this number, found in the canonical text of their first entries."""
        if not serial:
            return ()
        said = f'"leg_serial":{json.dumps(serial, ensure_ascii=False)}'
        first = LogEntry.objects.filter(sequence=1, text__contains=said)
        return tuple(first.order_by("job__key").values_list("job__key", flat=True))

    def jobs_on_sheet(self, sheet: str, kind: str) -> tuple[str, ...]:
        """Jobs on the sheet of this name with an entry of this kind."""
        if not sheet:
            return ()
        jobs = Job.objects.filter(entries__kind=kind)
        adopted = LogEntry.objects.filter(kind="sheet-adopted", job__in=jobs)
        latest: dict[str, str] = {}
        for job, text in adopted.order_by("job__key", "sequence").values_list("job__key", "text"):
            latest[job] = str(json.loads(text)["body"].get("name", ""))
        return tuple(job for job, name in latest.items() if name == sheet)

    def read(self, job: str, *, allow_broken: bool = False) -> Log:
        """A job's log, its chain checked."""
        row = Job.objects.filter(key=job).first()
        if row is None:
            raise LogError(f"there is no job {job!r} here")
        entries = [_accepted(entry) for entry in row.entries.all()]
        odd = tuple(broken_links(entries, allow_broken=allow_broken))
        return Log(tuple(entries), odd)

    def append(self, job: str, entry: Entry) -> Accepted:
        """Take an entry behind the log; the same one sent twice is taken once."""
        with transaction.atomic():
            row, _ = Job.objects.select_for_update().get_or_create(key=job)
            if twin := row.entries.filter(entry_id=entry.id).first():
                return same_or_refused(_accepted(twin), entry)
            accepted = accept(entry, row.count + 1, self.clock(), row.head)
            _keep(row, accepted)
        return accepted

    def bring_in(self, job: str, log: Log) -> None:
        """Import a whole log; the same log again changes nothing."""
        with transaction.atomic():
            row, is_new = Job.objects.select_for_update().get_or_create(key=job)
            if not is_new and row.count:
                if self.read(job).entries != log.entries:
                    raise LogError(f"job {job!r} is here already with another log; give a new id")
                return
            for accepted in log.entries:
                _keep(row, accepted)


def _keep(row: Job, accepted: Accepted) -> None:
    entry = accepted.entry
    LogEntry.objects.create(
        job=row,
        sequence=accepted.sequence,
        entry_id=entry.id,
        kind=entry.kind,
        text=accepted.text(),
        hash=accepted.hash,
    )
    row.head, row.count = accepted.hash, accepted.sequence
    if entry.kind == "job-opened":
        row.title = str(entry.body.get("title", ""))[:200]
    row.save()


def _accepted(row: LogEntry) -> Accepted:
    plain = json.loads(row.text)
    return accepted_from(canonical({**plain, "hash": row.hash}))
