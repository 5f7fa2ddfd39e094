"""Kind words: asked once, shown only with consent."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

from commissions.bench.models import Photo
from commissions.record.models import Commission
from studio.people.models import ClientAccess


class NameForm(models.TextChoices):
    """How a client is named beside their words."""

    FULL = "full", _("Full name")
    FIRST = "first", _("First name")
    INITIALS = "initials", _("Initials")
    NONE = "none", _("No name")


class KindWords(models.Model):
    """What a client says about their ring, once; ``shown_name`` is what they chose to be called."""

    commission = models.OneToOneField(Commission, on_delete=models.PROTECT, related_name="kind_words")
    words = models.TextField(max_length=1500)
    name_form = models.CharField(max_length=8, choices=NameForm.choices)
    shown_name = models.CharField(max_length=120, blank=True)
    access = models.ForeignKey(ClientAccess, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        verbose_name_plural = "kind words"


class Consent(models.Model):
    """
    A client's word that something may be public from a day on, or no longer; only ever added.

    Of the words where *photo* is empty, and else of that photograph; the newest of each counts. ``text`` is
    the sentence that they agreed to.
    """

    kind_words = models.ForeignKey(KindWords, on_delete=models.PROTECT, related_name="consents")
    photo = models.ForeignKey(Photo, on_delete=models.PROTECT, null=True, blank=True, related_name="consents")
    given = models.BooleanField()
    not_before = models.DateField(null=True, blank=True)
    text = models.CharField(max_length=400)
    access = models.ForeignKey(ClientAccess, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        ordering = ["id"]


class Showing(models.Model):
    """That the studio puts kind words on its page, or takes them down; only ever added, the newest counts."""

    kind_words = models.ForeignKey(KindWords, on_delete=models.PROTECT, related_name="showings")
    shown = models.BooleanField()
    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField()

    class Meta:
        ordering = ["id"]
