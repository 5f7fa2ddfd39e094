"""Which letter belongs to which event: one draft for each event that a client may hear of, ever."""

from __future__ import annotations

from django.db import models

from commissions.bench.models import Photo
from commissions.record.models import Commission, Message, Question, StageMove
from commissions.record.route import Stage
from studio.outbox.models import Letter
from studio.people.models import ClientAccess


class Kind(models.TextChoices):
    """What kind of event a letter tells of; also the folder of its templates."""

    NEWS = "news", "A step forward"
    PHOTOS = "photos", "Photos"
    QUESTION = "your-turn", "The client's turn"
    DATE = "date-change", "A new date"
    MESSAGE = "message-waits", "A message waits"


class State(models.TextChoices):
    """What has become of a draft."""

    OPEN = "open", "To look at"
    SENT = "sent", "Sent"
    DECLINED = "declined", "Not sent, as decided"
    OVERTAKEN = "overtaken", "Overtaken"


class Draft(models.Model):
    """
    The one letter of one event.

    ``cause`` names the event (``move:17``); the column that points to the event's own row is unique too, so
    that no sweep, however often it runs, gives an event a second letter. A draft that nobody has to look
    at is born sent; an event that another letter already tells of is born overtaken.
    """

    commission = models.ForeignKey(Commission, on_delete=models.PROTECT, related_name="drafts")
    kind = models.CharField(max_length=16, choices=Kind.choices)
    cause = models.CharField(max_length=80, unique=True)
    move = models.OneToOneField(
        StageMove, on_delete=models.PROTECT, null=True, blank=True, related_name="draft"
    )
    question = models.OneToOneField(
        Question, on_delete=models.PROTECT, null=True, blank=True, related_name="draft"
    )
    message = models.OneToOneField(
        Message, on_delete=models.PROTECT, null=True, blank=True, related_name="draft"
    )
    state = models.CharField(max_length=10, choices=State.choices, default=State.OPEN)
    subject = models.CharField(max_length=120)
    words = models.TextField(max_length=4000, blank=True)
    chosen = models.JSONField(default=list, help_text="photos that go along, in order")
    happened_at = models.DateTimeField()
    created_at = models.DateTimeField()
    decided_at = models.DateTimeField(null=True, blank=True)
    decided_by = models.CharField(max_length=160, blank=True)
    reason = models.CharField(max_length=200, blank=True)
    letter = models.OneToOneField(
        Letter, on_delete=models.PROTECT, null=True, blank=True, related_name="draft"
    )

    class Meta:
        ordering = ["-id"]
        indexes = [models.Index(fields=["commission", "state"], name="letters_by_commission")]

    def __str__(self):
        return f"{self.get_kind_display()}: {self.cause}"

    @property
    def event(self) -> str:
        """What it tells of, as the studio calls it."""
        kind = self.get_kind_display()
        return f"{kind}: {Stage(self.move.to).label}" if self.move_id else kind

    @property
    def open(self) -> bool:
        return self.state == State.OPEN


class Told(models.Model):
    """A released photo and the one draft that tells of it."""

    draft = models.ForeignKey(Draft, on_delete=models.PROTECT, related_name="told")
    photo = models.OneToOneField(Photo, on_delete=models.PROTECT, related_name="told")

    def __str__(self):
        return f"photo {self.photo_id}"


class Wish(models.Model):
    """What a client wishes of our letters; without a row, they hear of every step and photos come along."""

    access = models.OneToOneField(ClientAccess, on_delete=models.PROTECT, related_name="letter_wish")
    photos = models.BooleanField("photos in letters", default=True)
    progress = models.BooleanField("letters about progress", default=True)

    class Meta:
        verbose_name_plural = "wishes"

    def __str__(self):
        return f"{self.access}: progress {self.progress}, photos {self.photos}"


class Failure(models.Model):
    """A letter that did not arrive, shown on its job until it has arrived or somebody has dealt with it."""

    letter = models.OneToOneField(Letter, on_delete=models.PROTECT, related_name="failure")
    commission = models.ForeignKey(Commission, on_delete=models.PROTECT, related_name="letter_failures")
    since = models.DateTimeField()
    settled_at = models.DateTimeField(null=True, blank=True)

    def __str__(self):
        return f"letter {self.letter_id}"
