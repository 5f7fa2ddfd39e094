"""Metal by alloy, lot, holder and job: movements from one holder to another, mg; only ever added."""

from __future__ import annotations

from django.conf import settings
from django.db import models

from commissions.intake.models import Client
from commissions.record.models import Commission


class Nickel(models.TextChoices):
    """What the supplier's sheet says of nickel."""

    NONE = "none", "None in it"
    CONTAINS = "contains", "Contains nickel"
    UNKNOWN = "unknown", "Does not say"


class MetalLot(models.Model):
    """Metal of one alloy that came in together; a client's own metal is a lot of its own and stays one."""

    name = models.CharField(max_length=80, unique=True)
    alloy = models.CharField(max_length=80)
    fineness_ppt = models.PositiveSmallIntegerField(help_text="parts per thousand")
    nickel = models.CharField(
        max_length=8, choices=Nickel.choices, default=Nickel.UNKNOWN, help_text="as the supplier's sheet says"
    )
    supplier = models.CharField(max_length=80, blank=True)
    client = models.ForeignKey(
        Client, on_delete=models.PROTECT, null=True, blank=True, related_name="metal_lots"
    )
    opened_at = models.DateTimeField()
    closed_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["-id"]

    def __str__(self):
        return self.name


class MovementKind(models.TextChoices):
    """Why metal changes hands."""

    IN = "in", "Bought in"
    CLIENT_IN = "client-in", "Client's own, in"
    ISSUE = "issue", "Weighed out to a job"
    RETURN = "return", "Clean returns"
    FILINGS = "filings", "Filings and lemel"
    PIECE = "piece", "In the finished mount"
    REFINE_OUT = "refine-out", "To the refiner"
    REFINE_BACK = "refine-back", "Recovered by the refiner"
    CLIENT_BACK = "client-back", "Back to the client"


HOLDERS = {
    MovementKind.IN: ("outside", "stock"),
    MovementKind.CLIENT_IN: ("outside", "stock"),
    MovementKind.ISSUE: ("stock", "job"),
    MovementKind.RETURN: ("job", "stock"),
    MovementKind.FILINGS: ("job", "filings"),
    MovementKind.PIECE: ("job", "piece"),
    MovementKind.REFINE_OUT: ("filings", "refiner"),
    MovementKind.REFINE_BACK: ("refiner", "stock"),
    MovementKind.CLIENT_BACK: ("stock", "outside"),
}
"""From which holder to which each kind moves: what keeps every balance explainable."""


class MetalMovement(models.Model):
    """One weighing of metal from one holder to another."""

    lot = models.ForeignKey(MetalLot, on_delete=models.PROTECT, related_name="movements")
    kind = models.CharField(max_length=12, choices=MovementKind.choices)
    frm = models.CharField(max_length=8)
    to = models.CharField(max_length=8)
    commission = models.ForeignKey(
        Commission, on_delete=models.PROTECT, null=True, blank=True, related_name="metal_movements"
    )
    mg = models.PositiveBigIntegerField()
    scale = models.CharField(max_length=40, blank=True)
    note = models.CharField(max_length=200, blank=True)
    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()
    reverses = models.OneToOneField(
        "self", on_delete=models.PROTECT, null=True, blank=True, related_name="reversed_by"
    )

    class Meta:
        ordering = ["id"]
        indexes = [models.Index(fields=["commission", "lot"], name="bench_metal_of_job")]
        constraints = [
            models.CheckConstraint(condition=models.Q(mg__gt=0), name="bench_metal_moves_something")
        ]
