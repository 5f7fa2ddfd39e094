"""Pictures: what came in, what was made of it, never who may see it (the room that owns it decides)."""

from __future__ import annotations

from django.db import models


class State(models.TextChoices):
    """How far a picture has come."""

    RECEIVED = "received", "Received"
    READY = "ready", "Ready"
    REFUSED = "refused", "Refused"


class Picture(models.Model):
    """
    One picture.

    ``original`` names a file in the store that nothing serves; ``renditions`` holds, per edge, width,
    height and the names of the WebP and the JPEG file. Names are random and say nothing of the sender's.
    """

    key = models.CharField(max_length=32, unique=True)
    kind = models.CharField(max_length=16)
    state = models.CharField(max_length=8, choices=State.choices, default=State.RECEIVED)
    original = models.CharField(max_length=80)
    sha256 = models.CharField(max_length=64, help_text="of the file as it came")
    bytes = models.PositiveIntegerField()
    width = models.PositiveIntegerField(help_text="px, upright")
    height = models.PositiveIntegerField(help_text="px, upright")
    taken_at = models.DateTimeField(null=True, blank=True)
    made_at = models.DateTimeField()
    by_words = models.CharField(max_length=160)
    renditions = models.JSONField(default=dict)
    refusal = models.CharField(max_length=240, blank=True)
    tries = models.PositiveSmallIntegerField(default=0)
    claimed_until = models.DateTimeField(null=True, blank=True)

    class Meta:
        indexes = [models.Index(fields=["state", "claimed_until"], name="pictures_waiting")]

    def __str__(self):
        return self.key

    @property
    def is_ready(self) -> bool:
        """Whether its renditions can be shown."""
        return self.state == State.READY
