"""The check sheet of a ring: every line with its answers, and every answer kept."""

from __future__ import annotations

from django.conf import settings
from django.db import models

from commissions.bench.models.photos import Photo
from commissions.record.models import Commission


class Verdict(models.TextChoices):
    """What was found on one line."""

    PASS = "pass", "Pass"
    FIX = "fix", "Fix"
    NA = "na", "Not applicable"


class CheckSheet(models.Model):
    """One sheet for one ring, final once it was passed."""

    commission = models.OneToOneField(Commission, on_delete=models.PROTECT, related_name="check_sheet")
    edition = models.PositiveSmallIntegerField(help_text="edition of the lines it was begun with")
    begun_at = models.DateTimeField()
    final_at = models.DateTimeField(null=True, blank=True)
    final_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    second_look = models.CharField(
        max_length=60,
        blank=True,
        help_text="how it was looked at a second time: by another, or after a night",
    )


class CheckAnswer(models.Model):
    """One answer to one line; a later one replaces it and does not remove it."""

    sheet = models.ForeignKey(CheckSheet, on_delete=models.PROTECT, related_name="answers")
    line = models.PositiveSmallIntegerField()
    verdict = models.CharField(max_length=4, choices=Verdict.choices)
    measured = models.DecimalField(max_digits=7, decimal_places=2, null=True, blank=True)
    second = models.DecimalField(
        max_digits=7,
        decimal_places=2,
        null=True,
        blank=True,
        help_text="the second figure, where a line asks two",
    )
    note = models.CharField(max_length=240, blank=True)
    photo = models.ForeignKey(Photo, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        ordering = ["id"]
