"""Letters that did not arrive, shown on their job."""

from __future__ import annotations

from django.db import transaction
from django.urls import reverse

from commissions.letters import queries
from commissions.letters.models import Failure
from commissions.record import actions as record
from commissions.record.models import Commission
from commissions.record.route import Turn
from studio import clock
from studio.outbox.models import Letter


def _key(letter_pk: int) -> str:
    return f"letter-failed:{letter_pk}"


def show_failures() -> int:
    """
    Show each failed letter on its job; how many are new.

    Effects, in order, for each: the failure is written; the studio is asked to reach the client.
    """
    letters = queries.failed_letters()
    commissions = queries.commissions_by_reference(references={letter.subject_ref for letter in letters})
    for letter in letters:
        _show(letter=letter, commission=commissions[letter.subject_ref])
    return len(letters)


@transaction.atomic
def _show(*, letter: Letter, commission: Commission) -> None:
    _failure, made = Failure.objects.get_or_create(
        letter=letter, defaults={"commission": commission, "since": clock.now()}
    )
    if not made:
        return
    record.open_question(
        commission=commission,
        key=_key(letter.pk),
        addressee=Turn.US,
        words="A letter did not arrive: look at it and reach the client another way",
        path=reverse("letters:letters", args=[commission.reference]),
        due_on=clock.today(),
        blocking=False,
    )


def settle_failures() -> int:
    """
    Forget failures whose letter has gone out after all, or was withdrawn; how many.

    Effects, in order, for each: the failure is marked settled; the question about it is answered.
    """
    over = queries.failures_over()
    for failure in over:
        with transaction.atomic():
            changed = Failure.objects.filter(pk=failure.pk, settled_at__isnull=True).update(
                settled_at=clock.now()
            )
            if changed == 1:
                record.answer_question(
                    commission=failure.commission, key=_key(failure.letter_id), by_words="the outbox"
                )
    return len(over)
