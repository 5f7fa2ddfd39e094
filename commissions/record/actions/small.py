"""Opening a small job on a ring that was made before."""

from __future__ import annotations

from django.db import transaction

from commissions.record.actions.moves import create, write_move
from commissions.record.actions.questions import open_question
from commissions.record.errors import Missing, Refused
from commissions.record.models import NO_DATE, Commission, SmallJob, Work
from commissions.record.route import Stage, State, Turn
from studio import clock
from studio.people.models import Person


@transaction.atomic
def open_small_job(
    *,
    ring: Commission,
    work: str,
    words: str,
    person: Person,
    size_hmm: int | None = None,
    evidence: dict | None = None,
) -> Commission:
    """
    Open a resize or a repair as a commission of its own that points to the ring.

    Effects, in order: the commission is written at *Agreement* for the same client, as much a surprise as
    the ring is; the job's own words are written beside it; the move is written; the question what it costs
    is opened to us; the trail says so.

    Args:
        ring: the commission that made the ring.
        size_hmm: the inner circumference afterwards, 0.01 mm; needed for a resize.

    Raises:
        Refused: the ring is not with its wearer, has such a job already, or a resize has no size.
    """
    made = ring.ring or ring
    if made.stage != Stage.CARE or made.state == State.WITHDRAWN:
        raise Refused("A small job is for a ring that is with its wearer.")
    if work == Work.RESIZE and not size_hmm:
        raise Refused("A resize needs the inner circumference that the ring is to have.")
    standing = Commission.objects.filter(ring=made, state=State.OPEN).exclude(stage=Stage.CARE).first()
    if standing:
        raise Refused(
            Missing(
                words=f"Another job on this ring is not finished: {standing.reference}.",
                path=f"/studio/commissions/{standing.reference}/",
            )
        )
    commission = create(
        reference=None,
        client=made.client,
        title=f"{Work(work).label}: {made.title}"[:120],
        stage=Stage.AGREEMENT,
        currency=made.currency,
        needed_sort=NO_DATE,
        discreet=made.discreet,
        ring=made,
    )
    SmallJob.objects.create(
        commission=commission,
        work=work,
        words=words,
        size_hmm=size_hmm,
        opened_by=str(person),
        at=clock.now(),
    )
    write_move(
        commission=commission,
        frm="",
        to=Stage.AGREEMENT,
        door="record.open_small_job",
        person=person,
        by_words=str(person),
        evidence={"ring": made.reference, **(evidence or {})},
    )
    open_question(
        commission=commission,
        key="quote.small",
        addressee=Turn.US,
        words="Say what the job costs, or that it costs nothing",
        client_words="We are working out what it takes",
        path=f"/studio/commissions/{commission.reference}/job/",
        due_on=clock.add_working_days(clock.today(), 2),
    )
    return commission
