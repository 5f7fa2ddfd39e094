"""What is typed in the design room."""

from commissions.design.forms.client import ClientAnswer, Reason, Two
from commissions.design.forms.comments import CommentAnswer, NewComment, Reopen
from commissions.design.forms.fields import Millimetres
from commissions.design.forms.files import Fitted, NewFile, NewScan, Opening
from commissions.design.forms.parameters import CUTS, Parameters, Variation
from commissions.design.forms.sending import Send, Terms, terms_typed

__all__ = [
    "CUTS",
    "ClientAnswer",
    "CommentAnswer",
    "Fitted",
    "Millimetres",
    "NewComment",
    "NewFile",
    "NewScan",
    "Opening",
    "Parameters",
    "Reason",
    "Reopen",
    "Send",
    "Terms",
    "Two",
    "Variation",
    "terms_typed",
]
