"""What is typed in the stones' room."""

from commissions.sourcing.forms.checking import CheckInForm, PhotoForm
from commissions.sourcing.forms.conditions import ConditionForm, ConditionSaid, SameSaid
from commissions.sourcing.forms.melee import LotForm, MoveForm
from commissions.sourcing.forms.stones import Candidate, Carats
from commissions.sourcing.forms.turning import MarkForm, TurnForm

__all__ = [
    "Candidate",
    "Carats",
    "CheckInForm",
    "ConditionForm",
    "ConditionSaid",
    "LotForm",
    "MarkForm",
    "MoveForm",
    "PhotoForm",
    "SameSaid",
    "TurnForm",
]
