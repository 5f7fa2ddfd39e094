"""Lines of bank statements as they came in, each kept once."""

from __future__ import annotations

from django.db import models

from commissions.money.models.ledger import Entry
from commissions.record.models import Commission


class LineState(models.TextChoices):
    """What has become of a line of a statement."""

    MATCHED = "matched", "Matched"
    UNMATCHED = "unmatched", "Not matched"
    OUT = "out", "Went out"


class BankLine(models.Model):
    """
    One line of a bank statement; ``key`` is the bank's own reference of it, or a digest of what it says,
    so that a statement read twice books nothing twice.
    """

    key = models.CharField(max_length=64, unique=True)
    currency = models.CharField(max_length=3)
    on = models.DateField()
    minor = models.BigIntegerField()
    reference = models.CharField(max_length=200, blank=True)
    counterpart = models.CharField(max_length=140, blank=True)
    state = models.CharField(max_length=10, choices=LineState.choices)
    commission = models.ForeignKey(
        Commission, on_delete=models.PROTECT, null=True, blank=True, related_name="bank_lines"
    )
    entry = models.OneToOneField(
        Entry, on_delete=models.PROTECT, null=True, blank=True, related_name="bank_line"
    )
    at = models.DateTimeField()

    class Meta:
        ordering = ["-on", "-id"]
        indexes = [models.Index(fields=["state", "on"], name="money_lines_by_state")]
