"""Files that belong to a revision: renders, CAD models, scans."""

from __future__ import annotations

from django.conf import settings
from django.db import models

from commissions.design.models.revisions import Revision
from studio.pictures.models import Picture


class FileKind(models.TextChoices):
    """What a file is."""

    RENDER = "render", "Picture"
    MODEL = "model", "CAD model"
    SCAN = "scan", "Scan of the stone"


class RevisionFile(models.Model):
    """
    One file of one revision: added and removed while the revision is a draft, kept for good once it is sent.

    A picture came through the house's own door and is shown; everything else lies in the private store
    under a random name and is only ever handed out as a download. ``facts`` holds what was read in it.
    """

    revision = models.ForeignKey(Revision, on_delete=models.PROTECT, related_name="attached")
    kind = models.CharField(max_length=8, choices=FileKind.choices)
    name = models.CharField(max_length=100, help_text="as it was called, made plain")
    form = models.CharField(max_length=5, help_text="its format, such as stl")
    words = models.CharField(max_length=300, blank=True)
    picture = models.OneToOneField(Picture, on_delete=models.PROTECT, null=True, blank=True, related_name="+")
    stored = models.CharField(max_length=100, blank=True)
    sha256 = models.CharField(max_length=64, help_text="of the file as it came")
    bytes = models.PositiveIntegerField()
    facts = models.JSONField(default=dict)
    added_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    added_at = models.DateTimeField()
    sealed_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["id"]
        constraints = [
            models.UniqueConstraint(fields=["revision", "sha256"], name="design_a_file_once_a_revision"),
            models.CheckConstraint(
                condition=models.Q(kind="render", picture__isnull=False, stored="")
                | (~models.Q(kind="render") & models.Q(picture__isnull=True) & ~models.Q(stored="")),
                name="design_a_file_lies_in_one_place",
            ),
        ]

    def __str__(self):
        return self.name

    @property
    def listed(self) -> dict:
        """The file as the listing of its revision names it."""
        return {
            "kind": self.kind,
            "name": self.name,
            "form": self.form,
            "words": self.words,
            "bytes": self.bytes,
            "sha256": self.sha256,
        }
