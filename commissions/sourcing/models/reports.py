"""A stone that is set on the strength of its grading report."""

from __future__ import annotations

from django.conf import settings
from django.db import models

from commissions.sourcing.models.stones import Stone


class ToReport(models.Model):
    """
    The owner's choice to work to a grading report, without our own measuring of the loose stone; only ever added.

    ``report`` is the number it relies on. A check-in that comes after all takes its place by itself.
    """

    stone = models.ForeignKey(Stone, on_delete=models.PROTECT, related_name="to_report")
    report = models.CharField(max_length=80)
    reason = models.CharField(max_length=300)
    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        ordering = ["id"]
