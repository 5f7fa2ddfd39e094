"""What was agreed, frozen under a fingerprint, and how it is paid."""

from __future__ import annotations

from django.db import models

from commissions.money.models.quote import Quote
from commissions.record.models import Commission
from studio.people.models import ClientAccess


class Approval(models.Model):
    """The client's agreement to one bundle, kept as it was shown."""

    commission = models.ForeignKey(Commission, on_delete=models.PROTECT, related_name="approvals")
    quote = models.ForeignKey(Quote, on_delete=models.PROTECT, related_name="approvals")
    bundle = models.JSONField()
    digest = models.CharField(max_length=64)
    consent = models.TextField()
    confirmed = models.JSONField(default=dict, blank=True, help_text="what was typed again, as it was typed")
    terms_version = models.CharField(max_length=20)
    method = models.CharField(max_length=80)
    access = models.ForeignKey(
        ClientAccess, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    by_words = models.CharField(max_length=160)
    at = models.DateTimeField()
    void_at = models.DateTimeField(null=True, blank=True)
    void_reason = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ["id"]
        constraints = [
            models.UniqueConstraint(
                fields=["commission"],
                condition=models.Q(void_at__isnull=True),
                name="money_one_standing_approval",
            )
        ]


class ShownBundle(models.Model):
    """One bundle as it was put before the client to agree to; should it change before the click, this says what."""

    quote = models.ForeignKey(Quote, on_delete=models.PROTECT, related_name="shown")
    digest = models.CharField(max_length=64)
    bundle = models.JSONField()
    at = models.DateTimeField()

    class Meta:
        ordering = ["id"]
        constraints = [
            models.UniqueConstraint(fields=["quote", "digest"], name="money_one_bundle_shown_once")
        ]


class Instalment(models.Model):
    """One part of the price, due at an event; the last takes the remainder."""

    quote = models.ForeignKey(Quote, on_delete=models.PROTECT, related_name="instalments")
    number = models.PositiveSmallIntegerField()
    event = models.CharField(max_length=20)
    words = models.CharField(max_length=80)
    minor = models.BigIntegerField()
    due_on = models.DateField(null=True, blank=True)
    requested_at = models.DateTimeField(null=True, blank=True)
    change_note = models.OneToOneField(
        "money.ChangeNote", on_delete=models.PROTECT, null=True, blank=True, related_name="instalment"
    )

    class Meta:
        ordering = ["number"]
        constraints = [models.UniqueConstraint(fields=["quote", "number"], name="money_one_number_a_plan")]
