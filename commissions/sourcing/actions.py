"""Writes of the stones' room: candidates, the choice, the check-in."""

from __future__ import annotations

import datetime

from django.db import transaction
from django.db.models import Q

from commissions.design.queries import agreed
from commissions.record.actions import answer_question, open_question
from commissions.record.errors import Refused
from commissions.record.models import Commission
from commissions.record.route import Turn
from commissions.sourcing.models import CheckIn, Owner, Stone, StoneState
from gemcalc.stones import weight_from_measures
from studio import clock
from studio.people.models import Person
from studio.trail.actions import record as write_trail

SEAT_TOLERANCE_HMM = 5
"""A measured stone may differ from what the seat assumes by this much, 0.01 mm. Common practice, no source."""

WEIGHT_TOLERANCE_PCT = 3.0
"""Weight from dimensions against the scale. Our own planning figure."""


def _plain(text: str) -> str:
    return "".join(character for character in text.upper() if character.isalnum())


@transaction.atomic
def add_candidate(
    *,
    commission: Commission | None,
    name: str,
    outline: dict,
    length_hmm: int,
    width_hmm: int,
    depth_hmm: int,
    origin: str,
    person: Person,
    species: str = "diamond",
    weight_mct: int | None = None,
    report_number: str = "",
    supplier: str = "",
    price_minor: int | None = None,
    currency: str = "",
    owner: str = Owner.SUPPLIER,
    return_by: datetime.date | None = None,
    note: str = "",
) -> Stone:
    """
    Write a stone that could be the one.

    Effects, in order: the stone is written as a candidate, or as on approval where it has a return-by date;
    the trail says so.

    Raises:
        Refused: its report number belongs to a stone that is here already, or a measure is not possible.
    """
    if not 0 < depth_hmm < max(length_hmm, width_hmm):
        raise Refused("The depth is more than nought and less than the greatest diameter.")
    if (
        report_number
        and Stone.objects.filter(report_number=report_number)
        .exclude(state__in=(StoneState.RETURNED, StoneState.BROKEN, StoneState.LOST))
        .exists()
    ):
        raise Refused(f"A stone with report {report_number} is here already.")
    stone = Stone.objects.create(
        commission=commission,
        name=name,
        species=species,
        origin=origin,
        outline=outline,
        length_hmm=length_hmm,
        width_hmm=width_hmm,
        depth_hmm=depth_hmm,
        weight_mct=weight_mct,
        report_number=report_number,
        supplier=supplier,
        price_minor=price_minor,
        currency=currency,
        owner=owner,
        return_by=return_by,
        note=note,
        state=StoneState.ON_APPROVAL if return_by else StoneState.CANDIDATE,
        made_at=clock.now(),
    )
    if commission:
        write_trail(
            actor=person, verb="added a stone", subject=commission.reference, facts={"stone": stone.pk}
        )
    return stone


@transaction.atomic
def offer_stones(*, commission: Commission, person: Person) -> None:
    """
    Show the candidates to the client and ask for a choice.

    Effects, in order: our question is answered; the client's is opened, due at the earliest return-by date.

    Raises:
        Refused: there is no candidate.
    """
    stones = Stone.objects.filter(
        commission=commission, state__in=(StoneState.CANDIDATE, StoneState.ON_APPROVAL)
    )
    if not stones.exists():
        raise Refused("Add a stone first.")
    dates = [date for date in stones.values_list("return_by", flat=True) if date]
    open_question(
        commission=commission,
        key="stones.choose",
        addressee=Turn.CLIENT,
        words="Choose a stone" + (f"; go back by {min(dates):%d %b}" if dates else ""),
        client_words="Compare the stones and choose one",
        path=f"/studio/commissions/{commission.reference}/stones/",
        client_path=f"/yours/{commission.reference}/stones/",
        due_on=min(dates) if dates else clock.add_working_days(clock.today(), 5),
    )


