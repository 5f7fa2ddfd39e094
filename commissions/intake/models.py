"""The client and their brief."""

from __future__ import annotations

from django.db import models
from django.urls import reverse

from commissions.intake.places import country_name
from studio.people.models import ClientAccess
from studio.pictures.models import Picture


class Client(models.Model):
    """A person who wishes for a ring."""

    access = models.OneToOneField(ClientAccess, on_delete=models.PROTECT, related_name="client")
    full_name = models.CharField(max_length=120)
    country = models.CharField(max_length=2, help_text="ISO 3166 code of the country they live in")
    phone = models.CharField(max_length=24, blank=True)
    created_at = models.DateTimeField()

    class Meta:
        ordering = ["full_name"]

    def __str__(self):
        return self.full_name


class State(models.TextChoices):
    """What has become of a brief."""

    DRAFT = "draft", "Being written"
    SENT = "sent", "Sent"
    ANSWERED = "answered", "Answered"
    DECLINED = "declined", "Declined"


class Brief(models.Model):
    """
    What a client wishes for, in their own answers.

    ``answers`` holds one entry per question, as given; ``answered_at`` when each was given. Once sent they
    are never changed: every write to them asks for the state *draft* in its condition, and ``digest`` shows
    that they stand as they were sent.
    """

    reference = models.CharField(max_length=8, unique=True)
    token_hash = models.CharField(
        max_length=64, unique=True, help_text="of the key a browser resumes it with"
    )
    state = models.CharField(max_length=10, choices=State.choices, default=State.DRAFT)
    schema = models.PositiveSmallIntegerField(help_text="which version of the questions was answered")
    answers = models.JSONField(default=dict)
    answered_at = models.JSONField(default=dict)
    email = models.EmailField(max_length=254, blank=True, db_index=True)
    email_proven_at = models.DateTimeField(null=True, blank=True)
    language = models.CharField(max_length=12)
    zone = models.CharField(max_length=48, blank=True)
    began_at = models.DateTimeField()
    touched_at = models.DateTimeField()
    expires_at = models.DateTimeField(null=True, blank=True)

    sent_at = models.DateTimeField(null=True, blank=True)
    digest = models.CharField(
        max_length=64, blank=True, help_text="SHA-256 of the answers and pictures as sent"
    )
    reply_due_on = models.DateField(null=True, blank=True)
    closed_at = models.DateTimeField(null=True, blank=True)
    closed_by = models.CharField(max_length=160, blank=True)
    reply = models.TextField(blank=True, help_text="our words, where the answer was no")

    class Meta:
        indexes = [models.Index(fields=["state", "reply_due_on", "id"], name="intake_briefs_by_reply")]

    def __str__(self):
        return self.reference

    def get_absolute_url(self) -> str:
        """Where the studio reads it."""
        return reverse("intake:studio-brief", args=[self.reference])

    def answer(self, slug: str) -> dict:
        """What was answered to one question; empty where it was not reached."""
        return self.answers.get(slug, {})

    @property
    def discreet(self) -> bool:
        """Whether the wearer must not learn of it."""
        return self.answer("surprise").get("surprise") == "yes"

    @property
    def full_name(self) -> str:
        """The name they gave."""
        return self.answer("name").get("full_name", "")

    @property
    def heading(self) -> str:
        """How a list of the studio names it."""
        return f"Brief from {self.full_name}"

    @property
    def subheading(self) -> str:
        """What a list of the studio says below its name."""
        return ", ".join(
            part for part in (self.reference, country_name(self.answer("name").get("country", ""))) if part
        )


class BriefPicture(models.Model):
    """A picture that came with a brief, with the client's own words about it."""

    brief = models.ForeignKey(Brief, on_delete=models.CASCADE, related_name="pictures")
    picture = models.OneToOneField(Picture, on_delete=models.PROTECT, related_name="+")
    liked = models.CharField(max_length=500, blank=True)
    not_this = models.CharField(max_length=500, blank=True)
    added_at = models.DateTimeField()

    class Meta:
        ordering = ["id"]
