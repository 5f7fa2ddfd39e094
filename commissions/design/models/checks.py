"""A model laid over the stone: the gap all round, before anything is cast."""

from __future__ import annotations

from django.conf import settings
from django.db import models

from commissions.design.models.revisions import Revision


class ModelCheck(models.Model):
    """
    One laying of a modelled opening over the stone's girdle; only ever added, the newest counts.

    ``girdle`` and ``opening`` are the two outlines in mm as they were compared, so that the drawing is the
    same in ten years; ``figures`` what came out. Gaps at rest are µm, below nought where the stone would
    not go in.
    """

    revision = models.ForeignKey(Revision, on_delete=models.PROTECT, related_name="model_checks")
    girdle_words = models.CharField(max_length=200)
    girdle = models.JSONField()
    girdle_digest = models.CharField(max_length=64)
    opening_words = models.CharField(max_length=300)
    opening_sha256 = models.CharField(max_length=64)
    opening = models.JSONField()
    low_um = models.PositiveIntegerField("least gap wanted, µm")
    high_um = models.PositiveIntegerField("greatest gap wanted, µm")
    least_um = models.IntegerField("least gap, µm")
    greatest_um = models.IntegerField("greatest gap, µm")
    mean_um = models.IntegerField("mean gap, µm")
    figures = models.JSONField(default=dict)
    verdict = models.CharField(max_length=5, choices=[("good", "Good"), ("look", "Look"), ("stop", "Stop")])
    note = models.CharField(max_length=300, blank=True)
    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        ordering = ["id"]
