"""Metal by alloy, lot, holder and job: movements from one holder to another, mg; only ever added."""

from __future__ import annotations

from django.conf import settings
from django.db import models

from commissions.bench.models.facts import Weighing
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
    REFINE_BACK = "refine-back", "Came back from the refiner as it was"
    REFINED = "refined", "Refined and settled"
    LOSS = "loss", "Not accounted for, account closed"
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
    MovementKind.REFINED: ("refiner", "refined"),
    MovementKind.LOSS: ("job", "loss"),
    MovementKind.CLIENT_BACK: ("stock", "outside"),
}
"""From which holder to which each kind moves: what keeps every balance explainable."""


class RefinerLot(models.Model):
    """
    What went to a refiner together: filings of lots of one precious metal, and sweeps.

    Sweeps (tray, floor, filters, sludge) are weighed as they are: what metal is in them only the assay tells.
    A client's own metal is refined alone.
    """

    name = models.CharField(max_length=80, unique=True)
    refiner = models.CharField(max_length=80)
    metal = models.CharField(max_length=2, help_text="symbol of the precious metal")
    client = models.ForeignKey(Client, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    sweeps_mg = models.PositiveBigIntegerField(default=0, help_text="gross, as weighed")
    scale = models.CharField(max_length=40, blank=True)
    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    sent_at = models.DateTimeField()

    class Meta:
        ordering = ["-id"]

    def __str__(self):
        return self.name


class RefinerSettlement(models.Model):
    """What a refiner found and credited; written once, in fine grams."""

    lot = models.OneToOneField(RefinerLot, on_delete=models.PROTECT, related_name="settlement")
    received_mg = models.PositiveBigIntegerField(help_text="weight as the refiner received it")
    assay_ppt = models.PositiveSmallIntegerField(help_text="fine metal found, parts per thousand of the melt")
    fine_mg = models.PositiveBigIntegerField(help_text="fine metal credited")
    fee = models.CharField(max_length=80, blank=True, help_text="as the refiner's paper says")
    note = models.CharField(max_length=200, blank=True)
    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()


class MetalMovement(models.Model):
    """
    One weighing of metal from one holder to another: net, with the tare that was taken off.

    ``holder`` is who took metal that was weighed out; ``weighing`` the weight at the bench that it was booked from.
    """

    lot = models.ForeignKey(MetalLot, on_delete=models.PROTECT, related_name="movements")
    kind = models.CharField(max_length=12, choices=MovementKind.choices)
    frm = models.CharField(max_length=8)
    to = models.CharField(max_length=8)
    commission = models.ForeignKey(
        Commission, on_delete=models.PROTECT, null=True, blank=True, related_name="metal_movements"
    )
    mg = models.PositiveBigIntegerField()
    tare_mg = models.PositiveBigIntegerField(default=0)
    holder = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    weighing = models.OneToOneField(
        Weighing, on_delete=models.PROTECT, null=True, blank=True, related_name="movement"
    )
    refiner_lot = models.ForeignKey(
        RefinerLot, on_delete=models.PROTECT, null=True, blank=True, related_name="movements"
    )
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
