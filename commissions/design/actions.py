"""Writes of the design room: drafting a revision, sending it, and the client's answer."""

from __future__ import annotations

from django.db import transaction

from commissions.design import computing
from commissions.design.models import Answer, AnswerKind, Revision, Status
from commissions.design.queries import newest
from commissions.record.actions import advance, answer_question, answer_questions, open_question
from commissions.record.errors import Missing, Refused
from commissions.record.models import Commission
from commissions.record.route import Stage, Turn
from studio import clock
from studio.people.models import ClientAccess, Person
from studio.trail.actions import record as write_trail

ANSWER_DAYS = 5


def next_letter(letter: str) -> str:
    """The letter after *letter*: A, B, … Z, AA, AB, …"""
    if not letter:
        return "A"
    if letter[-1] != "Z":
        return letter[:-1] + chr(ord(letter[-1]) + 1)
    return next_letter(letter[:-1]) + "A"


def _design_path(commission: Commission) -> str:
    return f"/studio/commissions/{commission.reference}/design/"


def draft_revision(
    *, commission: Commission, parameters: dict, person: Person, note: str = "", reason: str = ""
) -> Revision:
    """
    Write the next revision as a draft, or change the draft that stands.

    Effects, in order: every figure is computed from the parameters (outside the transaction, since it
    may take a moment); the draft is made under the next letter, or the standing draft gets the new
    parameters; its differences against its parent are kept.

    Raises:
        BadInput: a parameter is out of range; its field is named.
        Refused: the direction is agreed and a new revision has to be started first.
    """
    if commission.stage not in (Stage.DESIGN, Stage.STONES):
        raise Refused(
            Missing(
                words="What was agreed is fixed. Start a new revision first; the approval is void from then on.",
                path=_design_path(commission),
            )
        )
    outputs = computing.outputs(parameters)
    with transaction.atomic():
        draft = (
            Revision.objects.select_for_update().filter(commission=commission, status=Status.DRAFT).first()
        )
        parent = draft.parent if draft else newest(commission=commission)
        columns = {
            "parameters": parameters,
            "outputs": outputs,
            "engine": outputs["engine"],
            "note": note,
            "reason": reason,
            "made_by": person,
            "made_at": clock.now(),
            "differences": computing.differences(parent.parameters, parameters) if parent else [],
        }
        if draft:
            Revision.objects.filter(pk=draft.pk, status=Status.DRAFT).update(**columns)
            draft.refresh_from_db()
            return draft
        return Revision.objects.create(
            commission=commission,
            parent=parent,
            letter=next_letter(parent.letter if parent else ""),
            **columns,
        )


@transaction.atomic
def send_revision(*, revision: Revision, person: Person) -> Revision:
    """
    Send a draft to the client; from here on it cannot be changed.

    Effects, in order: the revision becomes *sent* only if it still is a draft; earlier revisions that
    were sent become *superseded*; our question is answered and the client's is opened with its date;
    the trail says so.

    Raises:
        Refused: it is not a draft, or its halo is not sound.
    """
    layout = revision.outputs.get("layout")
    if layout and not layout["feasible"]:
        raise Refused(
            "This halo does not hold: choose one of the changes that make it sound before sending it."
        )
    now = clock.now()
    changed = Revision.objects.filter(pk=revision.pk, status=Status.DRAFT).update(
        status=Status.SENT, sent_at=now
    )
    if changed != 1:
        raise Refused("This revision has been sent already.")
    revision.status, revision.sent_at = Status.SENT, now
    commission = revision.commission
    Revision.objects.filter(commission=commission, status=Status.SENT).exclude(pk=revision.pk).update(
        status=Status.SUPERSEDED
    )
    answer_questions(commission=commission, prefix="design.", by_words=str(person))
    open_question(
        commission=commission,
        key=f"design.answer:{revision.letter}",
        addressee=Turn.CLIENT,
        words=f"Answer on revision {revision.letter}",
        client_words="Look at the design and tell us what you think",
        path=_design_path(commission),
        client_path=f"/yours/{commission.reference}/design/",
        due_on=clock.add_working_days(clock.today(), ANSWER_DAYS),
    )
    write_trail(
        actor=person, verb="sent a revision", subject=commission.reference, facts={"letter": revision.letter}
    )
    return revision


@transaction.atomic
def answer_revision(
    *, revision: Revision, kind: str, words: str, by_words: str, access: ClientAccess | None = None
) -> Answer:
    """
    Keep the client's answer to a revision.

    Effects, in order: the answer is written; *agree* marks the revision agreed (only if it still is the
    one that was sent) and passes through ``agree_direction``; *ask* and *not yet* hand the turn back to us.

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
            path=_design_path(revision.commission),
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
        path=_design_path(commission),
        due_on=clock.add_working_days(clock.today(), 5),
    )
    write_trail(
        actor=person, verb="started a revision", subject=commission.reference, facts={"reason": reason}
    )
