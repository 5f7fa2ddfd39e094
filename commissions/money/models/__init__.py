"""Money: the ledger that only grows, the quotation, the agreement, the plan of instalments."""

from commissions.money.models.agreement import Approval, Instalment
from commissions.money.models.ledger import Account, Entry, Kind, Period, Posting
from commissions.money.models.quote import LineKind, Quote, QuoteLine, QuoteStatus

__all__ = [
    "Account",
    "Approval",
    "Entry",
    "Instalment",
    "Kind",
    "LineKind",
    "Period",
    "Posting",
    "Quote",
    "QuoteLine",
    "QuoteStatus",
]
