"""A stone comes in: weighed, measured twice, its inscription read blind, the agreed halo fitted anew."""

from __future__ import annotations

from django.db import transaction

from commissions.design.queries import agreed
from commissions.record.actions import answer_question, open_question
from commissions.record.errors import Refused
from commissions.record.models import Question
from commissions.record.route import Turn
from commissions.sourcing.actions.stones import GONE, ask_for_revision, plain
from commissions.sourcing.models import (
    CheckIn,
    Custody,
    Owner,
    Risk,
    SameStone,
    Screening,
    Shot,
    Stone,
    StonePhoto,
    StoneState,
)
from commissions.sourcing.refit import against_seat, refit
from gemcalc.stones import weight_from_measures
from studio import clock
from studio.people.models import Person
from studio.pictures.actions import receive
from studio.trail.actions import record as write_trail

WEIGHT_TOLERANCE_PCT = 3.0
"""Weight from dimensions against the scale. Our own planning figure."""

SAFE = "The safe"


def check_in(
    *,
    stone: Stone,
    weight_mct: int,
    length_hmm: int,
    width_hmm: int,
    depth_hmm: int,
    inscription_typed: str,
    person: Person,
    outline: dict | None = None,
    seal: str = "",
    readings: dict | None = None,
    weight_reason: str = "",
    girdle_note: str = "",
    screening: str = Screening.NOT_DONE,
    screening_words: str = "",
    origin_statement: str = "",
    risk: str = Risk.NOT_SAID,
    value_minor: int | None = None,
    value_currency: str = "",
    value_basis: str = "",
) -> CheckIn:
    """
    Keep what we measured of a stone.

    Effects, in order: the agreed halo is fitted anew round the measured outline (outside the transaction,
    since it may take a moment); the inscription typed is compared with the report's number (a mismatch
    puts the stone into quarantine); the weight is compared with what the dimensions imply; the measures
    are compared with what the agreed design assumes; the check-in is written; the stone is checked in and
    lies in the safe; a chosen stone out of tolerance opens the question ``stones.revision`` to us, one
    within tolerance answers it; for a client's own stone that they have not recognised yet, showing them the
    photographs within one working day becomes ours; the trail says so.

    What was offered stays on the stone, what was measured on the check-in: the bundle takes the measured
    figures only when they are out of tolerance, and then the fingerprint differs and the approval is void.

    Raises:
        Refused: the stone has gone back, is broken or lost.
    """
    if stone.state in GONE:
        raise Refused("This stone is no longer here.")
    fits = plain(inscription_typed) == plain(stone.report_number) if stone.report_number else None
    measured = outline or scaled(stone.outline, length_hmm=length_hmm, width_hmm=width_hmm)
    revision = agreed(commission=stone.commission) if stone.commission else None
    within, fit_note, fitted = True, "", {}
    if revision is not None:
        within, fit_note = against_seat(
            revision=revision, length_hmm=length_hmm, width_hmm=width_hmm, depth_hmm=depth_hmm
        )
        fitted = refit(revision=revision, outline=measured)
    with transaction.atomic():
        row = CheckIn.objects.create(
            stone=stone,
            weight_mct=weight_mct,
            length_hmm=length_hmm,
            width_hmm=width_hmm,
            depth_hmm=depth_hmm,
            outline=measured,
            readings=readings or {},
            inscription_typed=inscription_typed,
            inscription_fits=fits,
            weight_note=weight_words(
                stone=stone,
                weight_mct=weight_mct,
                length_hmm=length_hmm,
                width_hmm=width_hmm,
                depth_hmm=depth_hmm,
            ),
            weight_reason=weight_reason,
            girdle_note=girdle_note,
            screening=screening,
            screening_words=screening_words,
            origin_statement=origin_statement,
            fit_note=fit_note,
            within_tolerance=within,
            refit=fitted,
            seal=seal,
            risk=risk,
            value_minor=value_minor,
            value_currency=value_currency if value_minor is not None else "",
            value_basis=value_basis,
            by_words=str(person),
            at=clock.now(),
        )
        # A stone that is being set stays where it is; measuring it again does not take it off the bench.
        Stone.objects.filter(pk=stone.pk).exclude(
            state__in=(*GONE, StoneState.SET, StoneState.ISSUED)
        ).update(state=StoneState.QUARANTINE if fits is False else StoneState.CHECKED_IN)
        if not stone.holder:
            Stone.objects.filter(pk=stone.pk).update(holder=SAFE)
            Custody.objects.create(
                stone=stone, holder=SAFE, reason="checked in", by_words=str(person), at=clock.now()
            )
        stone.refresh_from_db()
        if stone.commission:
            _ask_for_revision(stone=stone, row=row, person=person)
            _show_the_client(stone=stone)
            write_trail(
                actor=person,
                verb="checked a stone in",
                subject=stone.commission.reference,
                facts={"stone": stone.pk, "inscription fits": fits, "within tolerance": within},
            )
    return row


