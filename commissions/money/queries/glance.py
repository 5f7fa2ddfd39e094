"""Money at a glance: one row a piece; the number of queries does not grow with them."""

from __future__ import annotations

import datetime
from collections import defaultdict
from dataclasses import dataclass

from django.db.models import F, Sum

from commissions.money.accounts import MONEY_IN
from commissions.money.models import Account, Instalment, Posting, QuoteStatus
from commissions.money.queries.balances import commitments
from commissions.record.models import Commission, Question
from commissions.record.route import Stage, State, Turn
from studio import clock


@dataclass(kw_only=True)
class PieceRow:
    """What one piece stands for in money, minor units of its currency."""

    commission: Commission | None = None
    agreed: int = 0
    settled: int = 0
    held: int = 0
    committed: int = 0
    next_minor: int = 0
    next_words: str = ""

    @property
    def cover(self) -> float | None:
        """Settled divided by committed; None where nothing is committed."""
        return self.settled / self.committed if self.committed > 0 else None

    @property
    def uncovered(self) -> int:
        """What is committed beyond what was paid."""
        return max(0, self.committed - self.settled)

    @property
    def has_the_ring(self) -> bool:
        """Whether the client has it: nobody walks away any more."""
        return self.commission is not None and self.commission.stage == Stage.CARE

    @property
    def goes_back(self) -> int:
        """What would be paid back if the client walked away today: what was paid beyond what is lost."""
        return max(0, self.settled - max(0, self.committed))

    @property
    def bar(self) -> int:
        """Width of the bar out of 100: full where all that is committed is covered."""
        return 100 if self.cover is None else min(100, max(0, round(self.cover * 100)))


def _sums() -> tuple[dict[int, PieceRow], dict[str, int]]:
    """
    Every open piece with money in it, by key of the commission, and what is held in all, by currency.

    The database adds up: one pass over an index of the postings, whose groups are as many as pieces.
    """
    rows: defaultdict[int, PieceRow] = defaultdict(PieceRow)
    held: dict[str, int] = {}
    currencies = dict(Commission.objects.filter(state=State.OPEN).values_list("pk", "currency"))
    accounts = {
        pk: (code, currency)
        for pk, code, currency in Account.objects.filter(code__in=(*MONEY_IN, "held")).values_list(
            "pk", "code", "currency"
        )
    }
    for account, key, total in (
        Posting.objects.filter(account__in=accounts)
        .order_by()
        .values_list("account", "commission")
        .annotate(total=Sum("minor"))
    ):
        code, currency = accounts[account]
        if code == "held":
            held[currency] = held.get(currency, 0) - total
        if currencies.get(key) != currency:
            continue
        if code == "held":
            rows[key].held -= total
        else:
            rows[key].settled += total
    spent = commitments(commission__state=State.OPEN)
    for key, total in _grouped(spent, "commission", Sum(F("minor") - F("recoverable_minor"))):
        rows[key].committed = total
    plans = Instalment.objects.filter(quote__status=QuoteStatus.ACCEPTED, quote__commission__state=State.OPEN)
    for key, total in _grouped(plans, "quote__commission", Sum("minor")):
        rows[key].agreed = total
    return rows, {currency: total for currency, total in sorted(held.items()) if total}


def _grouped(rows, by: str, total) -> list[tuple[int, int]]:
    return list(rows.order_by().values_list(by).annotate(total=total))


@dataclass(frozen=True, kw_only=True)
class Glance:
    """
    The pieces least covered; what is held in all, by currency; and what is committed beyond what was paid: by
    currency, minor units and pieces.
    """

    rows: list[PieceRow]
    held: dict[str, int]
    uncovered: dict[str, tuple[int, int]]
    more: int


