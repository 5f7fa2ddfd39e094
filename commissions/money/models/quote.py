"""The quotation: frozen once it is sent; a change is a new version."""

from __future__ import annotations

from django.conf import settings
from django.db import models

from commissions.design.models import Revision
from commissions.record.models import Commission
from studio.amounts import from_minor, to_minor


class QuoteStatus(models.TextChoices):
    """How far a quotation has come."""

    DRAFT = "draft", "Draft"
    SENT = "sent", "Sent"
    ACCEPTED = "accepted", "Accepted"
    EXPIRED = "expired", "Expired"
    REPLACED = "replaced", "Replaced"


class LineKind(models.TextChoices):
    """What a line is for."""

    DESIGN = "design", "Design"
    CENTRE = "centre", "Centre stone"
    HALO = "halo", "Halo stones"
    OTHER = "other", "Other stones"
    METAL = "metal", "Metal"
    MAKING = "making", "Making"
    SETTING = "setting", "Setting"
    FINISHING = "finishing", "Finishing"
    MARKING = "marking", "Marking"
    ENGRAVING = "engraving", "Engraving"
    DELIVERY = "delivery", "Delivery and insurance"
    ADJUSTMENT = "adjustment", "Adjustment"


class Quote(models.Model):
    """One version of the price of one commission, from one revision of its design."""

    commission = models.ForeignKey(Commission, on_delete=models.PROTECT, related_name="quotes")
    revision = models.ForeignKey(
        Revision, on_delete=models.PROTECT, related_name="quotes", null=True, blank=True
    )
    version = models.PositiveSmallIntegerField()
    currency = models.CharField(max_length=3)
    status = models.CharField(max_length=10, choices=QuoteStatus.choices, default=QuoteStatus.DRAFT)
    valid_until = models.DateField(null=True, blank=True)
    tax_note = models.CharField(max_length=200, blank=True)
    metal_clause = models.CharField(max_length=400, blank=True)
    plan = models.CharField(max_length=80, default="40/30/30")
    note = models.TextField(max_length=2000, blank=True)
    country = models.CharField(max_length=2, blank=True, help_text="country of delivery, ISO 3166")
    second_currency = models.CharField(max_length=3, blank=True)
    second_rate = models.DecimalField(
        max_digits=14,
        decimal_places=6,
        null=True,
        blank=True,
        help_text="of one unit, frozen with the quotation",
    )
    second_source = models.CharField(max_length=120, blank=True)
    second_on = models.DateField(null=True, blank=True)
    landed_duty = models.DecimalField(
        max_digits=6,
        decimal_places=3,
        null=True,
        blank=True,
        help_text="import duty at the client's end, percent",
    )
    landed_tax = models.DecimalField(
        max_digits=6,
        decimal_places=3,
        null=True,
        blank=True,
        help_text="import tax at the client's end, percent",
    )
    landed_source = models.CharField(max_length=160, blank=True)
    landed_on = models.DateField(null=True, blank=True)
    withdrawal = models.CharField(
        max_length=300, blank=True, help_text="what was said of the right to withdraw"
    )
    made_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    made_at = models.DateTimeField()
    sent_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["id"]
        constraints = [
            models.UniqueConstraint(fields=["commission", "version"], name="money_one_version_once"),
            models.UniqueConstraint(
                fields=["commission"], condition=models.Q(status="draft"), name="money_one_draft_quote"
            ),
        ]

    def __str__(self):
        return f"Quotation {self.version}"

    def in_second(self, minor: int) -> int | None:
        """A sum of the quotation in minor units of the second currency, at the frozen rate; for information."""
        if not self.second_rate:
            return None
        amount = from_minor(minor=minor, currency=self.currency) * self.second_rate
        return to_minor(amount=amount, currency=self.second_currency)


class QuoteLine(models.Model):
    """
    One line: ``total_minor`` is the rounded net sum, ``tax_minor`` the rounded tax on it; the tax of a
    quotation is the sum of the rounded lines.
    """

    quote = models.ForeignKey(Quote, on_delete=models.CASCADE, related_name="lines")
    place = models.PositiveSmallIntegerField()
    kind = models.CharField(max_length=12, choices=LineKind.choices)
    words = models.CharField(max_length=200)
    quantity = models.DecimalField(max_digits=12, decimal_places=4)
    unit = models.CharField(max_length=20, blank=True)
    unit_minor = models.DecimalField(max_digits=16, decimal_places=4, help_text="minor units for one")
    cost_minor = models.BigIntegerField(default=0, help_text="what it costs us, seen by the owner alone")
    total_minor = models.BigIntegerField()
    tax_code = models.CharField(max_length=20, blank=True)
    tax_rate = models.DecimalField(max_digits=6, decimal_places=3, default=0, help_text="percent")
    tax_minor = models.BigIntegerField(default=0)
    computed_from = models.JSONField(default=dict)

    class Meta:
        ordering = ["place", "id"]
