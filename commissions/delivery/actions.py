"""Writes of the delivery room: address, packing, dispatch, arrival, care."""

from __future__ import annotations

import datetime

from django.db import transaction

from commissions.delivery.models import Address, CareDate, Shipment
from commissions.delivery.packing import CHECKS
from commissions.money import queries as money
from commissions.money.actions import recognise_at_handover
from commissions.record.actions import advance, answer_question, answer_questions, open_question, post_message
from commissions.record.errors import Missing, Refused
from commissions.record.models import Commission
from commissions.record.route import Stage, Turn
from studio import clock
from studio.people.models import Person
from studio.trail.actions import record as write_trail

CONFIRMED_DAYS = 7
FIRST_DAYS = [
    (3, "Arrived as shown?", "Did it arrive as shown?"),
    (30, "Comfort and size", "How does it feel, and does the size fit?"),
]
CHECK_MONTHS = [
    (6, "First claw and halo check", "First check of claws and halo stones"),
    (12, "Yearly claw and halo check", "Yearly check of claws and halo stones"),
]
"""Common practice, no source: claws and halo are looked at after half a year, then yearly."""


def months_after(start: datetime.date, months: int) -> datetime.date:
    """The same day *months* later, or the last of that month where there is no such day."""
    month = start.month - 1 + months
    year, month = start.year + month // 12, month % 12 + 1
    last = (datetime.date(year + month // 12, month % 12 + 1, 1) - datetime.timedelta(days=1)).day
    return datetime.date(year, month, min(start.day, last))


def _path(commission: Commission) -> str:
    return f"/studio/commissions/{commission.reference}/delivery/"


@transaction.atomic
def confirm_address(
    *, commission: Commission, addressee: str, lines: str, country: str, by_words: str
) -> Address:
    """
    Keep the address that the client has confirmed; it counts for seven days.

    Effects, in order: the address is written or renewed with the time; the client's question is answered;
    the trail says that it was confirmed, and not what it is.

    Raises:
        Refused: the ring is not about to leave.
    """
    if commission.stage not in (Stage.CHECKING, Stage.HANDOVER):
        raise Refused("The address is asked for when the ring is about to leave, and not before.")
    address, _made = Address.objects.update_or_create(
        commission=commission,
        defaults={
            "addressee": addressee,
            "lines": lines,
            "country": country,
            "confirmed_at": clock.now(),
            "gone_at": None,
        },
    )
    answer_question(commission=commission, key="delivery.address", by_words=by_words)
    write_trail(actor=by_words, verb="confirmed the address", subject=commission.reference)
    return address


@transaction.atomic
def ask_for_address(*, commission: Commission) -> None:
    """
    Ask the client to confirm where the ring goes.

    Effects: the client's question is opened.
    """
    open_question(
        commission=commission,
        key="delivery.address",
        addressee=Turn.CLIENT,
        words="Confirm the address",
        client_words="Confirm the address it goes to",
        path=_path(commission),
        client_path=f"/yours/{commission.reference}/delivery/",
        due_on=clock.add_working_days(clock.today(), 3),
    )


@transaction.atomic
def pack(
    *,
    commission: Commission,
    answers: dict[str, str],
    ring_mg: int,
    seal: str,
    insured_minor: int,
    person: Person,
) -> Shipment:
    """
    Keep what was checked at packing; refused while anything is *no*.

    Effects, in order: every check is proved to be answered *yes* (or *not applicable* where it may be); the
    parcel is written; the trail says so.

    Raises:
        Refused: every check that is not met, in words.
    """
    if commission.stage != Stage.HANDOVER:
        raise Refused("Only a ring that has passed its checks is packed.")
    missing = [Missing(words=check.words) for check in CHECKS if answers.get(check.key) != "yes"]
    address = Address.objects.filter(commission=commission).first()
    if address is None or clock.now() - address.confirmed_at > datetime.timedelta(days=CONFIRMED_DAYS):
        missing.append(
            Missing(
                words="The client has not confirmed the address within seven days.", path=_path(commission)
            )
        )
    quote = money.accepted_quote(commission=commission)
    if quote and any(money.outstanding(instalment=row) > 0 for row in quote.instalments.all()):
        missing.append(
            Missing(
                words="The balance is not settled.",
                path=f"/studio/commissions/{commission.reference}/money/",
            )
        )
    if not seal.strip():
        missing.append(Missing(words="The seal has no number yet."))
    if missing:
        raise Refused(*missing)
    shipment = Shipment.objects.create(
        commission=commission,
        answers=answers,
        ring_mg=ring_mg,
        seal=seal,
        insured_minor=insured_minor,
        packed_by=person,
        packed_at=clock.now(),
    )
    write_trail(actor=person, verb="packed", subject=commission.reference, facts={"seal": seal})
    return shipment


@transaction.atomic
def dispatch(
    *,
    shipment: Shipment,
    carrier: str,
    service: str,
    tracking: str,
    expected_on: datetime.date,
    person: Person,
) -> Shipment:
    """
    Hand the parcel to the carrier.

    Effects, in order: carrier and tracking are written only if it has not left yet; our question is
    answered; the carrier's turn is opened with the expected date; the trail says so.

    Raises:
        Refused: it has left already, or would arrive at a weekend.
    """
    if expected_on.weekday() >= 5:
        raise Refused("It would arrive at a weekend, when nobody signs: choose another day.")
    changed = Shipment.objects.filter(pk=shipment.pk, dispatched_at__isnull=True).update(
        carrier=carrier,
        service=service,
        tracking=tracking,
        expected_on=expected_on,
        dispatched_at=clock.now(),
    )
    if changed != 1:
        raise Refused("This parcel has left already.")
    shipment.refresh_from_db()
    commission = shipment.commission
    answer_questions(commission=commission, prefix="delivery.", by_words=str(person))
    open_question(
        commission=commission,
        key="delivery.arrival",
        addressee=Turn.SUPPLIER,
        words=f"Arrives with {carrier}",
        client_words="It is on its way to you",
        path=_path(commission),
        client_path=f"/yours/{commission.reference}/delivery/",
        due_on=expected_on,
    )
    write_trail(actor=person, verb="dispatched", subject=commission.reference, facts={"carrier": carrier})
    return shipment


@transaction.atomic
def confirm_arrival(
    *, shipment: Shipment, proof: str, by_words: str, on: datetime.date | None = None
) -> None:
    """
    The door from Handover to Care: the client has the ring.

    Effects, in order: the arrival is written once; the stage moves; what was held becomes a sale; the
    dates of care are laid; the first is asked of the client; the trail says so.

    Raises:
        Refused: it has not left, it has arrived already, or there is no proof.
    """
    if not proof.strip():
        raise Refused("Say what proves that it arrived: a signature, the carrier's entry, the client's word.")
    changed = Shipment.objects.filter(
        pk=shipment.pk, dispatched_at__isnull=False, arrived_at__isnull=True
    ).update(arrived_at=clock.now(), arrival_proof=proof)
    if changed != 1:
        raise Refused("This parcel has not left yet, or has arrived already.")
    shipment.refresh_from_db()
    commission = shipment.commission
    advance(
        commission=commission,
        to=Stage.CARE,
        door="delivery.confirm_arrival",
        by_words=by_words,
        evidence={"shipment": shipment.pk, "proof": proof},
    )
    recognise_at_handover(commission=commission, by_words=by_words)
    answer_questions(commission=commission, prefix="delivery.", by_words=by_words)
    lay_care_dates(commission=commission, start=on or clock.today())


@transaction.atomic
def lay_care_dates(*, commission: Commission, start: datetime.date) -> None:
    """
    Lay the dates of care from the day the ring arrived.

    Effects, in order: the dates are written, each once; the earliest that is not done is asked of the client.
    """
    dates = [(start + datetime.timedelta(days=days), *words) for days, *words in FIRST_DAYS]
    dates += [(months_after(start, months), *words) for months, *words in CHECK_MONTHS]
    for due_on, words, client_words in dates:
        CareDate.objects.get_or_create(
            commission=commission, due_on=due_on, defaults={"words": words, "client_words": client_words}
        )
    ask_next_care(commission=commission)


@transaction.atomic
def ask_next_care(*, commission: Commission) -> None:
    """
    Ask for the earliest date of care that is not done.

    Effects: the client's question is opened, or nothing is left to ask.
    """
    care = CareDate.objects.filter(commission=commission, done_at__isnull=True).order_by("due_on").first()
    if care is None:
        return
    open_question(
        commission=commission,
        key=f"care:{care.pk}",
        addressee=Turn.CLIENT,
        words=care.words,
        client_words=care.client_words,
        path=_path(commission),
        client_path=f"/yours/{commission.reference}/care/",
        due_on=care.due_on,
    )


@transaction.atomic
def finish_care(*, care: CareDate, findings: str, by_words: str) -> None:
    """
    Keep what was found at one date of care.

    Effects, in order: the date is marked done once, with its findings; its question is answered; the next
    is asked for.
    """
    changed = CareDate.objects.filter(pk=care.pk, done_at__isnull=True).update(
        done_at=clock.now(), findings=findings
    )
    if changed:
        answer_question(commission=care.commission, key=f"care:{care.pk}", by_words=by_words)
        ask_next_care(commission=care.commission)


@transaction.atomic
def client_confirms_arrival(*, shipment: Shipment, words: str, name: str) -> None:
    """
    The client says that the ring is there, and whether all is well.

    Effects, in order: the arrival is confirmed at the client's word; anything that is not right becomes a
    message that waits for our answer.
    """
    confirm_arrival(shipment=shipment, proof=f"{name} confirmed it on their page", by_words=name)
    if words:
        post_message(commission=shipment.commission, body=words, from_client=True)
