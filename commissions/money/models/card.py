"""Payments by a hosted card page: what was asked for, and what was told to have been paid; no card data."""

from __future__ import annotations

from django.db import models

from commissions.money.models.agreement import Instalment
from commissions.money.models.ledger import Entry
from commissions.record.models import Commission


class CardPayment(models.Model):
    """One visit to the card page for one sum; the token is all that the page knows of it."""

    token = models.CharField(max_length=48, unique=True)
    commission = models.ForeignKey(Commission, on_delete=models.PROTECT, related_name="card_payments")
    instalment = models.ForeignKey(Instalment, on_delete=models.PROTECT, related_name="card_payments")
    minor = models.BigIntegerField()
    currency = models.CharField(max_length=3)
    entry = models.OneToOneField(
        Entry, on_delete=models.PROTECT, null=True, blank=True, related_name="card_payment"
    )
    made_at = models.DateTimeField()
    paid_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["id"]
