"""When payments become a sale and when the tax on them is due, by the studio's rule of that moment."""

from __future__ import annotations

from fractions import Fraction

from django.db import transaction

from commissions.money.actions.posting import credit, debit, post
from commissions.money.models import BookRule, Entry, SaleRule, TaxPoint
from commissions.money.plans import share_of
from commissions.record.errors import Refused
from commissions.record.models import Commission
from commissions.record.route import Stage
from studio import clock
from studio.people.models import Person
from studio.trail.actions import record as write_trail


@transaction.atomic
def keep_rule(*, sale: str, tax: str, why: str, person: Person) -> BookRule:
    """
    Set when sales and their tax are booked, for entries from now on; what stands in the ledger stays as it is.

    Effects, in order: the rule is written; the trail says so.

    Raises:
        Refused: the person is not an owner, or it does not say on whose advice.
    """
    if not person.is_owner:
        raise Refused("Only an owner sets how the books are kept.")
    if not why.strip():
        raise Refused("Say who advised it, or where it stands.")
    made = BookRule.objects.create(
        sale=SaleRule(sale), tax=TaxPoint(tax), why=why.strip(), made_by=person, made_at=clock.now()
    )
    write_trail(
        actor=person,
        verb="set when sales are booked",
        subject=f"rule:{made.pk}",
        facts={"sale": made.sale, "tax": made.tax},
    )
    return made


def _is_sold(commission: Commission, rule: BookRule) -> bool:
    """Whether what comes in for it now is a sale at once."""
    if rule.sale == SaleRule.PAYMENT or commission.stage == Stage.CARE:
        return True
    return rule.sale == SaleRule.COMPLETION and commission.stage == Stage.HANDOVER


def account_of_payments(*, commission: Commission) -> str:
    """The account that a payment for *commission* is credited to now."""
    from commissions.money.queries import book_rule

    return "sales-rings" if _is_sold(commission, book_rule()) else "held"


def tax_in(*, commission: Commission, minor: int) -> int:
    """
    The tax in a receipt: the tax of the agreed price in proportion to all that is settled with it, less what
    was entered before, so that the last receipt brings it to the sum of the rounded lines exactly.

    Nought where the tax point is the sale and this is none yet.
    """
    from commissions.money import queries

    rule = queries.book_rule()
    sums = queries.agreed_sums(commission=commission)
    if not sums["tax"] or not sums["gross"]:
        return 0
    if rule.tax == TaxPoint.SALE and not _is_sold(commission, rule):
        return 0
    paid = min(queries.settled(commission=commission) + minor, sums["gross"])
    due = share_of(total_minor=sums["tax"], share=Fraction(paid, sums["gross"]))
    return max(0, min(minor, due - queries.tax_entered(commission=commission)))


@transaction.atomic
def recognise_at_completion(*, commission: Commission, by_words: str) -> Entry | None:
    """
    The ring has passed its last check: the sale is booked, where that is the studio's rule; None otherwise.

    Effects: as at handover (see :func:`recognise_at_handover`).
    """
    from commissions.money.queries import book_rule

    if book_rule().sale != SaleRule.COMPLETION:
        return None
    return _recognise(
        commission=commission, kind="completion", memo="The ring passed its last check", by_words=by_words
    )


@transaction.atomic
def recognise_at_handover(*, commission: Commission, by_words: str) -> Entry | None:
    """
    What was held becomes a sale: the client has the ring. None where nothing is held and nothing is in stock.

    Effects: instalments held are debited, tax due and sales are credited; stones and metal bought for it go
    from stock to the cost of rings. A repeat takes only what has come in since.
    """
    return _recognise(
        commission=commission, kind="handover", memo="The client has the ring", by_words=by_words
    )


def _recognise(*, commission: Commission, kind: str, memo: str, by_words: str) -> Entry | None:
    from commissions.money import queries

    Commission.objects.select_for_update().get(pk=commission.pk)
    held = max(0, queries.held(commission=commission))
    stock = queries.stock(commission=commission)
    if not held and not any(stock.values()):
        return None
    tax = queries.agreed_sums(commission=commission)["tax"]
    tax = max(0, min(tax - queries.tax_entered(commission=commission), held))
    before = Entry.objects.filter(commission=commission, kind=kind).count()
    key = f"{kind}:{commission.reference}" + (f":{before}" if before else "")
    return post(
        key=key,
        kind=kind,
        currency=commission.currency,
        lines=[
            debit("held", held, commission=commission),
            credit("tax-due", tax, commission=commission),
            credit("sales-rings", held - tax, commission=commission),
            debit("cost-rings", sum(stock.values()), commission=commission),
            *[credit(code, minor, commission=commission) for code, minor in stock.items()],
        ],
        memo=memo,
        by_words=by_words,
        source=key,
        commission=commission,
    )
