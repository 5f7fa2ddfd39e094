"""Acts as a phone sends them: each has an id that the phone made, so that a repeat does nothing."""

from __future__ import annotations

from django.conf import settings
from django.db import models

from commissions.record.models import Commission


class ActKind(models.TextChoices):
    """The few things that are done at the bench."""

    START = "start", "Start the step"
    PHOTO = "photo", "Photograph"
    WEIGH = "weigh", "Weigh"
    DONE = "done", "Step done"
    PROBLEM = "problem", "Problem"
    TIME_ON = "time-on", "Time on"
    TIME_OFF = "time-off", "Time off"
    COUNT = "count", "Stone count"


class Act(models.Model):
    """One accepted act; a refused one leaves no row, so that it can be tried again under the same id."""

    key = models.UUIDField(unique=True, editable=False)
    commission = models.ForeignKey(Commission, on_delete=models.PROTECT, related_name="acts")
    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    kind = models.CharField(max_length=8, choices=ActKind.choices)
    digest = models.CharField(max_length=64, help_text="of what was sent, to tell a repeat from another act")
    said = models.CharField(max_length=240, blank=True, help_text="what was answered, and is answered again")
    subject = models.PositiveBigIntegerField(null=True, help_text="the row that it made")
    client_at = models.DateTimeField()
    received_at = models.DateTimeField()
    undone_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["id"]
