"""The questions of the brief, in their order."""

from __future__ import annotations

from commissions.intake.forms.base import Asked
from commissions.intake.forms.hand import Hand, Size
from commissions.intake.forms.metal import Allergy, Metal
from commissions.intake.forms.occasion import Contact, Destination, NeededBy, Occasion, Surprise
from commissions.intake.forms.pictures import Pictures
from commissions.intake.forms.ring import Budget, Dislikes, Look, StoneWish
from commissions.intake.forms.you import Email, Name

SCHEMA = 1
"""Version of the questions, kept with every brief; raised when a stored answer would read differently."""

QUESTIONS: list[type[Asked]] = [
    Occasion,
    NeededBy,
    Surprise,
    Contact,
    Destination,
    Budget,
    StoneWish,
    Look,
    Dislikes,
    Pictures,
    Metal,
    Allergy,
    Hand,
    Size,
    Name,
    Email,
]

BY_SLUG = {question.slug: question for question in QUESTIONS}

GROUPS = [
    ("occasion", [Occasion, NeededBy, Surprise, Contact, Destination]),
    ("ring", [Budget, StoneWish, Look, Dislikes, Pictures, Metal, Allergy]),
    ("hand", [Hand, Size]),
    ("you", [Name, Email]),
]
"""The same questions as the check page and the studio read them."""
