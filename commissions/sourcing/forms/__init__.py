"""What is typed in the stones' room."""

from commissions.sourcing.forms.approvals import BuyForm, ExtendForm, ReturnForm, WriteOffForm
from commissions.sourcing.forms.checking import CheckInForm, PhotoForm
from commissions.sourcing.forms.conditions import ConditionForm, ConditionSaid, SameSaid
from commissions.sourcing.forms.melee import LotForm, MoveForm
from commissions.sourcing.forms.reports import WorkToReport
from commissions.sourcing.forms.stones import Candidate, Carats
from commissions.sourcing.forms.turning import MarkForm, NorthForm, TurnForm

__all__ = [
    "BuyForm",
    "Candidate",
    "Carats",
    "CheckInForm",
    "ConditionForm",
    "ConditionSaid",
    "ExtendForm",
    "LotForm",
    "MarkForm",
    "MoveForm",
    "NorthForm",
    "PhotoForm",
    "ReturnForm",
    "SameSaid",
    "TurnForm",
    "WorkToReport",
    "WriteOffForm",
]
