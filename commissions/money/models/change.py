"""A change after the agreement: what, why, what it costs and how long it takes; it counts once it is approved."""

from __future__ import annotations

from django.conf import settings
from django.db import models

from commissions.money.models.quote import Quote
from commissions.record.models import Commission


class ChangeStatus(models.TextChoices):
    """How far a change note has come."""

    SENT = "sent", "Sent"
    APPROVED = "approved", "Approved"
    DECLINED = "declined", "Declined"
    WITHDRAWN = "withdrawn", "Withdrawn"


class ChangeNote(models.Model):
    """One change; sums are minor units and may be below nought, metal is mg."""

    commission = models.ForeignKey(Commission, on_delete=models.PROTECT, related_name="change_notes")
    quote = models.ForeignKey(Quote, on_delete=models.PROTECT, related_name="change_notes")
    number = models.PositiveSmallIntegerField()
    what = models.CharField(max_length=300)
    why = models.CharField(max_length=300)
    asked_by = models.CharField(max_length=10, choices=[("client", "The client"), ("us", "The studio")])
    net_minor = models.BigIntegerField()
    tax_code = models.CharField(max_length=20, blank=True)
    tax_rate = models.DecimalField(max_digits=6, decimal_places=3, default=0)
    tax_minor = models.BigIntegerField(default=0)
    days = models.SmallIntegerField(default=0)
    metal_mg = models.IntegerField(default=0)
    status = models.CharField(max_length=10, choices=ChangeStatus.choices, default=ChangeStatus.SENT)
    made_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    sent_at = models.DateTimeField()
    answered_at = models.DateTimeField(null=True, blank=True)
    answered_by = models.CharField(max_length=160, blank=True)
    consent = models.CharField(max_length=300, blank=True)

    class Meta:
        ordering = ["number"]
        constraints = [
            models.UniqueConstraint(fields=["commission", "number"], name="money_one_change_number")
        ]

    def __str__(self):
        return f"Change note {self.number}"

    @property
    def gross_minor(self) -> int:
        """What the client pays more, or less, with tax."""
        return self.net_minor + self.tax_minor
