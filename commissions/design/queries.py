"""Reads of the design room."""

from __future__ import annotations

from commissions.design import computing
from commissions.design.models import Revision, Status
from commissions.record.models import Commission


def revisions(*, commission: Commission):
    """Every revision, oldest first, with the client's answers."""
    return Revision.objects.filter(commission=commission).prefetch_related("answers").order_by("id")


def newest(*, commission: Commission) -> Revision | None:
    """The newest revision that is no draft."""
    return Revision.objects.filter(commission=commission).exclude(status=Status.DRAFT).order_by("-id").first()


def draft(*, commission: Commission) -> Revision | None:
    """The draft that stands, if any."""
    return Revision.objects.filter(commission=commission, status=Status.DRAFT).first()


def agreed(*, commission: Commission) -> Revision | None:
    """The revision whose direction the client has agreed to."""
    return Revision.objects.filter(commission=commission, status=Status.AGREED).order_by("-id").first()


def bundle_part(*, commission: Commission) -> dict | None:
    """The design's part of what is agreed: letter, parameters, and the digest of what was computed from them."""
    revision = agreed(commission=commission)
    if revision is None:
        return None
    return {
        "revision": revision.letter,
        "parameters": revision.parameters,
        "outputs": computing.digest(revision.outputs),
        "engine": revision.engine,
    }
