"""What a wearer does first, before anybody answers; safety before everything else."""

from __future__ import annotations

from dataclasses import dataclass

from django.utils.translation import gettext_lazy as _

from commissions.delivery.models import Sign


@dataclass(frozen=True, kw_only=True)
class First:
    """What to do at once; ``urgent`` where the ring must not be worn until somebody has looked."""

    words: str
    urgent: bool = False


_OFF = _(
    "Take the ring off now, over a table or a towel. Put it in a small bag or a box by itself, with anything that fell "
    "out. Do not press, glue or clean it, and do not rinse it over a drain."
)

FIRST: dict[str, First] = {
    Sign.MISSING: First(words=_OFF, urgent=True),
    Sign.LOOSE: First(words=_OFF, urgent=True),
    Sign.CLAW: First(
        words=_(
            "Take the ring off and keep it in a small bag. A claw that is bent once may let go at the next knock; do not "
            "bend it back."
        ),
        urgent=True,
    ),
    Sign.SNAG: First(
        words=_(
            "Wear it no more until we have seen it: what catches on cloth lifts a claw a little further each time."
        ),
        urgent=True,
    ),
    Sign.BENT: First(
        words=_(
            "Take the ring off. If it does not come off, or the finger swells or changes colour, go to a doctor or an "
            "emergency room at once: they can cut it, and we can mend it."
        ),
        urgent=True,
    ),
    Sign.SIZE: First(
        words=_(
            "Do not force it. If it will not come off and the finger swells or changes colour, see a doctor at once. "
            "Cold water, a raised hand and a drop of soap often help."
        )
    ),
    Sign.SKIN: First(
        words=_(
            "Take it off and let the skin dry. Soap left under a band is the commonest cause; if it stays or blisters, "
            "ask a doctor. Tell us, so that we look at the alloy."
        )
    ),
    Sign.OTHER: First(
        words=_("If anything about it could let a stone go, take it off until we have answered.")
    ),
}
"""Common practice, no source; where a hand or skin is concerned a doctor comes first."""

ADVICE_WORDS = {
    "wear": _("You can wear it on."),
    "send": _("Stop wearing it, and send it to us. Wait until we have told you how."),
    "nearby": _(
        "Stop wearing it, and let a jeweller near you look at it before anything else happens to it."
    ),
}
