"""The words a draft begins with; the jeweller changes them as they like."""

from __future__ import annotations

from django.utils import translation
from django.utils.translation import gettext as now_in
from django.utils.translation import gettext_lazy as _
from django.utils.translation import ngettext

from commissions.record.models import Commission, StageMove
from commissions.record.route import ROUTE, Stage

STEPS = {
    Stage.DESIGN: _("We have begun to draw your ring. You will see the first design on your page."),
    Stage.STONES: _("The direction is agreed. We are now looking for the stones."),
    Stage.AGREEMENT: _("The stones are chosen, and our quotation is on your page."),
    Stage.MODEL: _("Everything is agreed and work has begun: we are making the model."),
    Stage.CASTING: _("The model is ready, and the metal is being cast."),
    Stage.MOUNTING: _("The mount of your ring is on the bench."),
    Stage.SETTING: _("The mount is ready, and the stones are being set."),
    Stage.FINISHING: _("The stones are set. Your ring is now being finished and polished."),
    Stage.MARKING: _("Your ring is finished and is now being marked."),
    Stage.CHECKING: _("Your ring is now being checked, measure by measure."),
    Stage.HANDOVER: _("Your ring has passed its check. We are getting it ready to travel."),
    Stage.CARE: _("Your ring has arrived. From here on we look after it together with you."),
}
SMALL_STEPS = {
    Stage.AGREEMENT: _("We have opened a small job on your ring. What is to be done stands on your page."),
    Stage.MOUNTING: _("Your ring is on the bench, and work on it has begun."),
    Stage.SETTING: _("The work on the metal is done, and every stone is tried again."),
    Stage.FINISHING: _("Your ring is now being finished and polished."),
}
"""Steps of a small job that read differently from those of a ring that is being made."""
BACK = _("As agreed, we have gone back to the drawing. You will see the next design on your page.")
NEUTRAL = _("There is news for you. You can read it on your page.")


def of_move(*, move: StageMove, commission: Commission, language: str) -> tuple[str, str]:
    """Subject and words of the letter about a move, in the reader's language; neutral for a surprise."""
    with translation.override(language):
        if commission.discreet:
            return now_in("To read: news for you"), str(NEUTRAL)
        back = move.frm and ROUTE.index(move.to) < ROUTE.index(move.frm)
        steps = STEPS | SMALL_STEPS if commission.ring_id else STEPS
        return now_in("To read: a step forward"), str(BACK if back else steps[Stage(move.to)])


def of_photos(*, count: int, commission: Commission, language: str) -> tuple[str, str]:
    """Subject and words of the letter about *count* new photos."""
    with translation.override(language):
        if commission.discreet:
            return now_in("To read: news for you"), str(NEUTRAL)
        words = ngettext(
            "There is a new photo of your ring. It is on your page, with its caption and scale.",
            "There are %(count)d new photos of your ring. They are on your page, with captions and scale.",
            count,
        )
        return now_in("To look at: news from the bench"), words % {"count": count}


def of_turn(*, language: str) -> str:
    """Subject of any letter after which the client has something to answer."""
    with translation.override(language):
        return now_in("Your turn: one question is waiting")
