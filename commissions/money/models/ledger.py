"""
Double entry in integer minor units.

Entries and postings are guarded by the database itself: they can be added and never changed or removed
(see migrations). A mistake is corrected by an entry that reverses it.
"""

from __future__ import annotations

from django.conf import settings
from django.db import models

from commissions.record.models import Commission


class Kind(models.TextChoices):
    """What an account is; it decides on which side it grows."""

    ASSET = "asset", "Asset"
    LIABILITY = "liability", "Liability"
    EQUITY = "equity", "Equity"
    INCOME = "income", "Income"
    EXPENSE = "expense", "Expense"


class Account(models.Model):
    """One account in one currency."""

    code = models.CharField(max_length=40)
    name = models.CharField(max_length=80)
    kind = models.CharField(max_length=10, choices=Kind.choices)
    currency = models.CharField(max_length=3)

    class Meta:
        ordering = ["currency", "code"]
        constraints = [
            models.UniqueConstraint(fields=["code", "currency"], name="money_one_account_a_currency")
        ]

    def __str__(self):
        return f"{self.name} {self.currency}"


class Period(models.Model):
    """A closed month: no entry may be dated into it any more, which the database itself keeps (see migrations)."""

    year = models.PositiveSmallIntegerField()
    month = models.PositiveSmallIntegerField()
    closed_at = models.DateTimeField()
    closed_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")

    class Meta:
        constraints = [models.UniqueConstraint(fields=["year", "month"], name="money_one_period_a_month")]


class Entry(models.Model):
    """
    One thing that happened to money, with its two or more postings.

    ``key`` makes a repeat harmless: the same event can be entered once.
    """

    key = models.CharField(max_length=120, unique=True)
    kind = models.CharField(max_length=40)
    on = models.DateField()
    meant_on = models.DateField(
        null=True, blank=True, help_text="its own day, where that lay in a month that was closed"
    )
    memo = models.CharField(max_length=200)
    source = models.CharField(max_length=120, blank=True, help_text="what it rests on, such as receipt:17")
    commission = models.ForeignKey(
        Commission, on_delete=models.PROTECT, null=True, blank=True, related_name="entries"
    )
    reverses = models.OneToOneField(
        "self", on_delete=models.PROTECT, null=True, blank=True, related_name="reversed_by"
    )
    by_words = models.CharField(max_length=160)
    at = models.DateTimeField()

    class Meta:
        ordering = ["id"]
        verbose_name_plural = "entries"
        indexes = [models.Index(fields=["commission", "kind"], name="money_entry_of_job")]


class Posting(models.Model):
    """One line of an entry: minor units of the account's currency, debit positive, credit negative."""

    entry = models.ForeignKey(Entry, on_delete=models.PROTECT, related_name="postings")
    account = models.ForeignKey(Account, on_delete=models.PROTECT, related_name="postings")
    minor = models.BigIntegerField()
    on = models.DateField(help_text="the day of its entry, so that an account is read in the order of days")
    commission = models.ForeignKey(
        Commission, on_delete=models.PROTECT, null=True, blank=True, related_name="postings"
    )

    class Meta:
        ordering = ["id"]
        constraints = [models.CheckConstraint(condition=~models.Q(minor=0), name="money_no_empty_posting")]
        indexes = [
            # With the sum in the index, a balance is read from the index alone.
            models.Index(fields=["account", "commission", "minor"], name="money_posting_of_account"),
            models.Index(fields=["commission", "account", "minor"], name="money_posting_of_job"),
            models.Index(fields=["account", "on", "id", "minor"], name="money_posting_by_day"),
            models.Index(fields=["minor", "account"], name="money_posting_of_sum"),
        ]
