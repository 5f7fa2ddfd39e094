"""A client's wish to be forgotten, and what became of it."""

from __future__ import annotations

from django.db import models

from studio.people.models import ClientAccess
from studio.sealing import SealedText


class Outcome(models.TextChoices):
    """What became of a wish."""

    ASKED = "asked", "Asked"
    DECLINED = "declined", "Not yet"
    ERASED = "erased", "Erased"


class Erasure(models.Model):
    """
    One wish to be forgotten; a client has one open wish at most.

    ``name_for_accounts`` is all that is left of a name, sealed, for as long as the accounts have to be kept
    (``accounts_until``); ``report`` says how much went and what stayed.
    """

    access = models.ForeignKey(ClientAccess, on_delete=models.PROTECT, related_name="erasures")
    asked_at = models.DateTimeField()
    asked_by = models.CharField(max_length=160)
    outcome = models.CharField(max_length=10, choices=Outcome.choices, default=Outcome.ASKED)
    decided_at = models.DateTimeField(null=True, blank=True)
    decided_by = models.CharField(max_length=160, blank=True)
    reason = models.CharField(max_length=400, blank=True, help_text="why not yet, as the client reads it")
    name_for_accounts = SealedText(blank=True)
    accounts_until = models.DateField(null=True, blank=True)
    report = models.JSONField(default=dict)

    class Meta:
        ordering = ["id"]
        constraints = [
            models.UniqueConstraint(
                fields=["access"], condition=models.Q(outcome="asked"), name="keeping_one_open_wish"
            )
        ]
