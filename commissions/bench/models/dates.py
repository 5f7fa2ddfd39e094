"""Date-change notices: a new date that was put to the client, and what the client said to it."""

from __future__ import annotations

from django.conf import settings
from django.db import models

from commissions.record.models import Commission
from studio.people.models import ClientAccess


class DateNotice(models.Model):
    """
    One proposal of a new date with its reason; only ever added.

    The promised date stays what it was until the client has accepted. ``ready_on`` is what the bench
    reckoned with on that day, so that the proposal can be read against it later.
    """

    commission = models.ForeignKey(Commission, on_delete=models.PROTECT, related_name="date_notices")
    number = models.PositiveSmallIntegerField()
    before = models.DateField(null=True, blank=True)
    after = models.DateField()
    reason = models.CharField(max_length=300)
    ready_on = models.DateField(null=True, blank=True)
    answer_by = models.DateField()
    person = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    sent_at = models.DateTimeField()

    class Meta:
        ordering = ["number"]
        constraints = [
            models.UniqueConstraint(fields=["commission", "number"], name="bench_one_date_notice_a_number")
        ]

    def __str__(self):
        return f"Date-change notice {self.number}"


class DateReply(models.TextChoices):
    """What became of a notice."""

    ACCEPTED = "accepted", "Accepted"
    CANCEL = "cancel", "The client wishes to cancel"
    TAKEN_BACK = "taken-back", "Taken back by us"


class DateAnswer(models.Model):
    """
    What was said to a notice; only ever added, the newest counts.

    A client who wished to cancel may still accept; nothing follows an acceptance.
    """

    notice = models.ForeignKey(DateNotice, on_delete=models.PROTECT, related_name="answers")
    kind = models.CharField(max_length=10, choices=DateReply.choices)
    words = models.TextField(max_length=2000, blank=True)
    consent = models.CharField(
        max_length=300, blank=True, help_text="the words on the button that was pressed"
    )
    method = models.CharField(max_length=80, blank=True)
    access = models.ForeignKey(
        ClientAccess, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    by_words = models.CharField(max_length=160)
    at = models.DateTimeField()

    class Meta:
        ordering = ["id"]
        constraints = [
            models.UniqueConstraint(fields=["notice", "kind"], name="bench_one_date_answer_of_a_kind")
        ]
