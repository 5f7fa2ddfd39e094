"""Papers as they were sent: number, bytes on disk, and their digest."""

from __future__ import annotations

from django.db import models

from commissions.record.models import Commission


class PaperKind(models.TextChoices):
    """Which paper; each kind has its own series of numbers."""

    QUOTATION = "quotation", "Quotation"
    AGREEMENT = "agreement", "Commission agreement"
    CHANGE = "change", "Change note"
    REQUEST = "request", "Payment request"
    RECEIPT = "receipt", "Receipt"
    STATEMENT = "statement", "Statement of account"
    CANCELLATION = "cancellation", "Cancellation statement"
    INVOICE = "invoice", "Invoice"


class Series(models.Model):
    """The last number given in a kind and a year; numbers run without a gap."""

    kind = models.CharField(max_length=14, choices=PaperKind.choices)
    year = models.PositiveSmallIntegerField()
    last = models.PositiveIntegerField(default=0)

    class Meta:
        constraints = [models.UniqueConstraint(fields=["kind", "year"], name="money_one_series_a_year")]


class FrozenPaper(models.Model):
    """
    A paper that was made to be sent.

    ``data`` is what it was made from, so that the file can be made again; ``subject`` names the thing it
    stands for (``quote:3``), which has one paper of a kind.
    """

    commission = models.ForeignKey(Commission, on_delete=models.PROTECT, related_name="papers")
    kind = models.CharField(max_length=14, choices=PaperKind.choices)
    subject = models.CharField(max_length=60)
    number = models.CharField(max_length=20, unique=True)
    data = models.JSONField(default=dict)
    file_name = models.CharField(max_length=80, blank=True)
    sha256 = models.CharField(max_length=64, blank=True)
    at = models.DateTimeField()

    class Meta:
        ordering = ["id"]
        constraints = [models.UniqueConstraint(fields=["kind", "subject"], name="money_one_paper_each")]

    def __str__(self):
        return self.number
