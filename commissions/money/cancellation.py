"""The cancellation statement, computed from the ledger and the commitments: what is kept, why, and the refund."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from commissions.money import queries
from commissions.money.models import Commitment
from commissions.money.plans import share_of
from commissions.record.models import Commission
from commissions.record.route import Stage


@dataclass(frozen=True, kw_only=True)
class Statement:
    """
    What would follow if the commission ended now, in minor units.

    ``kept`` is what was committed and cannot be got back, never more than was paid; ``refund`` is the rest.
    """

    rows: list[Commitment]
    settled: int
    held: int
    sold: int
    spent: int
    recoverable: int
    kept: int
    refund: int
    tax_before: int
    tax_kept: int

    @property
    def uncovered(self) -> int:
        """What is lost to us: committed beyond what was paid."""
        return max(0, self.spent - self.recoverable - self.settled)


def statement(*, commission: Commission) -> Statement:
    """
    The statement of a commission as things stand.

    Before the client has the ring all that was settled is held, or a sale where the studio's rule books it
    earlier, or tax on it; what is kept is the cost that cannot be recovered, a true estimate of loss and no more.
    """
    rows = list(queries.commitments(commission=commission).order_by("id"))
    spent = sum(row.minor for row in rows)
    recoverable = sum(row.recoverable_minor for row in rows)
    held = max(0, queries.held(commission=commission))
    tax = queries.tax_entered(commission=commission)
    sold = max(0, queries.sold(commission=commission)) if commission.stage != Stage.CARE else 0
    paid = held + sold + tax
    kept = min(paid, spent - recoverable)
    return Statement(
        rows=rows,
        settled=paid,
        held=held,
        sold=sold,
        spent=spent,
        recoverable=recoverable,
        kept=kept,
        refund=paid - kept,
        tax_before=tax,
        tax_kept=share_of(total_minor=tax, share=Fraction(kept, paid)) if paid else 0,
    )
