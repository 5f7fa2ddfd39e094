"""The client's answer to a revision, and the ways out of and back into Design."""

from __future__ import annotations

from collections.abc import Iterable

from django.db import transaction

from commissions.design.actions.common import design_path
from commissions.design.models import Answer, AnswerKind, Revision, Status
from commissions.design.queries import newest
from commissions.record.actions import advance, answer_question, answer_questions, open_question
from commissions.record.errors import Refused
from commissions.record.holdpoints import choose as choose_points
from commissions.record.models import Commission
from commissions.record.route import Stage, Turn
from studio import clock
from studio.people.models import ClientAccess, Person
from studio.trail.actions import record as write_trail


@transaction.atomic
def answer_revision(
    *,
    revision: Revision,
    kind: str,
    words: str,
    by_words: str,
    access: ClientAccess | None = None,
    hold_points: Iterable[str] | None = None,
) -> Answer:
    """
    Keep the client's answer to a revision.

    Effects, in order: the answer is written; *agree* marks the revision agreed (only if it still is the
    one that was sent) and passes through ``agree_direction``, and the hold points that came with it are
    chosen; *ask* and *not yet* hand the turn back to us.

    Raises:
        Refused: the revision is not the one that waits for an answer.
    """
    current = newest(commission=revision.commission)
    if revision.status != Status.SENT or current is None or current.pk != revision.pk:
        raise Refused("A newer revision has been sent. Please look at that one.")
    if kind != AnswerKind.AGREE and not words.strip():
        raise Refused("Tell us in a few words what you would like to be different.")
    answer = Answer.objects.create(
        revision=revision, kind=kind, words=words, access=access, by_words=by_words, at=clock.now()
    )
    if kind == AnswerKind.AGREE:
        changed = Revision.objects.filter(pk=revision.pk, status=Status.SENT).update(status=Status.AGREED)
        if changed != 1:
            raise Refused("A newer revision has been sent. Please look at that one.")
        revision.status = Status.AGREED
        agree_direction(commission=revision.commission, answer=answer)
        if hold_points is not None:
            choose_points(
                commission=revision.commission, points=hold_points, by_words=by_words, access=access
            )
    else:
        answer_question(
            commission=revision.commission, key=f"design.answer:{revision.letter}", by_words=by_words
        )
        open_question(
            commission=revision.commission,
            key="design.reply",
            addressee=Turn.US,
            words=f"Answer what the client says of revision {revision.letter}",
            client_words="We are answering what you said about the design",
            path=design_path(revision.commission),
            due_on=clock.add_working_days(clock.today(), 2),
        )
    return answer


@transaction.atomic
def agree_direction(*, commission: Commission, answer: Answer) -> None:
    """
    The door from Design to Stones: the newest revision was sent and the client has agreed to it.

    Effects, in order: the stage moves; the client's question is answered; finding the stone becomes ours.

    Raises:
        Refused: the answer is not an agreement.
    """
    if answer.kind != AnswerKind.AGREE:
        raise Refused("The client has not agreed to this revision.")
    if commission.stage == Stage.DESIGN:
        advance(
            commission=commission,
            to=Stage.STONES,
            door="design.agree_direction",
            by_words=answer.by_words,
            evidence={"revision": answer.revision.letter, "answer": answer.pk},
        )
    answer_questions(commission=commission, prefix="design.", by_words=answer.by_words)
    open_question(
        commission=commission,
        key="stones.choose",
        addressee=Turn.US,
        words="Find the stone",
        client_words="We are looking for your stone",
        path=f"/studio/commissions/{commission.reference}/stones/",
        due_on=clock.add_working_days(clock.today(), 10),
    )


@transaction.atomic
def start_revision(*, commission: Commission, person: Person, reason: str) -> None:
    """
    The way back from Agreement to Design, with its reason; what was agreed is void from here on.

    Effects, in order: the stage moves back; open questions of the agreement are closed; the revision
    that was agreed is superseded; the next design becomes ours to send; the trail says so.

    Raises:
        Refused: there is no reason, or the commission is not at Agreement.
    """
    if not reason.strip():
        raise Refused("Say why a new revision is needed: the client reads it.")
    advance(
        commission=commission,
        to=Stage.DESIGN,
        door="design.start_revision",
        person=person,
        evidence={"reason": reason},
    )
    for prefix in ("quote.", "money.", "stones.", "bench."):
        answer_questions(commission=commission, prefix=prefix, by_words=str(person))
    Revision.objects.filter(commission=commission, status__in=(Status.SENT, Status.AGREED)).update(
        status=Status.SUPERSEDED
    )
    open_question(
        commission=commission,
        key="design.send",
        addressee=Turn.US,
        words="Send the new revision",
        client_words="We are changing the design",
        path=design_path(commission),
        due_on=clock.add_working_days(clock.today(), 5),
    )
    write_trail(
        actor=person, verb="started a revision", subject=commission.reference, facts={"reason": reason}
    )