def _show_the_client(*, stone: Stone) -> None:
    if stone.owner != Owner.CLIENT or SameStone.objects.filter(stone=stone).exists():
        return
    asked = Question.objects.filter(
        commission=stone.commission, key=f"stones.same:{stone.pk}", answered_at__isnull=True
    )
    if asked.exists():
        return
    open_question(
        commission=stone.commission,
        key=f"stones.show:{stone.pk}",
        addressee=Turn.US,
        words="Photograph the client's stone and ask whether it is the one they sent; cut nothing before",
        client_words="Your stone is here. We are photographing it for you",
        path=f"/studio/stones/{stone.pk}/check-in/#photographs",
        due_on=clock.add_working_days(clock.today(), 1),
    )


def _ask_for_revision(*, stone: Stone, row: CheckIn, person: Person) -> None:
    if stone.chosen_at is None:
        return
    if row.within_tolerance:
        answer_question(commission=stone.commission, key="stones.revision", by_words=str(person))
        return
    ask_for_revision(commission=stone.commission, words="The stone measures other than the design assumes")


def weight_words(*, stone: Stone, weight_mct: int, length_hmm: int, width_hmm: int, depth_hmm: int) -> str:
    """What does not fit between the scale and the dimensions, in words; empty where they agree or no factor is known."""
    implied = implied_weight_mct(
        cut=stone.outline["cut"],
        species=stone.species,
        length_hmm=length_hmm,
        width_hmm=width_hmm,
        depth_hmm=depth_hmm,
    )
    off = abs(implied - weight_mct) / weight_mct * 100 if implied else 0.0
    if off <= WEIGHT_TOLERANCE_PCT:
        return ""
    return (
        f"The dimensions imply {implied / 1000:.3f} ct, {off:.1f} % from the scale: "
        "measure again before anything is cut."
    )


def implied_weight_mct(
    *, cut: str, species: str, length_hmm: int, width_hmm: int, depth_hmm: int
) -> int | None:
    """Weight that the dimensions imply, 0.001 ct, or None for a cut without a factor."""
    try:
        estimate = weight_from_measures(
            cut=cut,
            length_mm=length_hmm / 100,
            width_mm=width_hmm / 100,
            depth_mm=depth_hmm / 100,
            species=species,
        )
    except ValueError:
        return None
    return round(estimate.weight_ct * 1000)


def scaled(outline: dict, *, length_hmm: int, width_hmm: int) -> dict:
    """The outline with the measured size; the points of a scan are stretched to it."""
    if outline["cut"] == "round":
        return {**outline, "diameter_mm": (length_hmm + width_hmm) / 200}
    if "points_mm" in outline:
        xs, ys = zip(*outline["points_mm"], strict=True)
        across, along = width_hmm / 100 / (max(xs) - min(xs)), length_hmm / 100 / (max(ys) - min(ys))
        return {**outline, "points_mm": [[x * across, y * along] for x, y in outline["points_mm"]]}
    return {**outline, "length_mm": length_hmm / 100, "width_mm": width_hmm / 100}


def add_photo(*, stone: Stone, upload, shot: str, caption: str, person: Person) -> StonePhoto:
    """
    Keep one photograph of a stone; the client does not see it yet.

    Effects, in order: the picture is checked, stored and handed to the worker; its row is written.

    Raises:
        PictureRefused: the file is no picture we can use, with words for the sender.
    """
    picture = receive(upload=upload, kind="stone", person_words=str(person))
    return StonePhoto.objects.create(
        stone=stone,
        picture=picture,
        shot=Shot(shot),
        caption=caption,
        by_words=str(person),
        at=clock.now(),
    )
