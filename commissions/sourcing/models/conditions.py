"""The stone's condition, agreed before it is set; and whether it is the stone the client sent."""

from __future__ import annotations

from django.db import models

from commissions.sourcing.models.stones import Stone
from studio.people.models import ClientAccess


class Bearer(models.TextChoices):
    """Who bears the risk of setting, in plain words."""

    US = "us", "We bear the ordinary risk of setting"
    CLIENT = "client", "You accept the risk that is named here"
    NOBODY = "nobody", "We do not set this stone"


class Condition(models.Model):
    """
    The condition of one stone as it was put to the client; never edited, a new one replaces it.

    ``content`` is everything that was shown, and ``digest`` its SHA-256; ``basis`` is the digest of the
    stone's own facts (check-in and plot), so that a later measurement or mark is noticed.
    """

    stone = models.ForeignKey(Stone, on_delete=models.PROTECT, related_name="conditions")
    number = models.PositiveSmallIntegerField()
    bearer = models.CharField(max_length=8, choices=Bearer.choices)
    content = models.JSONField()
    digest = models.CharField(max_length=64)
    basis = models.CharField(max_length=64)
    by_words = models.CharField(max_length=160)
    sent_at = models.DateTimeField()

    class Meta:
        ordering = ["id"]
        constraints = [
            models.UniqueConstraint(fields=["stone", "number"], name="sourcing_one_condition_a_number")
        ]


class ConditionAnswer(models.Model):
    """What the client said to a condition; only ever added."""

    condition = models.ForeignKey(Condition, on_delete=models.PROTECT, related_name="answers")
    signed = models.BooleanField()
    words = models.TextField(max_length=5000, blank=True)
    digest = models.CharField(max_length=64)
    method = models.CharField(max_length=80)
    access = models.ForeignKey(
        ClientAccess, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    by_words = models.CharField(max_length=160)
    at = models.DateTimeField()

    class Meta:
        ordering = ["id"]
        constraints = [
            models.UniqueConstraint(
                fields=["condition"], condition=models.Q(signed=True), name="sourcing_condition_signed_once"
            )
        ]


class PaperKind(models.TextChoices):
    """Which paper of a condition: as it was put to the client, or with the signature under it."""

    SENT = "sent", "As sent"
    SIGNED = "signed", "As signed"


class ConditionPaper(models.Model):
    """
    The bytes of a condition on paper, as they were first made; only ever added.

    The row is written after the file: a file without a row is nobody's, a row without a file cannot be.
    """

    condition = models.ForeignKey(Condition, on_delete=models.PROTECT, related_name="papers")
    kind = models.CharField(max_length=8, choices=PaperKind.choices)
    file_name = models.CharField(max_length=80)
    sha256 = models.CharField(max_length=64)
    at = models.DateTimeField()

    class Meta:
        ordering = ["id"]
        constraints = [
            models.UniqueConstraint(fields=["condition", "kind"], name="sourcing_one_paper_a_condition")
        ]


class SameStone(models.Model):
    """The client's answer to *is this the stone you sent?*; only ever added, the newest counts."""

    stone = models.ForeignKey(Stone, on_delete=models.PROTECT, related_name="same_answers")
    same = models.BooleanField()
    words = models.TextField(max_length=5000, blank=True)
    access = models.ForeignKey(
        ClientAccess, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    by_words = models.CharField(max_length=160)
    at = models.DateTimeField()

    class Meta:
        ordering = ["id"]
