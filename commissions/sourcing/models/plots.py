"""What is seen in and on a stone: marks on its plot, photographs, and how it is turned under its claws."""

from __future__ import annotations

from django.db import models

from commissions.design.models import Revision
from commissions.sourcing.models.stones import Stone
from gemcalc.marks import MARK_KINDS
from studio.pictures.models import Picture


class Look(models.IntegerChoices):
    """How much a mark strikes the eye, face up, without a loupe."""

    FAINT = 1, "Faint: a loupe is needed"
    PLAIN = 2, "Plain: seen when looked for"
    STRIKING = 3, "Striking: seen at once"


class PlotMark(models.Model):
    """
    One mark on the plot of a stone, face up.

    Direction in 0.01° anticlockwise from three o'clock; distance from the centre in thousandths of the
    way to the girdle; size in 0.01 mm. A mark that was wrong is struck, not removed.
    """

    stone = models.ForeignKey(Stone, on_delete=models.PROTECT, related_name="marks")
    kind = models.CharField(max_length=16, choices=[(key, kind.words) for key, kind in MARK_KINDS.items()])
    angle_cdeg = models.PositiveIntegerField("direction, 0.01°")
    out_permille = models.PositiveIntegerField("distance from the centre, thousandths")
    size_hmm = models.PositiveIntegerField("size, 0.01 mm")
    look = models.PositiveSmallIntegerField(choices=Look.choices, default=Look.PLAIN)
    surface = models.BooleanField(default=False)
    note = models.CharField(max_length=200, blank=True)
    by_words = models.CharField(max_length=160)
    at = models.DateTimeField()
    struck_at = models.DateTimeField(null=True, blank=True)
    struck_by = models.CharField(max_length=160, blank=True)

    class Meta:
        ordering = ["id"]
        constraints = [
            models.CheckConstraint(
                condition=models.Q(angle_cdeg__lt=36000) & models.Q(out_permille__lte=1000),
                name="sourcing_mark_on_the_stone",
            )
        ]


class Turning(models.Model):
    """One choice of how a stone lies under its claws; only ever added, the newest counts."""

    stone = models.ForeignKey(Stone, on_delete=models.PROTECT, related_name="turnings")
    revision = models.ForeignKey(Revision, on_delete=models.PROTECT, related_name="+")
    step_deg = models.PositiveSmallIntegerField(null=True, blank=True)
    reach_hmm = models.PositiveIntegerField("reach of a claw over the girdle, 0.01 mm")
    rotation_cdeg = models.PositiveIntegerField("turn anticlockwise, 0.01°")
    hidden_before_permille = models.PositiveIntegerField()
    hidden_after_permille = models.PositiveIntegerField()
    basis = models.CharField(max_length=64, help_text="digest of the marks and claws it was worked out from")
    by_words = models.CharField(max_length=160)
    at = models.DateTimeField()

    class Meta:
        ordering = ["id"]


class Shot(models.TextChoices):
    """What a photograph of a stone shows."""

    PACKET = "packet", "Packet, seal and contents"
    FACE = "face", "Face up"
    SIDE = "side", "From the side"
    INSCRIPTION = "inscription", "Inscription on the girdle"
    MARK = "mark", "The mark one would know it by"


class StonePhoto(models.Model):
    """One photograph of a stone; the client sees it once it is asked whether this is the stone they sent."""

    stone = models.ForeignKey(Stone, on_delete=models.PROTECT, related_name="photos")
    picture = models.OneToOneField(Picture, on_delete=models.PROTECT, related_name="+")
    shot = models.CharField(max_length=12, choices=Shot.choices)
    caption = models.CharField(max_length=200, blank=True)
    shown_at = models.DateTimeField(null=True, blank=True)
    by_words = models.CharField(max_length=160)
    at = models.DateTimeField()

    class Meta:
        ordering = ["id"]
