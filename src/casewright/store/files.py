"""Jobs as `.jsonl` files in a folder: one line an entry, appended and flushed to the disk."""

from __future__ import annotations

import json
import os
import re
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path

from casewright.errors import LogError
from casewright.job.entry import Accepted, Entry
from casewright.job.log import Log, read_log, take, write_log

_NAME = re.compile(r"^[A-Za-z0-9][A-Za-z0-9._\-]{0,99}$")
Clock = Callable[[], str]


def now() -> str:
    """The present moment, ISO 8601 in UTC."""
    return datetime.now(UTC).isoformat(timespec="seconds")


class FileStore:
    """A folder of logs. A lock file keeps two processes from writing to one job at once."""

    def __init__(self, folder: Path, clock: Clock = now) -> None:
        self.folder = folder
        self.clock = clock

    def path(self, job: str) -> Path:
        """The file of a job."""
        if not _NAME.match(job):
            raise LogError(f"job id {job!r}: expected letters, digits, dots and dashes")
        return self.folder / f"{job}.jsonl"

    def jobs(self) -> tuple[str, ...]:
        """Ids of the jobs in the folder."""
        return tuple(sorted(path.stem for path in self.folder.glob("*.jsonl")))

    def jobs_of_leg(self, serial: str) -> tuple[str, ...]:
        """Jobs of the leg with this number: only the first line of each file is read."""
        return tuple(job for job in self.jobs() if serial and _leg_of(self.path(job)) == serial)

    def jobs_on_sheet(self, sheet: str, kind: str) -> tuple[str, ...]:
        """Jobs on the sheet of this name with an entry of this kind; whole files are searched."""
        return tuple(job for job in self.jobs() if _on_sheet(self.path(job), sheet, kind))

    def read(self, job: str, *, allow_broken: bool = False) -> Log:
        """A job's log; LogError where there is no such job."""
        path = self.path(job)
        if not path.exists():
            known = ", ".join(self.jobs()) or "none"
            raise LogError(f"there is no job {job!r} in this folder; there are: {known}")
        return read_log(path.read_bytes().decode("utf-8"), allow_broken=allow_broken)

    def append(self, job: str, entry: Entry) -> Accepted:
        """Take an entry behind the log; a torn last line is cut off first, and said by `read`."""
        path = self.path(job)
        self.folder.mkdir(parents=True, exist_ok=True)
        with _locked(path):
            log = self.read(job) if path.exists() else Log(())
            accepted, is_new = take(log.entries, entry, self.clock())
            if is_new:
                _mend_tail(path, len(log.entries))
                _write(path, accepted.line() + "\n", "a")
        return accepted

    def bring_in(self, job: str, log: Log) -> None:
        """Write a whole log; the same log again changes nothing."""
        path = self.path(job)
        self.folder.mkdir(parents=True, exist_ok=True)
        with _locked(path):
            if path.exists():
                if self.read(job).entries != log.entries:
                    raise LogError(f"job {job!r} is here already with another log; give a new id")
                return
            _write(path, write_log(log.entries), "x")


def _leg_of(path: Path) -> str:
    """The number of the leg in the entry that opened a job; "" where it can't be read."""
    with path.open(encoding="utf-8", errors="replace") as file:
        first = file.readline()
    try:
        return str(json.loads(first)["body"]["leg_serial"])
    except (ValueError, KeyError, TypeError):
        return ""


def _on_sheet(path: Path, sheet: str, kind: str) -> bool:
    """Whether a log holds an entry of this kind and last adopted this sheet; broken lines don't."""
    text = path.read_text("utf-8", errors="replace")
    # Few logs hold the rarer kind: most are passed over without reading a line as JSON.
    if not sheet or f'"kind":"{kind}"' not in text:
        return False
    adopted = [line for line in text.splitlines() if '"kind":"sheet-adopted"' in line]
    try:
        return bool(adopted) and bool(json.loads(adopted[-1])["body"]["name"] == sheet)
    except (ValueError, KeyError, TypeError):
        return False


def _write(path: Path, text: str, mode: str) -> None:
    with path.open(mode, encoding="utf-8", newline="\n") as file:
        file.write(text)
        file.flush()
        os.fsync(file.fileno())


def _mend_tail(path: Path, whole: int) -> None:
    """End the last line where it holds a whole entry; drop it where it was torn."""
    if not path.exists():
        return
    data = path.read_bytes()
    if not data or data.endswith(b"\n"):
        return
    ended = sum(1 for line in data.split(b"\n")[:-1] if line.strip())
    with path.open("r+b") as file:
        if whole > ended:
            file.seek(0, os.SEEK_END)
            file.write(b"\n")
        else:
            file.truncate(data.rfind(b"\n") + 1)


@contextmanager
def _locked(path: Path) -> Iterator[None]:
    """A lock file beside the log; LogError where another process holds it for over five seconds."""
    import time

    lock = path.with_suffix(".lock")
    deadline = time.monotonic() + 5
    while True:
        try:
            os.close(os.open(lock, os.O_CREAT | os.O_EXCL | os.O_WRONLY))
            break
        except FileExistsError:
            if time.monotonic() > deadline:
                raise LogError(
                    f"{path.name} is being written by another program; if none runs, "
                    f"remove {lock.name} and try again"
                ) from None
            time.sleep(0.02)
    try:
        yield
    finally:
        lock.unlink(missing_ok=True)
