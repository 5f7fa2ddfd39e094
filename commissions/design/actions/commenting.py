"""Writes of comments: made by the client, answered and closed by the studio, opened again by the client."""

from __future__ import annotations

from django.db import transaction
from django.utils.translation import gettext as _

from commissions.design import places
from commissions.design.comments import Talk, can_comment, open_talks, talk_of
from commissions.design.models import Comment, Remark, RemarkKind, Revision
from commissions.design.queries import newest
from commissions.record.actions import answer_question, let_wait, open_question
from commissions.record.errors import Refused
from commissions.record.models import Commission
from commissions.record.route import Turn
from studio import clock
from studio.people.models import ClientAccess, Person
from studio.trail.actions import record as write_trail

US_DAYS, CLIENT_DAYS = 2, 5


@transaction.atomic
def comment(
    *,
    revision: Revision,
    view: str,
    x_mm: float,
    y_mm: float,
    words: str,
    by_words: str,
    access: ClientAccess | None = None,
) -> Comment:
    """
    Pin what the client says to a place of a drawing.

    Effects, in order: the comment is written under the next number of its revision, with the named place
    nearest to it; answering it becomes a question to us; the trail says so.

    Raises:
        Refused: the revision is not the newest one, or the ring is being made already.
    """
    commission = Commission.objects.select_for_update().get(pk=revision.commission_id)
    _still_open(commission)
    current = newest(commission=commission)
    if current is None or current.pk != revision.pk:
        raise Refused(_("A newer revision has been sent. Please put your comment on that one."))
    place = places.nearest(places.places(revision, view), x_mm, y_mm)
    made = Comment.objects.create(
        revision=revision,
        number=Comment.objects.filter(revision=revision).count() + 1,
        view=view,
        x_hmm=round(x_mm * 100),
        y_hmm=round(y_mm * 100),
        place=place.key,
        words=words,
        access=access,
        by_words=by_words,
        at=clock.now(),
    )
    _ask(commission, Talk(comment=made, remarks=[]))
    _trail(by_words, "commented on a drawing", made)
    return made


@transaction.atomic
def answer_comment(*, comment: Comment, words: str, person: Person, close: bool = False) -> None:
    """
    Answer a comment, and close it where it is settled.

    Effects, in order: the answer is written, then the closing where asked; the question about it passes to
    the client, or is answered; the trail says so.

    Raises:
        Refused: there are no words and nothing to close, or it is closed already.
    """
    commission, talk = _locked(comment)
    if not talk.is_open:
        raise Refused(_("This comment is closed."))
    if not words and not close:
        raise Refused(_("Write the answer."))
    if words:
        _remark(comment, RemarkKind.ANSWER, words=words, person=person, by_words=str(person))
    if close:
        _remark(comment, RemarkKind.CLOSE, person=person, by_words=str(person))
    _settled_or_asked(commission, comment, by_words=str(person))
    _trail(str(person), "closed a comment" if close else "answered a comment", comment)


@transaction.atomic
def close_comment(*, comment: Comment, by_words: str) -> None:
    """
    The client calls a comment settled.

    Effects, in order: the closing is written; the question about it is answered; the trail says so.

    Raises:
        Refused: it is closed already.
    """
    commission, talk = _locked(comment)
    if not talk.is_open:
        raise Refused(_("This comment is closed."))
    _remark(comment, RemarkKind.CLOSE, from_client=True, by_words=by_words)
    _settled_or_asked(commission, comment, by_words=by_words)
    _trail(by_words, "closed a comment", comment)


@transaction.atomic
def reopen_comment(*, comment: Comment, words: str, by_words: str) -> None:
    """
    The client takes a comment up again, or answers our answer.

    Effects, in order: the reopening is written with its words; answering it is ours again; the trail says so.

    Raises:
        Refused: there are no words, or the ring is being made already.
    """
    commission, _talk = _locked(comment)
    _still_open(commission)
    if not words:
        raise Refused(_("Write a few words, so that we know what is still open."))
    _remark(comment, RemarkKind.REOPEN, words=words, from_client=True, by_words=by_words)
    _settled_or_asked(commission, comment, by_words=by_words)
    _trail(by_words, "opened a comment again", comment)


def _still_open(commission: Commission) -> None:
    if not can_comment(commission=commission):
        raise Refused(
            _("What was agreed is fixed while the ring is made. Write us a message: a change is then priced.")
        )


def _locked(comment: Comment) -> tuple[Commission, Talk]:
    """The commission, locked so that two words about one comment come one after the other, and the comment anew."""
    commission = Commission.objects.select_for_update().get(pk=comment.revision.commission_id)
    talk = talk_of(commission=commission, pk=comment.pk)
    if talk is None:
        raise Refused(_("There is no such comment."))
    return commission, talk


def _remark(
    comment: Comment,
    kind: str,
    *,
    by_words: str,
    words: str = "",
    from_client: bool = False,
    person: Person | None = None,
) -> Remark:
    return Remark.objects.create(
        comment=comment,
        kind=kind,
        words=words,
        from_client=from_client,
        person=person,
        by_words=by_words,
        at=clock.now(),
    )


def key_of(talk: Talk) -> str:
    """The matter of a comment among the open questions."""
    return f"comment:{talk.label}"


def _settled_or_asked(commission: Commission, comment: Comment, *, by_words: str) -> None:
    talk = Talk(comment=comment, remarks=list(Remark.objects.filter(comment=comment)))
    if talk.is_open:
        _ask(commission, talk)
    else:
        answer_question(commission=commission, key=key_of(talk), by_words=by_words)
        _answer_first(commission)


def _ask(commission: Commission, talk: Talk) -> None:
    ours = talk.waits_for == Turn.US
    letter = talk.comment.revision.letter
    open_question(
        commission=commission,
        key=key_of(talk),
        addressee=talk.waits_for,
        words=f"Answer comment {talk.label} on the drawing"
        if ours
        else f"See whether comment {talk.label} is settled",
        client_words="We are answering your comment on the drawing"
        if ours
        else "Read our answer to your comment, and say whether it is settled",
        path=f"/studio/commissions/{commission.reference}/design/{letter}/comments/#comment-{talk.label}",
        client_path=f"/yours/{commission.reference}/design/{letter}/comments/#comment-{talk.label}",
        due_on=clock.add_working_days(clock.today(), US_DAYS if ours else CLIENT_DAYS),
        blocking=ours,
    )
    _answer_first(commission)


def _answer_first(commission: Commission) -> None:
    """Nobody is waited for to agree to a drawing while a comment of theirs waits for our answer."""
    ours = any(talk.waits_for == Turn.US for talk in open_talks(commission=commission))
    let_wait(commission=commission, prefix="design.answer:", behind=ours)


def _trail(actor: str, verb: str, comment: Comment) -> None:
    write_trail(
        actor=actor,
        verb=verb,
        subject=comment.revision.commission.reference,
        facts={"comment": f"{comment.revision.letter}{comment.number}"},
    )
