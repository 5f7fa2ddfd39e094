"""Writes of small jobs: opened from a ring or a worry, priced, and the ring taken in."""

from __future__ import annotations

import datetime
from decimal import Decimal

from django.db import transaction

from commissions.bench.small import RING_HERE
from commissions.delivery.actions.worrying import advice_key, worry_key
from commissions.delivery.models import TakenIn, Worry
from commissions.delivery.paths import client_path
from commissions.money.actions import draft_quote, send_quote
from commissions.money.actions.quoting import NewLine
from commissions.record.actions import answer_question, open_question, open_small_job
from commissions.record.errors import Refused
from commissions.record.models import Commission, Work
from commissions.record.route import Stage, Turn
from studio import clock
from studio.people.models import Person
from studio.trail.actions import record as write_trail

JOB_WITHDRAWAL = (
    "This work is done on your own ring, to what stands here. Your rights if it is not done as described are not "
    "touched by this. Whether and until when you may withdraw depends on the law that applies to you: ask us before "
    "work begins."
)


def job_path(commission: Commission) -> str:
    """The studio's page of a small job."""
    return f"/studio/commissions/{commission.reference}/job/"


@transaction.atomic
def open_job(
    *,
    ring: Commission,
    work: str,
    words: str,
    person: Person,
    size_hmm: int | None = None,
    worry: Worry | None = None,
) -> Commission:
    """
    Open a resize or a repair on a ring that is with its wearer.

    Effects, in order: the small job is opened by the record; the client is asked to send the ring, which keeps
    the bench from beginning; a worry that it came from is answered on both sides.

    Raises:
        Refused: as open_small_job.
    """
    commission = open_small_job(
        ring=ring,
        work=work,
        words=words,
        person=person,
        size_hmm=size_hmm,
        evidence={"worry": worry.pk} if worry else None,
    )
    open_question(
        commission=commission,
        key=RING_HERE,
        addressee=Turn.CLIENT,
        words="Wait for the ring, then weigh it in",
        client_words="Send it to us as we agreed",
        path=job_path(commission),
        client_path=client_path(commission, "delivery"),
        due_on=clock.add_working_days(clock.today(), 10),
        blocking=False,
    )
    if worry is not None:
        for key in (worry_key(worry), advice_key(worry)):
            answer_question(commission=worry.commission, key=key, by_words=str(person))
    return commission


@transaction.atomic
def offer_job(
    *,
    commission: Commission,
    net_minor: int,
    tax_code: str,
    tax_rate: Decimal,
    note: str,
    valid_until: datetime.date | None,
    person: Person,
):
    """
    Say what a small job costs, or that it costs nothing, and ask the client to agree.

    Effects, in order: a quotation of one line is drafted and sent by the money room, which asks the client.

    Raises:
        Refused: it is no small job, or the money room refuses.
    """
    if not commission.ring_id or commission.stage != Stage.AGREEMENT:
        raise Refused("Only a small job that waits for its price is offered here.")
    job = commission.small_job
    line = NewLine(
        kind="making",
        words=f"{Work(job.work).label}, ring {commission.ring.reference}"[:200],
        unit_minor=Decimal(net_minor),
        tax_code=tax_code,
        tax_rate=tax_rate,
    )
    quote = draft_quote(
        commission=commission,
        lines=[line],
        person=person,
        plan="in full",
        note=note,
        withdrawal=JOB_WITHDRAWAL,
    )
    return send_quote(quote=quote, person=person, valid_until=valid_until)


@transaction.atomic
def take_in_ring(
    *, commission: Commission, ring_mg: int, condition: str, seal: str, person: Person
) -> TakenIn:
    """
    Take in a ring that came back for a small job: weighed and looked at before anything is done to it.

    Effects, in order: what was found is added; the client's question is answered, so that the bench may begin
    once the job is agreed; the trail says so.

    Raises:
        Refused: it is no small job, or its ring has been taken in.
    """
    if not commission.ring_id:
        raise Refused("Only the ring of a small job is taken in.")
    if not condition.strip():
        raise Refused(
            "Say how the ring looks: worn claws, dents, marks, missing stones, or that there are none."
        )
    if not answer_question(commission=commission, key=RING_HERE, by_words=str(person)):
        raise Refused("This ring has been taken in already.")
    row = TakenIn.objects.create(
        commission=commission,
        ring_mg=ring_mg,
        condition=condition.strip(),
        seal=seal.strip(),
        person=person,
        at=clock.now(),
    )
    write_trail(actor=person, verb="took the ring in", subject=commission.reference, facts={"mg": ring_mg})
    return row
