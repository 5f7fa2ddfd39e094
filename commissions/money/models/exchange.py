"""Rates of exchange, and what was changed at them: both sums are kept, with the rate."""

from __future__ import annotations

from decimal import Decimal

from django.conf import settings
from django.db import models

from commissions.money.models.ledger import Entry
from studio.amounts import from_minor, to_minor


class Rate(models.Model):
    """One unit of ``of`` was worth ``rate`` units of ``into`` on a day, by a source; it is never changed."""

    of = models.CharField(max_length=3)
    into = models.CharField(max_length=3)
    rate = models.DecimalField(max_digits=14, decimal_places=6)
    source = models.CharField(max_length=120)
    on = models.DateField()
    made_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    made_at = models.DateTimeField()

    class Meta:
        ordering = ["id"]
        constraints = [models.CheckConstraint(condition=models.Q(rate__gt=0), name="money_rate_above_nought")]

    def __str__(self):
        return f"1 {self.of} = {self.rate.normalize():f} {self.into}"

    def other(self, currency: str) -> str:
        """The currency at the other end of the rate."""
        return self.into if currency == self.of else self.of

    def worth(self, *, minor: int, currency: str) -> int:
        """
        A sum in the other currency of the rate, minor units, half up.

        Raises:
            ValueError: the rate is not of this currency.
        """
        amount = from_minor(minor=minor, currency=currency)
        if currency == self.of:
            return to_minor(amount=amount * self.rate, currency=self.into)
        if currency == self.into:
            return to_minor(amount=Decimal(amount) / self.rate, currency=self.of)
        raise ValueError(f"{self} says nothing of {currency}")


class Conversion(models.Model):
    """
    What an entry took from one currency into another, and the difference that came of it.

    ``foreign`` is what came in or went out; ``minor`` is what it stands for in the books of the piece;
    ``difference`` is above nought where the change brought us more, below where it cost us.
    """

    entry = models.OneToOneField(Entry, on_delete=models.PROTECT, related_name="conversion")
    rate = models.ForeignKey(
        Rate, on_delete=models.PROTECT, null=True, blank=True, related_name="conversions"
    )
    foreign_minor = models.BigIntegerField()
    foreign_currency = models.CharField(max_length=3)
    minor = models.BigIntegerField()
    currency = models.CharField(max_length=3)
    difference_minor = models.BigIntegerField(default=0)

    class Meta:
        ordering = ["id"]