@transaction.atomic
def choose_stone(*, stone: Stone, by_words: str) -> Stone:
    """
    Take one stone for the seat.

    Effects, in order: any other choice for the commission is taken back; this stone is marked chosen; the
    question is answered and the quotation becomes ours to send; the trail says so.

    Raises:
        Refused: the stone belongs to no commission, is in quarantine, or has gone.
    """
    commission = stone.commission
    if commission is None:
        raise Refused("This stone belongs to no commission.")
    gone = (StoneState.QUARANTINE, StoneState.RETURNED, StoneState.BROKEN, StoneState.LOST)
    Stone.objects.filter(commission=commission, chosen_at__isnull=False).exclude(pk=stone.pk).update(
        chosen_at=None, chosen_by=""
    )
    changed = Stone.objects.filter(~Q(state__in=gone), pk=stone.pk).update(
        chosen_at=clock.now(), chosen_by=by_words
    )
    if changed != 1:
        raise Refused("This stone cannot be chosen any more.")
    stone.refresh_from_db()
    answer_question(commission=commission, key="stones.choose", by_words=by_words)
    open_question(
        commission=commission,
        key="quote.send",
        addressee=Turn.US,
        words="Send the quotation",
        client_words="We are working out the price",
        path=f"/studio/commissions/{commission.reference}/money/",
        due_on=clock.add_working_days(clock.today(), 3),
    )
    write_trail(actor=by_words, verb="chose a stone", subject=commission.reference, facts={"stone": stone.pk})
    return stone


@transaction.atomic
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
) -> CheckIn:
    """
    Keep what we measured of a stone.

    Effects, in order: the inscription typed is compared with the report's number (a mismatch puts the
    stone into quarantine); the weight is compared with what the dimensions imply; the measures are
    compared with what the agreed design assumes; the check-in is written; the stone is checked in; the trail
    says so. What was offered stays on the stone, what was measured on the check-in: the bundle takes the
    measured figures only when they are out of tolerance, and then the fingerprint differs and the approval is void.
    """
    fits = _plain(inscription_typed) == _plain(stone.report_number) if stone.report_number else None
    measured = outline or _scaled(stone.outline, length_hmm=length_hmm, width_hmm=width_hmm)
    implied = implied_weight_mct(
        cut=stone.outline["cut"],
        species=stone.species,
        length_hmm=length_hmm,
        width_hmm=width_hmm,
        depth_hmm=depth_hmm,
    )
    off = abs(implied - weight_mct) / weight_mct * 100 if implied else 0.0
    weight_note = (
        ""
        if off <= WEIGHT_TOLERANCE_PCT
        else (
            f"The dimensions imply {implied / 1000:.3f} ct, {off:.1f} % from the scale: measure again before anything is cut."
        )
    )
    within, fit_note = _against_design(stone=stone, length_hmm=length_hmm, width_hmm=width_hmm)
    row = CheckIn.objects.create(
        stone=stone,
        weight_mct=weight_mct,
        length_hmm=length_hmm,
        width_hmm=width_hmm,
        depth_hmm=depth_hmm,
        outline=measured,
        inscription_typed=inscription_typed,
        inscription_fits=fits,
        weight_note=weight_note,
        fit_note=fit_note,
        within_tolerance=within,
        seal=seal,
        by_words=str(person),
        at=clock.now(),
    )
    Stone.objects.filter(pk=stone.pk).update(
        state=StoneState.QUARANTINE if fits is False else StoneState.CHECKED_IN
    )
    stone.refresh_from_db()
    if stone.commission:
        write_trail(
            actor=person,
            verb="checked a stone in",
            subject=stone.commission.reference,
            facts={"stone": stone.pk, "inscription fits": fits, "within tolerance": within},
        )
    return row


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


def _scaled(outline: dict, *, length_hmm: int, width_hmm: int) -> dict:
    """The outline with the measured size."""
    if outline["cut"] == "round":
        return {**outline, "diameter_mm": (length_hmm + width_hmm) / 200}
    return {**outline, "length_mm": length_hmm / 100, "width_mm": width_hmm / 100}


def _against_design(*, stone: Stone, length_hmm: int, width_hmm: int) -> tuple[bool, str]:
    revision = agreed(commission=stone.commission) if stone.commission else None
    if revision is None:
        return True, ""
    seat = revision.parameters["centre"]["outline"]
    if seat["cut"] == "round":
        assumed = (round(seat["diameter_mm"] * 100),) * 2
        measured = (round((length_hmm + width_hmm) / 2),) * 2
    else:
        assumed = (round(seat["length_mm"] * 100), round(seat["width_mm"] * 100))
        measured = (length_hmm, width_hmm)
    off = max(abs(a - b) for a, b in zip(assumed, measured, strict=True))
    if off <= SEAT_TOLERANCE_HMM:
        return True, f"Within tolerance: {off / 100:.2f} mm from what the seat assumes."
    return False, f"Revision needed, approval void: {off / 100:.2f} mm from what the seat assumes."
