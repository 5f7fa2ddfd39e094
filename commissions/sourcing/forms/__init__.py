"""What is typed in the stones' room."""

from commissions.sourcing.forms.checking import CheckInForm, PhotoForm
from commissions.sourcing.forms.stones import Candidate, Carats

__all__ = ["Candidate", "Carats", "CheckInForm", "PhotoForm"]
