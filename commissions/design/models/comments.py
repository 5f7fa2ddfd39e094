"""Comments pinned to a place on a drawing. Rows only grow: an answer, a closing and a reopening are rows too."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.utils.translation import gettext_lazy as _

from commissions.design.models.revisions import Revision
from studio.people.models import ClientAccess


class View(models.TextChoices):
    """The side from which a drawing is seen."""

    TOP = "top", _("From above")
    FRONT = "front", _("From the front")
    SIDE = "side", _("From the side")


class Comment(models.Model):
    """
    What the client says of one place of one revision; it belongs to that revision for good.

    The place is in 0.01 mm in the drawing's own coordinates, so that it holds at every size on a screen.
    ``place`` is the key of the named place nearest to it (design.places).
    """

    revision = models.ForeignKey(Revision, on_delete=models.PROTECT, related_name="comments")
    number = models.PositiveSmallIntegerField()
    view = models.CharField(max_length=6, choices=View.choices)
    x_hmm = models.IntegerField()
    y_hmm = models.IntegerField()
    place = models.CharField(max_length=24)
    words = models.TextField(max_length=2000)
    access = models.ForeignKey(
        ClientAccess, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    by_words = models.CharField(max_length=160)
    at = models.DateTimeField()

    class Meta:
        ordering = ["id"]
        constraints = [
            models.UniqueConstraint(fields=["revision", "number"], name="design_one_comment_per_number")
        ]

    def __str__(self):
        return f"{self.revision.letter}{self.number}"


class RemarkKind(models.TextChoices):
    """What became of a comment."""

    ANSWER = "answer", _("Answered")
    CLOSE = "close", _("Closed")
    REOPEN = "reopen", _("Opened again")


class Remark(models.Model):
    """One thing that was said or done about a comment after it was made."""

    comment = models.ForeignKey(Comment, on_delete=models.PROTECT, related_name="remarks")
    kind = models.CharField(max_length=8, choices=RemarkKind.choices)
    words = models.TextField(max_length=2000, blank=True)
    from_client = models.BooleanField()
    person = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    by_words = models.CharField(max_length=160)
    at = models.DateTimeField()

    class Meta:
        ordering = ["id"]
