"""Reads of the checks of a model against the stone."""

from __future__ import annotations

from django.db.models import OuterRef, Subquery

from commissions.design import modelcheck
from commissions.design.drawings import as_svg
from commissions.design.models import ModelCheck, Revision
from commissions.design.queries.revisions import agreed
from commissions.record.models import Commission
from gemcalc.marks import clock_from_angle


def checks_of(*, revision: Revision):
    """Every check of a revision, the newest first."""
    return ModelCheck.objects.filter(revision=revision).select_related("person").order_by("-id")


def newest_check(*, revision: Revision) -> ModelCheck | None:
    """The check that counts."""
    return checks_of(revision=revision).first()


def newest_checks(*, commission: Commission) -> dict[int, ModelCheck]:
    """The check that counts of every revision of a commission, by the revision's key."""
    newest = ModelCheck.objects.filter(revision=OuterRef("revision")).order_by("-id").values("pk")[:1]
    rows = ModelCheck.objects.filter(revision__commission=commission, pk=Subquery(newest))
    return {row.revision_id: row for row in rows.defer("girdle", "opening")}


def check_words(check: ModelCheck) -> str:
    """What came out of a check, as a sentence."""
    return modelcheck.words_of(
        verdict=check.verdict,
        figures=check.figures,
        least_um=check.least_um,
        greatest_um=check.greatest_um,
        low_um=check.low_um,
        high_um=check.high_um,
    )


def check_facts(check: ModelCheck) -> dict:
    """A check for a page: its words, and its gaps with the places on the clock."""
    figures = check.figures
    return {
        "check": check,
        "words": check_words(check),
        "rows": [
            ("Least gap", f"{check.least_um / 1000:.3f} mm at {_clock(figures['least_at_deg'])}"),
            ("Greatest gap", f"{check.greatest_um / 1000:.3f} mm at {_clock(figures['greatest_at_deg'])}"),
            ("Mean gap", f"{check.mean_um / 1000:.3f} mm"),
            ("Wanted", f"{check.low_um / 1000:g} to {check.high_um / 1000:g} mm"),
            ("Stone", check.girdle_words),
            ("Opening", check.opening_words),
        ],
    }


def check_drawing(check: ModelCheck) -> str:
    """The opening over the girdle as it was laid."""
    return as_svg(
        modelcheck.scene_of(
            girdle=check.girdle, opening=check.opening, low_um=check.low_um, high_um=check.high_um
        )
    )


def model_note(*, commission: Commission) -> str:
    """
    What to know before a model is cast, in words: no model was laid over the stone, or it did not go well.

    Advice, not a gate; empty where the newest check of the agreed revision went well.
    """
    revision = agreed(commission=commission)
    if revision is None:
        return ""
    check = newest_check(revision=revision)
    if check is None:
        return f"No model was laid over the stone for revision {revision.letter}."
    if check.verdict == "good":
        return ""
    return f"The model laid over the stone on {check.at:%d %B}: {check_words(check)}"


def _clock(angle: float) -> str:
    return clock_from_angle(angle_deg=angle)
