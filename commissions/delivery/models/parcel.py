"""The parcel: its address for as long as it is needed, what was checked, what it may be worth."""

from __future__ import annotations

from django.conf import settings
from django.db import models

from commissions.record.models import Commission
from studio.pictures.models import Picture
from studio.sealing import SealedText


class Address(models.Model):
    """
    Where one ring goes; in a table of its own, read only by handover people in the handover window.

    The words are sealed at rest: who has the database file alone does not have them.
    ``gone_at`` says when the words were removed: ninety days after the ring arrived.
    """

    commission = models.OneToOneField(Commission, on_delete=models.PROTECT, related_name="address")
    addressee = SealedText(max_length=120)
    lines = SealedText(max_length=500)
    country = models.CharField(max_length=2)
    confirmed_at = models.DateTimeField()
    gone_at = models.DateTimeField(null=True, blank=True)


class Confirmation(models.Model):
    """That the client confirmed the address: the time and by whom, never the words; only ever added."""

    commission = models.ForeignKey(Commission, on_delete=models.PROTECT, related_name="confirmations")
    by_words = models.CharField(max_length=160)
    at = models.DateTimeField()

    class Meta:
        ordering = ["id"]


class Shipment(models.Model):
    """One parcel: what was checked when it was packed, who carries it, when it arrived."""

    commission = models.ForeignKey(Commission, on_delete=models.PROTECT, related_name="shipments")
    answers = models.JSONField(default=dict)
    ring_mg = models.PositiveIntegerField(null=True, blank=True)
    seal = models.CharField(max_length=40, blank=True)
    insured_minor = models.BigIntegerField(null=True, blank=True)
    carrier = models.CharField(max_length=80, blank=True)
    service = models.CharField(max_length=80, blank=True)
    tracking = models.CharField(max_length=80, blank=True)
    expected_on = models.DateField(null=True, blank=True)
    packed_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    packed_at = models.DateTimeField(null=True, blank=True)
    dispatched_at = models.DateTimeField(null=True, blank=True)
    arrived_at = models.DateTimeField(null=True, blank=True)
    arrival_proof = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ["id"]


class Limit(models.Model):
    """
    What one parcel may be worth, in one currency, minor units; only ever added, the newest counts.

    ``carrier`` is empty for the policy of the studio's insurer, and else the carrier whose terms were read.
    """

    carrier = models.CharField(max_length=80, blank=True)
    currency = models.CharField(max_length=3)
    minor = models.PositiveBigIntegerField()
    source = models.CharField(max_length=160)
    as_of = models.DateField()
    kept_by = models.CharField(max_length=160)
    at = models.DateTimeField()

    class Meta:
        ordering = ["-id"]


class ParcelPhoto(models.Model):
    """A photograph of the parcel; the newest of a shot counts, and none is ever shown to anybody outside."""

    commission = models.ForeignKey(Commission, on_delete=models.PROTECT, related_name="parcel_photos")
    shot = models.CharField(max_length=10)
    picture = models.OneToOneField(Picture, on_delete=models.PROTECT, related_name="+")
    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        ordering = ["id"]


class CalendarKey(models.Model):
    """The key of the studio's calendar feed: only its digest is kept, and the newest alone is good."""

    digest = models.CharField(max_length=64, unique=True)
    made_by = models.CharField(max_length=160)
    made_at = models.DateTimeField()
    ended_at = models.DateTimeField(null=True, blank=True)
