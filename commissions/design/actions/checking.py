"""Laying a model over the stone, kept as a fact."""

from __future__ import annotations

import hashlib

from django.db import transaction

from commissions.design import modelcheck
from commissions.design.models import ModelCheck, Revision
from studio import clock
from studio.people.models import Person
from studio.trail.actions import record as write_trail


def check_model(
    *,
    revision: Revision,
    content: bytes,
    name: str,
    girdle: dict,
    girdle_words: str,
    person: Person,
    low_um: int = modelcheck.LOW_UM,
    high_um: int = modelcheck.HIGH_UM,
    align: bool = True,
    unit: str | None = None,
    axis: str | None = None,
    level_mm: float | None = None,
    note: str = "",
) -> ModelCheck:
    """
    Lay the opening of a model over the stone and keep what came out.

    Effects, in order: the opening is taken from the file and the gap measured all round (outside the
    transaction, since it may take a moment); the check is written with both outlines, who and when; the
    trail says so.

    Raises:
        BadInput: the file cannot be read, or nothing of the stone's size is open in it.
    """
    cut = modelcheck.opening_in(
        content=content,
        name=name,
        girdle=girdle,
        wanted_mm=low_um / 1000,
        unit=unit,
        axis=axis,
        level_mm=level_mm,
    )
    laid = modelcheck.lay_over(
        girdle=girdle, opening_mm=cut.points_mm, low_um=low_um, high_um=high_um, align=align
    )
    with transaction.atomic():
        check = ModelCheck.objects.create(
            revision=revision,
            girdle_words=girdle_words,
            girdle=laid.girdle,
            girdle_digest=modelcheck.digest_of(girdle),
            opening_words=cut.words[:300],
            opening_sha256=hashlib.sha256(content).hexdigest(),
            opening=laid.opening,
            low_um=low_um,
            high_um=high_um,
            least_um=laid.least_um,
            greatest_um=laid.greatest_um,
            mean_um=laid.mean_um,
            figures=laid.figures,
            verdict=laid.verdict,
            note=note,
            person=person,
            at=clock.now(),
        )
        write_trail(
            actor=person,
            verb="laid a model over the stone",
            subject=revision.commission.reference,
            facts={
                "letter": revision.letter,
                "verdict": laid.verdict,
                "least um": laid.least_um,
                "greatest um": laid.greatest_um,
                "file": check.opening_sha256,
            },
        )
    return check
