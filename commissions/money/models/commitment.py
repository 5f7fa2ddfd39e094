"""What the studio has committed to a job before it is paid for."""

from __future__ import annotations

from django.db import models

from commissions.money.models.ledger import Entry
from commissions.record.models import Commission


class CommitmentKind(models.TextChoices):
    """What was bought or booked; it decides the account."""

    STONE = "stone", "Stone bought"
    METAL = "metal", "Metal bought"
    WORK = "work", "Work booked outside"
    TIME = "time", "Our own time"
    CARRIAGE = "carriage", "Carriage and insurance"


class Commitment(models.Model):
    """One sum committed to a job, and how much of it can be got back and until when."""

    commission = models.ForeignKey(Commission, on_delete=models.PROTECT, related_name="commitments")
    kind = models.CharField(max_length=10, choices=CommitmentKind.choices)
    words = models.CharField(max_length=160)
    minor = models.BigIntegerField()
    recoverable_minor = models.BigIntegerField(default=0)
    recoverable_until = models.DateField(null=True, blank=True)
    why = models.CharField(max_length=200, blank=True, help_text="why the rest cannot be got back")
    key = models.CharField(max_length=120, unique=True)
    entry = models.OneToOneField(
        Entry, on_delete=models.PROTECT, null=True, blank=True, related_name="commitment"
    )
    bill_currency = models.CharField(
        max_length=3, blank=True, help_text="where the bill is in another currency"
    )
    bill_minor = models.BigIntegerField(null=True, blank=True)
    paid_entry = models.OneToOneField(
        Entry, on_delete=models.PROTECT, null=True, blank=True, related_name="paid_commitment"
    )
    paid_at_once = models.BooleanField(default=False)
    at = models.DateTimeField()

    class Meta:
        ordering = ["id"]
        indexes = [models.Index(fields=["commission", "minor"], name="money_commitment_of_job")]

    @property
    def lost_minor(self) -> int:
        """What cannot be got back."""
        return self.minor - self.recoverable_minor

    @property
    def is_owed(self) -> bool:
        """Whether its bill is still to be paid."""
        return self.entry_id is not None and self.paid_entry_id is None and not self.paid_at_once

    @property
    def owed(self) -> tuple[int, str]:
        """What the bill says: minor units and currency."""
        if self.bill_currency and self.bill_minor is not None:
            return self.bill_minor, self.bill_currency
        return self.minor, self.commission.currency
