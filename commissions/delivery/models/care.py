"""The years after: dates of care, what was found, what worries a client, and what we say to it."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

from commissions.record.models import Commission
from studio.people.models import ClientAccess
from studio.pictures.models import Picture


class How(models.TextChoices):
    """How a ring was looked at."""

    WEARER = "wearer", _("By the wearer")
    PHOTOS = "photos", _("By photographs")
    HAND = "hand", _("In our hands")


class CareDate(models.Model):
    """One date of care after the ring has arrived: due, done, and what was found."""

    commission = models.ForeignKey(Commission, on_delete=models.PROTECT, related_name="care_dates")
    due_on = models.DateField()
    words = models.CharField(max_length=120)
    client_words = models.CharField(max_length=120)
    done_at = models.DateTimeField(null=True, blank=True)
    findings = models.TextField(max_length=2000, blank=True)
    how = models.CharField(max_length=8, choices=How.choices, blank=True)
    done_by = models.CharField(max_length=160, blank=True)

    class Meta:
        ordering = ["due_on", "id"]
        constraints = [
            models.UniqueConstraint(fields=["commission", "due_on"], name="delivery_one_care_a_day")
        ]


class Sign(models.TextChoices):
    """What a wearer sees, in plain words; the most urgent first."""

    MISSING = "missing", _("A stone is missing")
    LOOSE = "loose", _("A stone moves or clicks")
    CLAW = "claw", _("A claw is bent, lifted or worn")
    SNAG = "snag", _("It catches on cloth or hair")
    BENT = "bent", _("The ring is bent or cracked")
    SIZE = "size", _("It is too tight or too loose")
    SKIN = "skin", _("My skin is red or itches under it")
    OTHER = "other", _("Something else")


class Worry(models.Model):
    """What worries a client about the ring they wear; only ever added."""

    commission = models.ForeignKey(Commission, on_delete=models.PROTECT, related_name="worries")
    sign = models.CharField(max_length=8, choices=Sign.choices)
    words = models.TextField(max_length=2000, blank=True)
    access = models.ForeignKey(ClientAccess, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        ordering = ["id"]
        verbose_name_plural = "worries"


class Choice(models.TextChoices):
    """What we advise; one of three, so that nobody has to guess what a paragraph means."""

    WEAR = "wear", _("Wear on")
    SEND = "send", _("Stop wearing it and send it to us")
    NEARBY = "nearby", _("Stop wearing it and see a jeweller near you")


class Advice(models.Model):
    """What we said to a worry; only ever added, the newest counts."""

    worry = models.ForeignKey(Worry, on_delete=models.PROTECT, related_name="advice")
    choice = models.CharField(max_length=8, choices=Choice.choices)
    words = models.TextField(max_length=2000)
    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        ordering = ["id"]
        verbose_name_plural = "advice"


class CarePhoto(models.Model):
    """A photograph of a worn ring: of a date of care, or of a worry; seen by its client and by us alone."""

    commission = models.ForeignKey(Commission, on_delete=models.PROTECT, related_name="care_photos")
    care = models.ForeignKey(CareDate, on_delete=models.PROTECT, null=True, blank=True, related_name="photos")
    worry = models.ForeignKey(Worry, on_delete=models.PROTECT, null=True, blank=True, related_name="photos")
    picture = models.OneToOneField(Picture, on_delete=models.PROTECT, related_name="+")
    by_words = models.CharField(max_length=160)
    at = models.DateTimeField()

    class Meta:
        ordering = ["id"]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(care__isnull=True, worry__isnull=False)
                | models.Q(care__isnull=False, worry__isnull=True),
                name="delivery_photo_of_one_thing",
            )
        ]


class TakenIn(models.Model):
    """A ring that came back for a small job, as it was found before anything was done to it; only ever added."""

    commission = models.ForeignKey(Commission, on_delete=models.PROTECT, related_name="taken_in")
    ring_mg = models.PositiveIntegerField()
    condition = models.TextField(max_length=2000)
    seal = models.CharField(max_length=40, blank=True)
    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        ordering = ["id"]
        verbose_name_plural = "taken in"
