"""The record of who did what: append-only, each entry holding the hash of the one before."""

from __future__ import annotations

from django.db import models


class Entry(models.Model):
    """One thing that happened."""

    number = models.PositiveBigIntegerField(unique=True)
    at = models.DateTimeField()
    actor = models.CharField(max_length=160)
    verb = models.CharField(max_length=60, db_index=True)
    subject = models.CharField(max_length=60, db_index=True)
    facts = models.JSONField(default=dict)
    previous = models.CharField(max_length=64)
    digest = models.CharField(max_length=64)

    class Meta:
        ordering = ["number"]
        verbose_name_plural = "entries"


class Head(models.Model):
    """The last link of the chain; locked while the next one is forged, so that two writers queue."""

    number = models.PositiveBigIntegerField(default=0)
    digest = models.CharField(max_length=64, default="0" * 64)


class Proof(models.Model):
    """One walk along the whole chain: how long it was, and the first entry that did not hold, if any."""

    at = models.DateTimeField()
    entries = models.PositiveBigIntegerField()
    broken_at = models.PositiveBigIntegerField(null=True, blank=True)

    class Meta:
        ordering = ["id"]
