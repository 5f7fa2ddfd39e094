"""What the client answered to a revision."""

from __future__ import annotations

from django.db import models

from commissions.design.models.revisions import Revision
from studio.people.models import ClientAccess


class AnswerKind(models.TextChoices):
    """What a client says of a revision."""

    AGREE = "agree", "Agreed"
    ASK = "ask", "Asked"
    NOT_YET = "not-yet", "Not yet"


class Answer(models.Model):
    """One answer of the client to one revision; kept for good."""

    revision = models.ForeignKey(Revision, on_delete=models.PROTECT, related_name="answers")
    kind = models.CharField(max_length=8, choices=AnswerKind.choices)
    words = models.TextField(max_length=5000, blank=True)
    access = models.ForeignKey(
        ClientAccess, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    by_words = models.CharField(max_length=160)
    at = models.DateTimeField()

    class Meta:
        ordering = ["id"]
