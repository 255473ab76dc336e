"""Rows: a job, its entries as canonical text, and the owner's contact, which can be erased.

The text is the truth; other columns are derived from it so that a database can search.
"""

from __future__ import annotations

from datetime import datetime
from typing import TYPE_CHECKING

from django.db import models

if TYPE_CHECKING:
    from django_stubs_ext.db.models.manager import RelatedManager


class Job(models.Model):
    """A job by its id; title and head are derived, for lists."""

    key: models.CharField[str, str] = models.CharField(max_length=100, unique=True)
    title: models.CharField[str, str] = models.CharField(max_length=200, default="", blank=True)
    head: models.CharField[str, str] = models.CharField(max_length=64, default="0" * 64)
    count: models.PositiveIntegerField[int, int] = models.PositiveIntegerField(default=0)
    touched_at: models.DateTimeField[datetime, datetime] = models.DateTimeField(auto_now=True)

    if TYPE_CHECKING:
        entries: RelatedManager[LogEntry]

    class Meta:
        """Latest touched first."""

        ordering = ("-touched_at",)

    def __str__(self) -> str:
        return f"{self.key}: {self.title}"


class LogEntry(models.Model):
    """One accepted entry: the canonical text over which its hash is taken, byte for byte."""

    job: models.ForeignKey[Job, Job] = models.ForeignKey(
        Job, on_delete=models.PROTECT, related_name="entries"
    )
    sequence: models.PositiveIntegerField[int, int] = models.PositiveIntegerField()
    entry_id: models.CharField[str, str] = models.CharField(max_length=64)
    kind: models.CharField[str, str] = models.CharField(max_length=40)
    text: models.TextField[str, str] = models.TextField()
    hash: models.CharField[str, str] = models.CharField(max_length=64)

    class Meta:
        """A sequence and an id stand once in a job."""

        ordering = ("sequence",)
        constraints = (
            models.UniqueConstraint(fields=["job", "sequence"], name="one_sequence_a_job"),
            models.UniqueConstraint(fields=["job", "entry_id"], name="one_id_a_job"),
        )

    def __str__(self) -> str:
        return f"{self.job.key}/{self.sequence} {self.kind}"


class Owner(models.Model):
    """Name and contact of an owner: erasable, outside every log; logs carry only `key`."""

    key: models.CharField[str, str] = models.CharField(max_length=40, unique=True)
    name: models.CharField[str, str] = models.CharField(max_length=200, blank=True)
    contact: models.TextField[str, str] = models.TextField(blank=True)
    erased: models.BooleanField[bool, bool] = models.BooleanField(default=False)

    def __str__(self) -> str:
        return self.name or f"owner {self.key} (erased)"


class Photo(models.Model):
    """A photograph by the hash of its bytes, resized, with its location data taken out."""

    digest: models.CharField[str, str] = models.CharField(max_length=64, unique=True)
    content: models.BinaryField[bytes, bytes] = models.BinaryField()
    width: models.PositiveIntegerField[int, int] = models.PositiveIntegerField()
    height: models.PositiveIntegerField[int, int] = models.PositiveIntegerField()

    def __str__(self) -> str:
        return self.digest[:12]
