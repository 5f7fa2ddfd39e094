"""When a sale is booked and when the tax on it is: the studio's own rule, from a moment on."""

from __future__ import annotations

from django.conf import settings
from django.db import models


class SaleRule(models.TextChoices):
    """When what clients paid becomes a sale."""

    HANDOVER = "handover", "When the client has the ring"
    COMPLETION = "completion", "When the ring has passed its last check"
    PAYMENT = "payment", "When a payment comes in"


class TaxPoint(models.TextChoices):
    """When the tax becomes due."""

    PAYMENT = "payment", "With each payment, in proportion"
    SALE = "sale", "When the sale is booked"


class BookRule(models.Model):
    """One rule; the newest holds for entries from then on, and earlier entries stay as they are."""

    sale = models.CharField(max_length=12, choices=SaleRule.choices, default=SaleRule.HANDOVER)
    tax = models.CharField(max_length=12, choices=TaxPoint.choices, default=TaxPoint.PAYMENT)
    why = models.CharField(max_length=300, help_text="who advised it, or where it stands")
    made_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    made_at = models.DateTimeField()

    class Meta:
        ordering = ["id"]
