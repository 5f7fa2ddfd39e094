"""Money: the ledger that only grows, the quotation, the agreement, the plan of instalments."""

from commissions.money.models.agreement import Approval, Instalment, ShownBundle
from commissions.money.models.bank import BankDetails
from commissions.money.models.card import CardPayment
from commissions.money.models.change import ChangeNote, ChangeStatus
from commissions.money.models.commitment import Commitment, CommitmentKind
from commissions.money.models.exchange import Conversion, Rate
from commissions.money.models.ledger import Account, Entry, Kind, Period, Posting
from commissions.money.models.papers import FrozenPaper, PaperKind, Series
from commissions.money.models.prices import Price, PriceKind, PriceList, TaxCode
from commissions.money.models.quote import LineKind, Quote, QuoteLine, QuoteStatus
from commissions.money.models.rule import BookRule, SaleRule, TaxPoint
from commissions.money.models.statement import BankLine, LineForm, LineState
from commissions.money.models.withdrawal import Withdrawal, WithdrawalRight

__all__ = [
    "Account",
    "Approval",
    "BankDetails",
    "BankLine",
    "BookRule",
    "CardPayment",
    "ChangeNote",
    "ChangeStatus",
    "Commitment",
    "CommitmentKind",
    "Conversion",
    "Entry",
    "FrozenPaper",
    "Instalment",
    "Kind",
    "LineForm",
    "LineKind",
    "LineState",
    "PaperKind",
    "Period",
    "Posting",
    "Price",
    "PriceKind",
    "PriceList",
    "Quote",
    "QuoteLine",
    "QuoteStatus",
    "Rate",
    "SaleRule",
    "Series",
    "ShownBundle",
    "TaxCode",
    "TaxPoint",
    "Withdrawal",
    "WithdrawalRight",
]
