"""Drafting a revision and sending it."""

from __future__ import annotations

from collections.abc import Sequence

from django.db import transaction

from commissions.design import computing
from commissions.design.actions.commenting import answer_comment
from commissions.design.actions.common import design_path
from commissions.design.actions.filing import seal
from commissions.design.actions.terms import leave_uncounted
from commissions.design.models import Comment, Revision, Status
from commissions.design.queries import newest, stops
from commissions.record.actions import answer_questions, open_question
from commissions.record.errors import Missing, Refused
from commissions.record.models import Commission
from commissions.record.route import Stage, Turn
from studio import clock
from studio.people.models import Person
from studio.trail.actions import record as write_trail

ANSWER_DAYS = 5


def next_letter(letter: str) -> str:
    """The letter after *letter*: A, B, … Z, AA, AB, …"""
    if not letter:
        return "A"
    if letter[-1] != "Z":
        return letter[:-1] + chr(ord(letter[-1]) + 1)
    return next_letter(letter[:-1]) + "A"


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
                path=design_path(commission),
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
def send_revision(
    *,
    revision: Revision,
    person: Person,
    settles: Sequence[Comment] = (),
    uncounted_reason: str = "",
    despite: str = "",
) -> Revision:
    """
    Send a draft to the client; from here on it cannot be changed.

    Effects, in order: its files are sealed and listed with their digests; the revision becomes *sent* only
    if it still is a draft; earlier revisions that were sent become *superseded*; it is left out of the count
    where a reason says so; our question is answered and the client's is opened with its date; the comments
    it settles are closed; the trail says so. *despite* is why it is sent although a check of what can be
    made says stop; it stands with the revision.

    Raises:
        Refused: it is not a draft, its halo is not sound, or a check says stop and nobody says why not.
    """
    layout = revision.outputs.get("layout")
    if layout and not layout["feasible"]:
        raise Refused(
            "This halo does not hold: choose one of the changes that make it sound before sending it."
        )
    if stops(revision) and not despite.strip():
        raise Refused("A check says that this cannot be made. Change it, or say why it is sent all the same.")
    now = clock.now()
    draft = Revision.objects.select_for_update().filter(pk=revision.pk, status=Status.DRAFT)
    if not draft.exists():
        raise Refused("This revision has been sent already.")
    files = seal(revision=revision)
    changed = draft.update(status=Status.SENT, sent_at=now, files=files, despite=despite.strip())
    if changed != 1:
        raise Refused("This revision has been sent already.")
    revision.status, revision.sent_at, revision.files = Status.SENT, now, files
    revision.despite = despite.strip()
    commission = revision.commission
    Revision.objects.filter(commission=commission, status=Status.SENT).exclude(pk=revision.pk).update(
        status=Status.SUPERSEDED
    )
    if uncounted_reason:
        leave_uncounted(revision=revision, reason=uncounted_reason, person=person)
    answer_questions(commission=commission, prefix="design.", by_words=str(person))
    open_question(
        commission=commission,
        key=f"design.answer:{revision.letter}",
        addressee=Turn.CLIENT,
        words=f"Answer on revision {revision.letter}",
        client_words="Look at the design and tell us what you think",
        path=design_path(commission),
        client_path=f"/yours/{commission.reference}/design/",
        due_on=clock.add_working_days(clock.today(), ANSWER_DAYS),
    )
    for row in settles:
        answer_comment(
            comment=row, words=f"Changed in revision {revision.letter}.", person=person, close=True
        )
    write_trail(
        actor=person, verb="sent a revision", subject=commission.reference, facts={"letter": revision.letter}
    )
    return revision
