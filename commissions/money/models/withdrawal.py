"""A consumer's right to withdraw from a contract, where there is one, and its use; both only ever added to."""

from __future__ import annotations

from django.db import models

from commissions.record.models import Commission
from studio.people.models import ClientAccess


class WithdrawalRight(models.Model):
    """
    What holds for one commission: the newest counts, and without one there is no right.

    A ring made to specification is outside the right as a rule (Directive 2011/83/EU art. 16(c)); a design
    alone, or a band from stock, is not. Which it is, and until when, the studio says.
    """

    commission = models.ForeignKey(Commission, on_delete=models.PROTECT, related_name="withdrawal_rights")
    applies_until = models.DateField(null=True, blank=True, help_text="empty: there is no such right")
    reason = models.CharField(max_length=200)
    by_words = models.CharField(max_length=160)
    at = models.DateTimeField()

    class Meta:
        ordering = ["id"]


class Withdrawal(models.Model):
    """A client's declaration that they withdraw, as it was made; one for a commission."""

    commission = models.OneToOneField(Commission, on_delete=models.PROTECT, related_name="withdrawal")
    name = models.CharField(max_length=120)
    words = models.CharField(max_length=400, help_text="the declaration as it was shown and confirmed")
    access = models.ForeignKey(ClientAccess, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()
