"""Agreeing: the client's approval of one bundle, and the door to the bench."""

from __future__ import annotations

from django.db import transaction
from django.utils.translation import gettext as _

from commissions.money import bundle as bundles
from commissions.money.models import Approval, Quote, QuoteStatus, ShownBundle
from commissions.record.actions import advance, answer_questions, open_question
from commissions.record.errors import Missing, Refused
from commissions.record.models import Commission, StageMove
from commissions.record.route import Turn
from studio import clock
from studio.people.models import ClientAccess, Person
from studio.trail.actions import record as write_trail


def approve(
    *,
    quote: Quote,
    shown_digest: str,
    consent: str,
    method: str,
    by_words: str,
    access: ClientAccess | None = None,
    confirmed: dict[str, str] | None = None,
) -> Approval:
    """
    Keep the client's agreement to exactly what was shown.

    Effects, in order: the bundle is built anew and compared with what was shown; the quotation becomes
    *accepted* only if it still is the one that was sent; the approval is written with its bundle, text,
    method, time and what was typed again to confirm it; the client's question is answered and the first
    instalment asked for; the trail says so.

    Raises:
        Refused: something has changed since the page was shown (it says what), or the offer has ended.
    """
    # Kept even though the approval is refused: outside the transaction of the approval.
    if quote.valid_until and quote.valid_until < clock.today():
        Quote.objects.filter(pk=quote.pk, status=QuoteStatus.SENT).update(status=QuoteStatus.EXPIRED)
        raise Refused("This offer has ended. Ask us for a new one.")
    with transaction.atomic():
        return _approve(
            quote=quote,
            shown_digest=shown_digest,
            consent=consent,
            method=method,
            by_words=by_words,
            access=access,
            confirmed=confirmed or {},
        )


@transaction.atomic
def keep_shown(*, quote: Quote, bundle: dict) -> ShownBundle:
    """
    Keep a bundle as it is put before the client.

    Effects: one row for each bundle that was ever shown of a quotation, with the time of the first showing.
    """
    digest = bundles.digest(bundle)
    shown, _made = ShownBundle.objects.get_or_create(
        quote=quote, digest=digest, defaults={"bundle": bundle, "at": clock.now()}
    )
    return shown


def _approve(
    *,
    quote: Quote,
    shown_digest: str,
    consent: str,
    method: str,
    by_words: str,
    access: ClientAccess | None,
    confirmed: dict[str, str],
) -> Approval:
    from commissions.money import queries

    commission = quote.commission
    now = bundles.bundle(commission=commission, quote=quote)
    digest = bundles.digest(now)
    if digest != shown_digest:
        raise Refused(
            _("Something has changed since this page was shown. Please read it again before you agree."),
            *queries.changed_since(quote=quote, shown_digest=shown_digest, now=now),
        )
    changed = Quote.objects.filter(pk=quote.pk, status=QuoteStatus.SENT).update(status=QuoteStatus.ACCEPTED)
    if changed != 1:
        raise Refused("A newer quotation has been sent. Please read that one.")
    quote.status = QuoteStatus.ACCEPTED
    Approval.objects.filter(commission=commission, void_at__isnull=True).update(
        void_at=clock.now(), void_reason="replaced by a newer approval"
    )
    approval = Approval.objects.create(
        commission=commission,
        quote=quote,
        bundle=now,
        digest=digest,
        consent=consent,
        confirmed=confirmed,
        method=method,
        terms_version=bundles.TERMS_VERSION,
        access=access,
        by_words=by_words,
        at=clock.now(),
    )
    answer_questions(commission=commission, prefix="quote.", by_words=by_words)
    write_trail(
        actor=by_words,
        verb="agreed",
        subject=commission.reference,
        facts={"fingerprint": bundles.short(digest), "quote": quote.version},
    )
    from commissions.money.actions.receiving import request_instalment

    request_instalment(instalment=quote.instalments.order_by("number").first())
    return approval


@transaction.atomic
def void_approval(*, commission: Commission, reason: str, by_words: str) -> int:
    """
    End the approval that stands, because what was agreed has changed.

    Effects, in order: it is marked void with its reason; the trail says so. How many there were.
    """
    changed = Approval.objects.filter(commission=commission, void_at__isnull=True).update(
        void_at=clock.now(), void_reason=reason
    )
    if changed:
        write_trail(
            actor=by_words, verb="approval void", subject=commission.reference, facts={"reason": reason}
        )
    return changed


@transaction.atomic
def start_work(*, commission: Commission, to: str, person: Person, override_reason: str = "") -> StageMove:
    """
    The door from Agreement to the bench.

    Effects, in order: the approval is proved to stand and to be what is there now; the first instalment
    is settled, or the owner's choice to begin without it is recorded with its reason; the stage moves;
    the questions of the agreement are closed.

    Raises:
        Refused: the approval does not stand, differs, or the first instalment is not settled.
    """
    from commissions.money import queries

    path = f"/studio/commissions/{commission.reference}/money/"
    approval = queries.standing_approval(commission=commission)
    if approval is None:
        raise Refused(Missing(words="The client has not agreed to the quotation yet.", path=path))
    changed = queries.approval_differences(commission=commission)
    if changed:
        raise Refused(*[Missing(words=f"What was agreed has changed: {row}", path=path) for row in changed])
    evidence: dict = {"fingerprint": bundles.short(approval.digest)}
    first = approval.quote.instalments.order_by("number").first()
    if first and queries.settled(commission=commission) < first.minor:
        if not override_reason.strip():
            raise Refused(Missing(words="The first instalment is not settled yet.", path=path))
        if not person.is_owner:
            raise Refused("Only the owner may begin before the first instalment is settled.")
        evidence["override"] = override_reason
    move = advance(commission=commission, to=to, door="money.start_work", person=person, evidence=evidence)
    answer_questions(commission=commission, prefix="money.first-instalment", by_words=str(person))
    answer_questions(commission=commission, prefix="bench.begin", by_words=str(person))
    if override_reason.strip():
        write_trail(
            actor=person,
            verb="began before the first instalment",
            subject=commission.reference,
            facts={"reason": override_reason},
        )
    return move


def ask_to_begin(*, commission: Commission) -> None:
    """
    Open the question that the bench can begin.

    Effects: the question ``bench.begin`` is opened to us.
    """
    open_question(
        commission=commission,
        key="bench.begin",
        addressee=Turn.US,
        words="Begin at the bench",
        client_words="We begin to make your ring",
        path=f"/studio/bench/{commission.reference}/",
        due_on=clock.add_working_days(clock.today(), 3),
    )
