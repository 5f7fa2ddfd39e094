"""A commission's life: where it stands, every move it made, and every question that is open."""

from __future__ import annotations

import datetime

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

from commissions.intake.models import Client
from commissions.record.route import ROUTE, SMALL_ROUTE, Stage, State, Turn
from studio.people.models import ClientAccess

NO_DATE = datetime.date(9999, 12, 31)
"""Sorts a commission that nobody needs by a date after every one that has one."""


class Commission(models.Model):
    """
    One ring that is to be made.

    ``turn``, ``next_act``, ``next_due`` are kept beside the questions they are computed from, so that a
    list of ten thousand sorts by them; ``record.actions`` is their only writer.
    """

    reference = models.CharField(max_length=8, unique=True)
    client = models.ForeignKey(Client, on_delete=models.PROTECT, related_name="commissions")
    title = models.CharField(max_length=120)
    stage = models.CharField(max_length=12, choices=Stage.choices)
    state = models.CharField(max_length=12, choices=State.choices, default=State.OPEN)
    currency = models.CharField(max_length=3)
    discreet = models.BooleanField("surprise", default=False)
    ring = models.ForeignKey(
        "self",
        on_delete=models.PROTECT,
        null=True,
        blank=True,
        related_name="jobs",
        help_text="the commission that made the ring, where this is a small job on it",
    )
    needed_by = models.DateField(null=True, blank=True)
    needed_sort = models.DateField(default=NO_DATE)
    promised_on = models.DateField(null=True, blank=True)
    opened_at = models.DateTimeField()
    closed_at = models.DateTimeField(null=True, blank=True)

    turn = models.CharField(max_length=10, choices=Turn.choices, default=Turn.US)
    turn_rank = models.PositiveSmallIntegerField(default=0)
    next_act = models.CharField(max_length=200, blank=True)
    next_due = models.DateField(null=True, blank=True)
    next_path = models.CharField(max_length=200, blank=True)
    waiting_since = models.DateTimeField(null=True, blank=True)

    class Meta:
        indexes = [
            models.Index(fields=["state", "needed_sort", "turn_rank", "id"], name="record_by_need"),
            models.Index(fields=["state", "turn", "next_due"], name="record_by_turn"),
        ]

    def __str__(self):
        return f"{self.reference} {self.title}"

    @property
    def route(self) -> list[str]:
        """The stages of this commission in their order."""
        return SMALL_ROUTE if self.ring_id else ROUTE


class Work(models.TextChoices):
    """What is done to a ring that was made before."""

    RESIZE = "resize", _("Resize")
    REPAIR = "repair", _("Repair")
    RESET = "reset", _("Replace or tighten a stone")
    FINISH = "finish", _("Polish or plate anew")


class SmallJob(models.Model):
    """
    What a small job is about; its life is a commission's like any other, along the shorter route.

    Never edited: it is part of what the client agrees to.
    """

    commission = models.OneToOneField(Commission, on_delete=models.PROTECT, related_name="small_job")
    work = models.CharField(max_length=8, choices=Work.choices)
    words = models.TextField(max_length=2000)
    size_hmm = models.PositiveIntegerField("inner circumference afterwards, 0.01 mm", null=True, blank=True)
    opened_by = models.CharField(max_length=160)
    at = models.DateTimeField()


class StageMove(models.Model):
    """One move along the route; only ever added."""

    commission = models.ForeignKey(Commission, on_delete=models.PROTECT, related_name="moves")
    frm = models.CharField(max_length=12, blank=True)
    to = models.CharField(max_length=12, choices=Stage.choices)
    door = models.CharField(max_length=40)
    person = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    by_words = models.CharField(max_length=120)
    at = models.DateTimeField()
    evidence = models.JSONField(default=dict)

    class Meta:
        ordering = ["id"]


