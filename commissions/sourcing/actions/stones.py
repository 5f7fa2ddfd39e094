"""Candidates, the choice, and stones that go back."""

from __future__ import annotations

import datetime

from django.db import transaction
from django.db.models import Q

from commissions.record.actions import answer_question, open_question
from commissions.record.errors import Refused
from commissions.record.models import Commission
from commissions.record.route import Turn
from commissions.sourcing.models import ApprovalEvent, ApprovalKind, Custody, Owner, Stone, StoneState
from commissions.sourcing.queries.stones import seat_of
from studio import clock
from studio.people.models import Person
from studio.trail.actions import record as write_trail

GONE = (StoneState.RETURNED, StoneState.BROKEN, StoneState.LOST)


def plain(text: str) -> str:
    """A number as it is compared: letters and figures alone, in capitals."""
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
    slip: str = "",
    note: str = "",
    asked_minor: int | None = None,
    received_on: datetime.date | None = None,
    insurer: str = "",
) -> Stone:
    """
    Write a stone that could be the one.

    Effects, in order: the stone is written as a candidate, or as on approval where it has a return-by date,
    and then the first event of its approval; the trail says so.

    Raises:
        Refused: its report number belongs to a stone that is here already, or a measure is not possible.
    """
    if not 0 < depth_hmm < max(length_hmm, width_hmm):
        raise Refused("The depth is more than nought and less than the greatest diameter.")
    if return_by and received_on and return_by < received_on:
        raise Refused("A stone cannot have to go back before it came.")
    if report_number and Stone.objects.filter(report_number=report_number).exclude(state__in=GONE).exists():
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
        slip=slip,
        note=note,
        asked_minor=asked_minor,
        received_on=received_on,
        insurer=insurer,
        state=StoneState.ON_APPROVAL if return_by else StoneState.CANDIDATE,
        made_at=clock.now(),
    )
    if return_by:
        ApprovalEvent.objects.create(
            stone=stone,
            kind=ApprovalKind.TAKEN,
            until=return_by,
            words=f"slip {slip}" if slip else "",
            by_words=str(person),
            at=clock.now(),
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


def ask_for_revision(*, commission: Commission, words: str) -> None:
    """Make drawing the design anew round the stone ours to do."""
    open_question(
        commission=commission,
        key="stones.revision",
        addressee=Turn.US,
        words=f"{words}: draw a new revision, or find another stone",
        client_words="We are fitting the design to your stone",
        path=f"/studio/commissions/{commission.reference}/design/",
        due_on=clock.add_working_days(clock.today(), 2),
    )


@transaction.atomic
def choose_stone(*, stone: Stone, by_words: str) -> Stone:
    """
    Take one stone for the seat.

    Effects, in order: any other choice for the commission is taken back; this stone is marked chosen; the
    question is answered; where the agreed design is drawn to another size, drawing it round this stone
    becomes ours, and else the quotation does; the trail says so.

    Raises:
        Refused: the stone belongs to no commission, is in quarantine, or has gone.
    """
    commission = stone.commission
    if commission is None:
        raise Refused("This stone belongs to no commission.")
    gone = (StoneState.QUARANTINE, *GONE)
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
    seat = seat_of(commission=commission, stone=stone)
    if seat is not None and not seat.within:
        ask_for_revision(
            commission=commission, words="The chosen stone is not the size the design was drawn to"
        )
    else:
        answer_question(commission=commission, key="stones.revision", by_words=by_words)
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
def hand_over(*, stone: Stone, holder: str, person: Person, reason: str = "") -> Custody:
    """
    Write down who holds a stone from now on.

    Effects, in order: the handing over is written; the stone carries the name of who holds it.

    Raises:
        Refused: no name is given, or the stone is no longer here.
    """
    if not holder.strip():
        raise Refused("Say who takes the stone.")
    changed = Stone.objects.filter(pk=stone.pk).exclude(state__in=GONE).update(holder=holder.strip())
    if changed != 1:
        raise Refused("This stone is no longer here.")
    stone.refresh_from_db()
    return Custody.objects.create(
        stone=stone, holder=holder.strip(), reason=reason, by_words=str(person), at=clock.now()
    )