def per_piece(*, limit: int = 50) -> Glance:
    """Open pieces with money in them, the least covered first, at most *limit*; the database adds up."""
    sums, held = _sums()
    in_order = sorted(
        sums.items(),
        key=lambda item: (-item[1].uncovered, item[1].cover if item[1].cover is not None else 99, item[0]),
    )
    first = in_order[:limit]
    commissions = Commission.objects.select_related("client").in_bulk([key for key, _row in first])
    for key, row in first:
        row.commission = commissions[key]
    _next(dict(first))
    return Glance(
        rows=[row for _key, row in first],
        held=held,
        uncovered=_uncovered(sums),
        more=max(0, len(in_order) - limit),
    )


def _uncovered(sums: dict[int, PieceRow]) -> dict[str, tuple[int, int]]:
    rows = {key: row for key, row in sums.items() if row.uncovered}
    currencies = dict(Commission.objects.filter(pk__in=rows).values_list("pk", "currency")) if rows else {}
    found: dict[str, tuple[int, int]] = {}
    for key, row in rows.items():
        total, pieces = found.get(currencies[key], (0, 0))
        found[currencies[key]] = (total + row.uncovered, pieces + 1)
    return found


def _next(rows: dict[int, PieceRow]) -> None:
    before: dict[int, int] = {}
    for key, minor, words in (
        Instalment.objects.filter(quote__status=QuoteStatus.ACCEPTED, quote__commission__in=rows)
        .order_by("quote_id", "number")
        .values_list("quote__commission", "minor", "words")
    ):
        piece = rows[key]
        before[key] = before.get(key, 0) + minor
        missing = min(minor, min(before[key], piece.agreed) - piece.settled)
        if missing > 0 and not piece.next_minor:
            piece.next_minor, piece.next_words = missing, words


@dataclass(frozen=True, kw_only=True)
class DueRow:
    """An instalment that was asked for, with what is still missing of it, minor units."""

    question: Question
    minor: int
    currency: str


def due(*, days: int = 7, limit: int = 500) -> tuple[list[DueRow], list[DueRow]]:
    """Instalments asked for that are overdue, and those due within *days*, with their sums; three queries."""
    today = clock.today()
    questions = list(
        Question.objects.filter(
            answered_at__isnull=True,
            addressee=Turn.CLIENT,
            key__regex=r"^money\.(first-)?instalment",
            due_on__lte=today + datetime.timedelta(days=days),
        )
        .select_related("commission__client")
        .order_by("due_on", "id")[:limit]
    )
    keys = {row.commission_id for row in questions}
    settled = dict(
        _grouped(
            Posting.objects.filter(
                commission__in=keys,
                account__code__in=MONEY_IN,
                account__currency=F("commission__currency"),
            ),
            "commission",
            Sum("minor"),
        )
    )
    plans: defaultdict[int, list[tuple[int, int]]] = defaultdict(list)
    for key, number, minor in (
        Instalment.objects.filter(quote__status=QuoteStatus.ACCEPTED, quote__commission__in=keys)
        .order_by("quote_id", "number")
        .values_list("quote__commission", "number", "minor")
    ):
        plans[key].append((number, minor))
    rows = [
        DueRow(
            question=row,
            minor=missing_of(
                plan=plans[row.commission_id],
                number=1 if row.key == "money.first-instalment" else int(row.key.rpartition(":")[2]),
                settled=settled.get(row.commission_id, 0),
            ),
            currency=row.commission.currency,
        )
        for row in questions
    ]
    return (
        [row for row in rows if row.question.due_on < today],
        [row for row in rows if row.question.due_on >= today],
    )


def missing_of(*, plan: list[tuple[int, int]], number: int, settled: int) -> int:
    """What is missing of one instalment after all before it are settled (see balances.plan_rows)."""
    total, before = sum(minor for _number, minor in plan), 0
    for row, minor in plan:
        upto = min(before + minor, total)
        if row == number:
            return max(0, min(upto - before, upto - settled))
        before += minor
    return 0


def sums_of(rows: list[DueRow]) -> list[tuple[str, int]]:
    """What *rows* come to, by currency."""
    found: dict[str, int] = {}
    for row in rows:
        found[row.currency] = found.get(row.currency, 0) + row.minor
    return sorted(found.items())
