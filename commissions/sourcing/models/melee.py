"""Lots of small stones: count and weight, both kept as movements."""

from __future__ import annotations

from django.db import models

from commissions.record.models import Commission
from commissions.sourcing.models.stones import Origin, Screening


class MeleeLot(models.Model):
    """
    One lot of one size, one species and one declared origin; lots are never poured together.

    What lies in the drawer and what is out is the sum of its movements.
    """

    name = models.CharField(max_length=80, unique=True)
    supplier = models.CharField(max_length=80, blank=True)
    species = models.CharField(max_length=40, default="diamond")
    origin = models.CharField(max_length=20, choices=Origin.choices)
    screening = models.CharField(max_length=12, choices=Screening.choices, default=Screening.NOT_DONE)
    screening_words = models.CharField(max_length=200, blank=True)
    size_hmm = models.PositiveIntegerField("diameter, 0.01 mm")
    cost_minor = models.BigIntegerField("what the parcel cost", null=True, blank=True)
    currency = models.CharField(max_length=3, blank=True)
    check_words = models.TextField(max_length=1000, blank=True)
    made_at = models.DateTimeField()

    class Meta:
        ordering = ["species", "origin", "size_hmm", "id"]

    def __str__(self):
        return self.name


class LotKind(models.TextChoices):
    """What happens to stones of a lot."""

    RECEIVE = "receive", "Received"
    ISSUE = "issue", "Issued to a job"
    RETURN = "return", "Returned from a job"
    SET = "set", "Set"
    BROKEN = "broken", "Broken"
    LOST = "lost", "Lost"
    ADJUST = "adjust", "Adjusted after a count"


class LotMove(models.Model):
    """
    One movement of a lot: how many stones and how heavy, 0.001 ct; only ever added.

    Both figures are more than nought, save for an adjustment, which carries its sign.
    """

    lot = models.ForeignKey(MeleeLot, on_delete=models.PROTECT, related_name="moves")
    kind = models.CharField(max_length=8, choices=LotKind.choices)
    count = models.IntegerField()
    weight_mct = models.IntegerField("weight, 0.001 ct")
    commission = models.ForeignKey(
        Commission, on_delete=models.PROTECT, null=True, blank=True, related_name="lot_moves"
    )
    holder = models.CharField(max_length=80, blank=True)
    reason = models.CharField(max_length=200, blank=True)
    by_words = models.CharField(max_length=160)
    at = models.DateTimeField()

    class Meta:
        ordering = ["id"]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(kind="adjust") | (models.Q(count__gt=0) & models.Q(weight_mct__gte=0)),
                name="sourcing_only_an_adjustment_has_a_sign",
            )
        ]