class Question(models.Model):
    """
    Something that somebody has to do or answer before the commission can go on.

    ``key`` names the matter (``design.answer:12``): a matter has one open question at most.
    """

    commission = models.ForeignKey(Commission, on_delete=models.PROTECT, related_name="questions")
    key = models.CharField(max_length=80)
    addressee = models.CharField(max_length=10, choices=[c for c in Turn.choices if c[0] != Turn.HOLD])
    words = models.CharField(max_length=200, help_text="what is to be done, as the studio reads it")
    client_words = models.CharField(max_length=200, blank=True, help_text="the same, as the client reads it")
    path = models.CharField(max_length=200, blank=True, help_text="where the studio does it")
    client_path = models.CharField(max_length=200, blank=True, help_text="where the client does it")
    due_on = models.DateField(null=True, blank=True)
    blocking = models.BooleanField(default=True)
    opened_at = models.DateTimeField()
    answered_at = models.DateTimeField(null=True, blank=True)
    answered_by = models.CharField(max_length=160, blank=True)

    class Meta:
        ordering = ["id"]
        constraints = [
            models.UniqueConstraint(
                fields=["commission", "key"],
                condition=models.Q(answered_at__isnull=True),
                name="record_one_open_question_per_matter",
            )
        ]
        indexes = [models.Index(fields=["answered_at", "addressee", "due_on"], name="record_open_questions")]


class Hold(models.Model):
    """A pause with its reason; lifted, never removed."""

    commission = models.ForeignKey(Commission, on_delete=models.PROTECT, related_name="holds")
    reason = models.CharField(max_length=200)
    client_reason = models.CharField(max_length=200, blank=True)
    since = models.DateTimeField()
    placed_by = models.CharField(max_length=160)
    lifted_at = models.DateTimeField(null=True, blank=True)
    lifted_by = models.CharField(max_length=160, blank=True)


class Message(models.Model):
    """One message between the client and the studio."""

    commission = models.ForeignKey(Commission, on_delete=models.PROTECT, related_name="messages")
    from_client = models.BooleanField()
    person = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    body = models.TextField(max_length=5000)
    at = models.DateTimeField()
    seen_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["id"]


class PromiseChange(models.Model):
    """A new promised date with its reason; the first promise has no date before it."""

    commission = models.ForeignKey(Commission, on_delete=models.PROTECT, related_name="promise_changes")
    before = models.DateField(null=True, blank=True)
    after = models.DateField()
    reason = models.CharField(max_length=200)
    by_words = models.CharField(max_length=160)
    at = models.DateTimeField()


class HoldPoint(models.TextChoices):
    """Where a client may choose that the work waits for their word, each after one stage."""

    MODEL = "model", _("Model")
    CASTING = "casting", _("Casting")
    STONES_SET = "stones-set", _("Stones set")


class HoldPointChoice(models.Model):
    """A hold point chosen, or given up again; the newest row about a point counts."""

    commission = models.ForeignKey(Commission, on_delete=models.PROTECT, related_name="hold_point_choices")
    point = models.CharField(max_length=12, choices=HoldPoint.choices)
    wanted = models.BooleanField()
    access = models.ForeignKey(
        ClientAccess, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    person = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    by_words = models.CharField(max_length=160)
    at = models.DateTimeField()

    class Meta:
        ordering = ["id"]


class ClientWord(models.Model):
    """
    What a client said at a point where the work waits: on their own page, or to a person who wrote it down.

    ``key`` is the matter it answers (see record.approving); ``way`` and ``said_on`` say how and when it was given.
    """

    class Way(models.TextChoices):
        """How a word came."""

        PAGE = "page", _("on the client's page")
        TELEPHONE = "telephone", _("by telephone")
        IN_PERSON = "in-person", _("in person")
        WRITTEN = "written", _("by letter or message")

    commission = models.ForeignKey(Commission, on_delete=models.PROTECT, related_name="client_words")
    key = models.CharField(max_length=80)
    answer = models.CharField(max_length=8)
    words = models.TextField(max_length=3000, blank=True)
    way = models.CharField(max_length=10, choices=Way.choices)
    said_on = models.DateField()
    access = models.ForeignKey(
        ClientAccess, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    person = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    by_words = models.CharField(max_length=160)
    at = models.DateTimeField()

    class Meta:
        ordering = ["id"]
        indexes = [models.Index(fields=["commission", "key", "id"], name="record_newest_word")]
