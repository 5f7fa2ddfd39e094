"""Change notes: sent, approved or declined; only an approved one changes what was agreed."""

from __future__ import annotations

import datetime
from decimal import Decimal

from django.db import transaction

from commissions.money import bundle as bundles
from commissions.money.lines import rounded
from commissions.money.models import Approval, ChangeNote, ChangeStatus, Instalment, TaxCode
from commissions.record.actions import answer_question, open_question, promise
from commissions.record.errors import Missing, Refused
from commissions.record.models import Commission
from commissions.record.route import Turn
from studio import clock
from studio.people.models import ClientAccess, Person
from studio.trail.actions import record as write_trail


def digest_of(*, note: ChangeNote, approval: Approval) -> str:
    """Fingerprint of a change note upon what was agreed before it."""
    return bundles.digest({"upon": approval.digest, "change": bundles.change_part(note)})


@transaction.atomic
def send_change(
    *,
    commission: Commission,
    what: str,
    why: str,
    asked_by: str,
    net_minor: int,
    person: Person,
    tax: TaxCode | None = None,
    days: int = 0,
    metal_mg: int = 0,
) -> ChangeNote:
    """
    Put a change before the client.

    Effects, in order: the note is written under the next number with its rounded tax; the client's question
    is opened, which blocks the work; the trail says so.

    Raises:
        Refused: nothing is agreed yet, or another note still waits for its answer.
    """
    from commissions.money import queries

    path = f"/studio/commissions/{commission.reference}/money/"
    approval = queries.standing_approval(commission=commission)
    if approval is None:
        raise Refused(
            Missing(
                words="Nothing is agreed yet: change the quotation instead of writing a change note.",
                path=path,
            )
        )
    notes = ChangeNote.objects.filter(commission=commission)
    if notes.filter(status=ChangeStatus.SENT).exists():
        raise Refused("A change note still waits for the client's answer.")
    rate = tax.rate if tax else Decimal(0)
    note = ChangeNote.objects.create(
        commission=commission,
        quote=approval.quote,
        number=notes.count() + 1,
        what=what,
        why=why,
        asked_by=asked_by,
        net_minor=net_minor,
        tax_code=tax.code if tax else "",
        tax_rate=rate,
        tax_minor=rounded(Decimal(net_minor) * rate / 100),
        days=days,
        metal_mg=metal_mg,
        made_by=person,
        sent_at=clock.now(),
    )
    open_question(
        commission=commission,
        key=f"change.answer:{note.number}",
        addressee=Turn.CLIENT,
        words=f"Answer change note {note.number}",
        client_words="Read the change note and tell us whether you approve",
        path=path,
        client_path=f"/yours/{commission.reference}/money/change/{note.number}/",
        due_on=clock.add_working_days(clock.today(), 5),
    )
    write_trail(
        actor=person, verb="sent a change note", subject=commission.reference, facts={"number": note.number}
    )
    return note


@transaction.atomic
def approve_change(
    *,
    note: ChangeNote,
    shown_digest: str,
    consent: str,
    method: str,
    by_words: str,
    access: ClientAccess | None = None,
) -> Approval:
    """
    Keep the client's agreement to a change.

    Effects, in order: what was shown is compared with what is there; the note becomes *approved* only if it
    still waits; its sum becomes an instalment of its own at the end of the plan (asked for at once where
    the last one was asked for already); the promised date moves; the approval before it is void and a new
    one stands for the whole; the question is answered; the trail says so.

    Raises:
        Refused: something else has changed, or the note waits no more.
    """
    from commissions.money import queries
    from commissions.money.actions.receiving import request_instalment

    commission = note.commission
    before = queries.standing_approval(commission=commission)
    if (
        before is None
        or digest_of(note=note, approval=before) != shown_digest
        or queries.approval_differences(commission=commission)
    ):
        raise Refused(
            "Something has changed since this page was shown. Please read it again before you agree."
        )
    changed = ChangeNote.objects.filter(pk=note.pk, status=ChangeStatus.SENT).update(
        status=ChangeStatus.APPROVED, answered_at=clock.now(), answered_by=by_words, consent=consent[:300]
    )
    if changed != 1:
        raise Refused("This change note waits no more.")
    note.refresh_from_db()
    instalment = _bill(note)
    if note.days and commission.promised_on:
        promise(
            commission=commission,
            on=commission.promised_on + datetime.timedelta(days=note.days),
            reason=f"Change note {note.number}: {note.what}"[:200],
            by_words=by_words,
        )
    now = bundles.bundle(commission=commission, quote=note.quote)
    Approval.objects.filter(pk=before.pk, void_at__isnull=True).update(
        void_at=clock.now(), void_reason=f"change note {note.number}"
    )
    approval = Approval.objects.create(
        commission=commission,
        quote=note.quote,
        bundle=now,
        digest=bundles.digest(now),
        consent=consent,
        method=method,
        terms_version=bundles.TERMS_VERSION,
        access=access,
        by_words=by_words,
        at=clock.now(),
    )
    answer_question(commission=commission, key=f"change.answer:{note.number}", by_words=by_words)
    write_trail(
        actor=by_words,
        verb="approved a change",
        subject=commission.reference,
        facts={"number": note.number, "fingerprint": bundles.short(approval.digest)},
    )
    asked = note.quote.instalments.filter(event="dispatch", requested_at__isnull=False).exists()
    if instalment and asked:
        request_instalment(instalment=instalment)
    return approval


def _bill(note: ChangeNote) -> Instalment | None:
    if not note.gross_minor:
        return None
    last = note.quote.instalments.order_by("-number").first()
    return Instalment.objects.create(
        quote=note.quote,
        number=(last.number if last else 0) + 1,
        event="dispatch",
        words=f"change note {note.number}, before dispatch",
        minor=note.gross_minor,
        change_note=note,
    )


@transaction.atomic
def end_change(*, note: ChangeNote, by_client: bool, by_words: str) -> None:
    """
    Decline a change, or withdraw it: what was agreed stays as it is.

    Effects, in order: the note is closed only if it still waits; the question is answered; the trail says so.

    Raises:
        Refused: it waits no more.
    """
    status = ChangeStatus.DECLINED if by_client else ChangeStatus.WITHDRAWN
    changed = ChangeNote.objects.filter(pk=note.pk, status=ChangeStatus.SENT).update(
        status=status, answered_at=clock.now(), answered_by=by_words
    )
    if changed != 1:
        raise Refused("This change note waits no more.")
    commission = note.commission
    answer_question(commission=commission, key=f"change.answer:{note.number}", by_words=by_words)
    write_trail(
        actor=by_words,
        verb=f"{status.label.lower()} a change",
        subject=commission.reference,
        facts={"number": note.number},
    )
