"""Candidates, the choice, and stones that go back."""

from __future__ import annotations

import datetime

from django.db import transaction
from django.db.models import Q

from commissions.record.actions import answer_question, open_question
from commissions.record.errors import Refused
from commissions.record.models import Commission
from commissions.record.route import Turn
from commissions.sourcing.models import Custody, Owner, Stone, StoneState
from studio import clock
from studio.people.models import Person
from studio.trail.actions import record as write_trail

GONE = (StoneState.RETURNED, StoneState.BROKEN, StoneState.LOST)

RETURN_TOLERANCE_MCT = 3
"""Two weighings of one clean stone may differ by this much, 0.001 ct. Our own figure."""


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
def extend_approval(*, stone: Stone, until: datetime.date, reason: str, person: Person) -> Stone:
    """
    Move the day a stone on approval has to go back, as the supplier agreed in writing.

    Effects, in order: the date is moved, only if the stone still is on its way back; the trail says so.

    Raises:
        Refused: there is no word of the supplier, the day is not later, or the stone has gone.
    """
    if not reason.strip():
        raise Refused("Say where the supplier agreed to it, such as their letter of a day.")
    if stone.return_by is None or until <= stone.return_by:
        raise Refused("The new day is later than the one that stands.")
    changed = (
        Stone.objects.filter(pk=stone.pk, return_by=stone.return_by)
        .exclude(state__in=GONE)
        .update(return_by=until)
    )
    if changed != 1:
        raise Refused("This stone is no longer on approval.")
    write_trail(
        actor=person,
        verb="extended an approval",
        subject=stone.commission.reference if stone.commission else stone.name,
        facts={"stone": stone.pk, "until": until.isoformat(), "reason": reason},
    )
    stone.refresh_from_db()
    return stone


@transaction.atomic
def send_back(*, stone: Stone, weight_mct: int, inscription_typed: str, person: Person) -> Stone:
    """
    Send a stone back to its owner, weighed and read once more, so that a later claim can be answered.

    Effects, in order: the inscription and the weight are held against the check-in; the stone becomes
    *returned*, only if it is not chosen, set or gone; nobody here holds it any more; the trail says so.

    Raises:
        Refused: it is chosen for a seat, or it is not the stone that was checked in.
    """
    if stone.report_number and plain(inscription_typed) != plain(stone.report_number):
        raise Refused("The inscription read is not the one on the report: this may be another stone.")
    seen = stone.check_ins.order_by("-id").first()
    if seen and abs(seen.weight_mct - weight_mct) > RETURN_TOLERANCE_MCT:
        raise Refused(
            f"It weighed {seen.weight_mct / 1000:.3f} ct when it came in and {weight_mct / 1000:.3f} ct now: "
            "clean it and weigh again, and look for a chip."
        )
    changed = (
        Stone.objects.filter(pk=stone.pk, chosen_at__isnull=True)
        .exclude(state__in=(*GONE, StoneState.SET))
        .update(state=StoneState.RETURNED, holder="")
    )
    if changed != 1:
        raise Refused("This stone is chosen for a ring, or is no longer here.")
    if stone.holder:
        Custody.objects.create(
            stone=stone, holder="", reason="sent back", by_words=str(person), at=clock.now()
        )
    write_trail(
        actor=person,
        verb="sent a stone back",
        subject=stone.commission.reference if stone.commission else stone.name,
        facts={"stone": stone.pk, "weight mct": weight_mct},
    )
    stone.refresh_from_db()
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
