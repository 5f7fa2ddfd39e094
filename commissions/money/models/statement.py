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
    ASKED = "asked", "Is this the same payment?"
    SAME = "same", "The same as another, not booked"


class LineForm(models.TextChoices):
    """Which form of statement a line was read from."""

    CSV = "csv", "CSV"
    CAMT = "camt", "camt.053"


class BankLine(models.Model):
    """
    One line of a bank statement; ``key`` is the bank's own reference of it, or a digest of what it says,
    so that a statement read twice books nothing twice.

    Where another form of statement, an earlier reading or a receipt entered by hand may have booked the
    same payment, the line is ``asked`` and books nothing until the owner has answered.
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
    form = models.CharField(max_length=4, choices=LineForm.choices, blank=True)
    account = models.CharField(
        max_length=60, blank=True, help_text="the studio's account, where the file names it"
    )
    reading = models.CharField(
        max_length=32, blank=True, help_text="lines of one reading of one file share it"
    )
    like_line = models.ForeignKey(
        "self", on_delete=models.PROTECT, null=True, blank=True, related_name="likenesses"
    )
    like_entry = models.ForeignKey(
        Entry, on_delete=models.PROTECT, null=True, blank=True, related_name="likenesses"
    )
    at = models.DateTimeField()

    class Meta:
        ordering = ["-on", "-id"]
        indexes = [
            models.Index(fields=["state", "on"], name="money_lines_by_state"),
            models.Index(fields=["currency", "minor", "on"], name="money_lines_alike"),
        ]
