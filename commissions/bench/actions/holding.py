"""Writes at a hold point: the client is asked, and the work follows once they have said go."""

from __future__ import annotations

from commissions.bench import gates, queries
from commissions.bench.models import Step
from commissions.record import actions as record
from commissions.record.errors import Refused
from commissions.record.holdpoints import ask_at
from commissions.record.models import Commission
from commissions.record.route import Turn
from studio import clock
from studio.people.models import Person


def follow(*, commission: Commission, step: Step, to: str, person: Person) -> None:
    """
    Move the commission on to the stage of the next step. Part of finishing and starting, never called alone.

    Effects: the stage moves through the bench's door, with *step* as its evidence.
    """
    record.advance(
        commission=commission, to=to, door="bench.finish_step", person=person, evidence={"step": step.pk}
    )


def catch_up(*, commission: Commission, step: Step, person: Person) -> None:
    """
    Let the commission follow to the stage of *step*, once the client has said go at the hold point before it.

    Effects: where the step belongs to another stage, the commission moves on to it.

    Raises:
        Refused: the client has not said go yet.
    """
    if step.stage == commission.stage:
        return
    missing = gates.client_has_said_go(commission=commission, step=step)
    if missing:
        raise Refused(*missing)
    follow(commission=commission, step=step, to=step.stage, person=person)


def ask_the_client(*, commission: Commission) -> None:
    """
    At a hold point, put what was made before the client, as soon as there is a photograph to look at.

    Effects: where the job waits at a point nobody was asked about yet, the client is asked if a photograph of
    it is released; otherwise releasing one becomes a question to us.
    """
    step = queries.current_step(commission=commission)
    held = queries.held_at(commission=commission, step=step) if step else None
    if held is None or held.since is not None or held.point.word is not None:
        return
    key = f"hold-show:{held.point.point}"
    if queries.photos_at_hold(commission=commission).exists():
        record.answer_question(commission=commission, key=key, by_words="shown")
        ask_at(commission=commission, point=held.point.point)
        return
    record.open_question(
        commission=commission,
        key=key,
        addressee=Turn.US,
        words=f"Release a photograph of {held.point.what}: the client wants to see it first",
        client_words="We are photographing it for you",
        path=f"/studio/commissions/{commission.reference}/photos/",
        due_on=clock.add_working_days(clock.today(), 1),
    )
