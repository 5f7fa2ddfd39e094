"""Numbered revisions of a design."""

from __future__ import annotations

from django.conf import settings
from django.db import models

from commissions.record.models import Commission


class Status(models.TextChoices):
    """How far a revision has come."""

    DRAFT = "draft", "Draft"
    SENT = "sent", "Sent"
    AGREED = "agreed", "Agreed"
    SUPERSEDED = "superseded", "Superseded"


class Revision(models.Model):
    """
    One design, under a letter; never edited after it was sent.

    ``parameters`` is what was decided, ``outputs`` what gemcalc computed from it (see design.computing);
    recomputing the one must give the other, or say what changed.
    """

    commission = models.ForeignKey(Commission, on_delete=models.PROTECT, related_name="revisions")
    letter = models.CharField(max_length=2)
    parent = models.ForeignKey(
        "self", on_delete=models.PROTECT, null=True, blank=True, related_name="children"
    )
    parameters = models.JSONField()
    outputs = models.JSONField()
    engine = models.CharField(max_length=20)
    differences = models.JSONField(default=list)
    files = models.JSONField(default=list, help_text="its files with their digests, as they were sent")
    note = models.TextField(max_length=2000, blank=True)
    status = models.CharField(max_length=12, choices=Status.choices, default=Status.DRAFT)
    made_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    made_at = models.DateTimeField()
    sent_at = models.DateTimeField(null=True, blank=True)
    reason = models.CharField(max_length=200, blank=True)
    despite = models.CharField(
        max_length=300, blank=True, help_text="why it was sent although a check says stop"
    )

    class Meta:
        ordering = ["id"]
        constraints = [
            models.UniqueConstraint(fields=["commission", "letter"], name="design_one_letter_once"),
            models.UniqueConstraint(
                fields=["commission"], condition=models.Q(status="draft"), name="design_one_draft_at_a_time"
            ),
        ]

    def __str__(self):
        return f"Revision {self.letter}"
