"""An outgoing letter as a row: written in the transaction of its cause, sent by whoever claims it."""

from __future__ import annotations

from django.db import models


class State(models.TextChoices):
    """What has become of a letter."""

    WAITING = "waiting", "Waiting to be sent"
    LEASED = "leased", "Being sent"
    SENT = "sent", "Sent"
    HELD = "held", "Held back"
    REFUSED = "refused", "Refused"
    GIVEN_UP = "given-up", "Given up"
    RETURNED = "returned", "Came back"
    WITHDRAWN = "withdrawn", "Withdrawn"


UNSENT = [State.WAITING, State.HELD, State.REFUSED, State.GIVEN_UP]
"""States in which nobody has the letter and nobody is sending it."""

FAILED = [State.HELD, State.REFUSED, State.GIVEN_UP, State.RETURNED]
"""States that somebody of the studio has to look at."""


class Letter(models.Model):
    """
    One letter to one address.

    ``dedupe_key`` names the event that the letter announces: one letter per event, ever.
    ``message_id`` is fixed when the row is written, so that a repeat after a crash is the same message.
    ``next_at``, ``lease_until`` and ``give_up_at`` are the machine's time, since they measure waiting;
    every other instant is the house's clock.
    """

    kind = models.CharField(max_length=40)
    dedupe_key = models.CharField(max_length=120, unique=True)
    subject_ref = models.CharField("about", max_length=60, blank=True, db_index=True)
    language = models.CharField(max_length=12, blank=True)
    discreet = models.BooleanField(default=False)

    to = models.EmailField(max_length=254, db_index=True)
    sender_name = models.CharField(max_length=120)
    sender = models.CharField(max_length=254)
    reply_to = models.CharField(max_length=254, blank=True)
    subject = models.CharField(max_length=200)
    text = models.TextField()
    html = models.TextField(blank=True)
    pictures = models.JSONField(default=list, help_text="file, cid, alt, width, height of each")
    headers = models.JSONField(default=dict)
    words_version = models.CharField(max_length=12, blank=True, help_text="version of the templates")
    keep_words = models.BooleanField(default=True, help_text="no: the words are removed once they are sent")

    message_id = models.CharField(max_length=160, unique=True)
    thread_root = models.CharField(max_length=160, blank=True)

    state = models.CharField(max_length=10, choices=State.choices, default=State.WAITING)
    attempts = models.PositiveSmallIntegerField(default=0)
    crashes = models.PositiveSmallIntegerField(default=0, help_text="attempts of which nobody heard the end")
    next_at = models.DateTimeField()
    give_up_at = models.DateTimeField()
    lease_until = models.DateTimeField(null=True, blank=True)
    token = models.CharField(max_length=32, blank=True)
    error = models.CharField(max_length=400, blank=True)
    created_at = models.DateTimeField()
    sent_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["-id"]
        indexes = [
            models.Index(fields=["state", "next_at"], name="outbox_due"),
            models.Index(
                fields=["lease_until"],
                condition=models.Q(state="leased"),
                name="outbox_leases",
            ),
        ]

    def __str__(self):
        return f"{self.kind} to {self.to}"

    @property
    def failed(self) -> bool:
        return self.state in FAILED


class Unreachable(models.Model):
    """An address that a mail server has refused for good, until a letter to it arrives again."""

    email = models.EmailField(max_length=254, unique=True)
    since = models.DateTimeField()
    reason = models.CharField(max_length=400)

    class Meta:
        verbose_name_plural = "unreachable addresses"

    def __str__(self):
        return self.email
