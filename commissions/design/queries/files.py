"""Reads of the files of a revision."""

from __future__ import annotations

from django.db.models import Count

from commissions.design.models import FileKind, Revision, RevisionFile, Status
from commissions.record.models import Commission

SLICED = ("stl", "obj", "3mf", "ply")
"""Formats of models that can be cut through; a STEP file is kept and handed on as it is."""


def files_of(*, revision: Revision):
    """The files of a revision with their pictures, oldest first."""
    return RevisionFile.objects.filter(revision=revision).select_related("picture", "added_by").order_by("id")


def file_of(*, revision: Revision, pk: int) -> RevisionFile | None:
    """One file of a revision."""
    return files_of(revision=revision).filter(pk=pk).first()


def file_counts(*, commission: Commission) -> dict[int, int]:
    """How many files each revision of a commission has, by its key."""
    rows = RevisionFile.objects.filter(revision__commission=commission).values_list("revision")
    return dict(rows.annotate(Count("id")).order_by("revision"))


def openings_of(*, revision: Revision) -> list[RevisionFile]:
    """The models of a revision that can be laid over a stone."""
    return [row for row in files_of(revision=revision).filter(kind=FileKind.MODEL) if row.form in SLICED]


def renders_of(*, revision: Revision):
    """The pictures that went out with a revision."""
    return files_of(revision=revision).filter(kind=FileKind.RENDER, sealed_at__isnull=False)


def render_of(*, commission: Commission, pk: int) -> RevisionFile | None:
    """A picture that the client may see: one of a revision that was sent."""
    return (
        RevisionFile.objects.filter(
            pk=pk, kind=FileKind.RENDER, revision__commission=commission, sealed_at__isnull=False
        )
        .exclude(revision__status=Status.DRAFT)
        .select_related("picture")
        .first()
    )
