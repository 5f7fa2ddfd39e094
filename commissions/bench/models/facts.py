"""Facts of the bench: weights, counts, time and problems. Weights and counts only grow: a mistake is a further row."""

from __future__ import annotations

import datetime

from django.conf import settings
from django.db import models

from commissions.bench.models.photos import Photo
from commissions.bench.models.steps import Step
from commissions.record.models import Commission
from commissions.sourcing.models import MeleeLot

LONG_SPELL = datetime.timedelta(hours=6)
"""A spell above this was probably a forgotten stop."""


class Fact(models.Model):
    """Something seen at the bench, by whom and when."""

    commission = models.ForeignKey(Commission, on_delete=models.PROTECT, related_name="%(class)ss")
    step = models.ForeignKey(Step, on_delete=models.PROTECT, null=True, blank=True, related_name="%(class)ss")
    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField(help_text="when it was done, by the phone's clock where that is believable")
    noted_at = models.DateTimeField(help_text="when it reached us")

    class Meta:
        abstract = True
        ordering = ["at", "id"]


class WeighingKind(models.TextChoices):
    """What lay on the scale."""

    MODEL = "model", "Model"
    CASTING = "casting", "Casting"
    MOUNT = "mount", "Mount without stones"
    RING = "ring", "Ring with stones"
    RETURNS = "returns", "Clean returns"
    FILINGS = "filings", "Filings"


class Weighing(Fact):
    """One weighing, mg. A row that ``voids`` another takes it back."""

    kind = models.CharField(max_length=8, choices=WeighingKind.choices)
    net_mg = models.PositiveIntegerField()
    tare_mg = models.PositiveIntegerField(default=0)
    scale = models.CharField(max_length=40, blank=True)
    voids = models.OneToOneField(
        "self", on_delete=models.PROTECT, null=True, blank=True, related_name="voided_by"
    )


class StoneCount(Fact):
    """Halo stones counted over the whole job so far: where every issued stone is."""

    issued = models.PositiveIntegerField()
    set = models.PositiveIntegerField()
    returned = models.PositiveIntegerField()
    broken = models.PositiveIntegerField()
    lost = models.PositiveIntegerField()
    voids = models.OneToOneField(
        "self", on_delete=models.PROTECT, null=True, blank=True, related_name="voided_by"
    )

    @property
    def unaccounted(self) -> int:
        """Stones issued that are nowhere; below zero where more were counted than issued."""
        return self.issued - self.set - self.returned - self.broken - self.lost


class StoneTally(models.Model):
    """
    The part of a count that is about one lot of the drawer, by number and by weight, 0.001 ct.

    What was issued is read from the drawer's own book when the count arrives. Stones in the ring cannot be
    weighed: what is weighed is what came back, and the pieces of what broke.
    """

    count = models.ForeignKey(StoneCount, on_delete=models.PROTECT, related_name="tallies")
    lot = models.ForeignKey(MeleeLot, on_delete=models.PROTECT, related_name="+")
    issued = models.PositiveIntegerField()
    issued_mct = models.PositiveIntegerField()
    set = models.PositiveIntegerField()
    returned = models.PositiveIntegerField()
    returned_mct = models.PositiveIntegerField()
    broken = models.PositiveIntegerField()
    broken_mct = models.PositiveIntegerField()
    lost = models.PositiveIntegerField()

    class Meta:
        ordering = ["lot__size_hmm", "lot_id"]

    @property
    def unaccounted(self) -> int:
        """Stones issued that are nowhere; below zero where more were counted than issued."""
        return self.issued - self.set - self.returned - self.broken - self.lost

    @property
    def mean_mct(self) -> float:
        """Weight of one stone as issued, 0.001 ct."""
        return self.issued_mct / self.issued if self.issued else 0.0

    @property
    def set_mct(self) -> int:
        """What is in the ring by difference, 0.001 ct: broken and lost stones count with the mean of the lot."""
        gone = (self.broken + self.lost) * self.mean_mct
        return round(self.issued_mct - self.returned_mct - gone)


class Problem(Fact):
    """Something that stops the work until it is answered."""

    words = models.CharField(max_length=400)
    photo = models.ForeignKey(Photo, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    answer = models.CharField(max_length=400, blank=True)
    solved_at = models.DateTimeField(null=True, blank=True)
    solved_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )


class TimeEntry(models.Model):
    """A spell of work: one person, one job, from and to; still running while it has no end."""

    commission = models.ForeignKey(Commission, on_delete=models.PROTECT, related_name="time_entries")
    step = models.ForeignKey(
        Step, on_delete=models.PROTECT, null=True, blank=True, related_name="time_entries"
    )
    person = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="time_entries"
    )
    started_at = models.DateTimeField()
    ended_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["started_at", "id"]
        constraints = [
            models.UniqueConstraint(
                fields=["person"], condition=models.Q(ended_at__isnull=True), name="bench_one_running_clock"
            ),
            models.CheckConstraint(
                condition=models.Q(ended_at__isnull=True) | models.Q(ended_at__gte=models.F("started_at")),
                name="bench_time_runs_forward",
            ),
        ]

    @property
    def is_long(self) -> bool:
        """Whether it is longer than anybody works without a break."""
        return self.ended_at is not None and self.ended_at - self.started_at > LONG_SPELL


class TimeEdit(models.Model):
    """What a spell was before somebody put it right, and why."""

    entry = models.ForeignKey(TimeEntry, on_delete=models.PROTECT, related_name="edits")
    started_before = models.DateTimeField()
    ended_before = models.DateTimeField(null=True, blank=True)
    reason = models.CharField(max_length=200)
    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()
