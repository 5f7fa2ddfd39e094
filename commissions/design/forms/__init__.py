"""What is typed in the design room."""

from commissions.design.forms.client import ClientAnswer, Reason
from commissions.design.forms.fields import Millimetres
from commissions.design.forms.parameters import CUTS, Parameters

__all__ = ["CUTS", "ClientAnswer", "Millimetres", "Parameters", "Reason"]
