"""Photographs of a job: internal until somebody has looked at one closely and released it."""

from __future__ import annotations

from django.conf import settings
from django.db import models

from commissions.bench.models.steps import Step
from commissions.record.models import Commission
from studio.pictures.models import Picture


class Audience(models.TextChoices):
    """Who may see a photo."""

    INTERNAL = "internal", "Studio only"
    CLIENT = "client", "Client"


class Photo(models.Model):
    """One photograph; ``carried_at`` is set once a letter has taken it along, and then it stays released."""

    commission = models.ForeignKey(Commission, on_delete=models.PROTECT, related_name="photos")
    picture = models.OneToOneField(Picture, on_delete=models.PROTECT, related_name="bench_photo")
    step = models.ForeignKey(Step, on_delete=models.PROTECT, null=True, blank=True, related_name="photos")
    shot = models.CharField(max_length=24, blank=True)
    caption = models.CharField(max_length=160, blank=True)
    scale = models.CharField(max_length=40, blank=True, help_text="such as: shown 8 times its size")
    audience = models.CharField(max_length=8, choices=Audience.choices, default=Audience.INTERNAL)
    background_checked = models.BooleanField(default=False)
    at = models.DateTimeField()
    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    released_at = models.DateTimeField(null=True, blank=True)
    released_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    carried_at = models.DateTimeField(null=True, blank=True)
    removed_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["at", "id"]
        indexes = [models.Index(fields=["audience", "carried_at"], name="bench_photos_to_carry")]

    def __str__(self):
        return self.caption or f"Photo {self.pk}"
