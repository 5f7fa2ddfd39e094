"""How long everything is kept: the rows of one page, with the very figures that the sweep works with."""

from __future__ import annotations

from dataclasses import dataclass

from django.conf import settings

from commissions.delivery.actions.addressing import KEPT_DAYS
from commissions.intake.actions.writing import DECLINED_DAYS, DRAFT_DAYS, UNANSWERED_DAYS
from commissions.pages.keeping.actions import UNAGREED_DAYS
from studio.people.actions.sessions import ENDED_SESSION_DAYS


@dataclass(frozen=True, kw_only=True)
class Rule:
    """One kind of data: how long it is kept, and why; ``by_itself`` where the sweep removes it."""

    what: str
    kept: str
    why: str
    by_itself: bool = True


def rules() -> list[Rule]:
    """The whole schedule, the shortest first."""
    session_days = settings.SESSION_COOKIE_AGE // (24 * 3600)
    return [
        Rule(
            what="One-time codes",
            kept=f"{settings.SIGN_IN_CODE_MINUTES} minutes; their traces one day",
            why="A code that is over opens nothing. Only its hash is ever kept.",
        ),
        Rule(
            what="Sign-ins of the studio's people",
            kept=f"{session_days} days after they were last renewed",
            why="Nobody stays signed in for ever.",
        ),
        Rule(
            what="Clients' devices",
            kept=f"{ENDED_SESSION_DAYS} days after they were signed out",
            why="So that a question about a strange device can still be answered.",
        ),
        Rule(
            what="Briefs that were begun and not sent, with their pictures",
            kept=f"{DRAFT_DAYS} days after they were last touched",
            why="The page says so when it is begun. The client can remove it at once.",
        ),
        Rule(
            what="Addresses of parcels",
            kept=f"{KEPT_DAYS} days after proof of arrival",
            why="Long enough for a claim to the carrier. Sealed in the database all the while.",
        ),
        Rule(
            what="Briefs we said no to, with their pictures",
            kept=f"{DECLINED_DAYS} days after our answer",
            why="Some come back within the year.",
        ),
        Rule(
            what="Briefs that were never answered, with their pictures",
            kept=f"{UNANSWERED_DAYS} days after they were sent",
            why="Common practice, no source.",
        ),
        Rule(
            what="Briefs of pieces that were withdrawn before anything was agreed, and the way in of a client "
            "who has nothing else with us",
            kept=f"{UNAGREED_DAYS} days after the piece was withdrawn",
            why="Common practice, no source.",
        ),
        Rule(
            what="What was agreed, receipts, invoices and the ledger",
            kept=f"{settings.ACCOUNTS_YEARS} years after the year of the last entry, at least",
            why="Accounts have to be kept by law, in most places six or seven years, in some ten: ask your "
            "accountant, and set RINGWRIGHT_ACCOUNTS_YEARS. Nothing is removed by itself while a client has not "
            "asked to be forgotten, since a ring is looked after for decades.",
            by_itself=False,
        ),
        Rule(
            what="The name of a client who was erased, sealed, and the files of their papers",
            kept=f"until the end of the {settings.ACCOUNTS_YEARS} years",
            why="What the accounts need and no more.",
        ),
        Rule(
            what="The ring's record, its photographs, weights and steps",
            kept="as long as the studio stands",
            why="They say how a ring was made, and name no client.",
            by_itself=False,
        ),
        Rule(
            what="The trail",
            kept="as long as the studio stands",
            why="It holds keys in the place of clients' names, and would no longer prove anything if parts went.",
            by_itself=False,
        ),
        Rule(
            what="Backups",
            kept="as long as you keep the files",
            why="Throw old ones away, above all after somebody was erased: they still hold what went.",
            by_itself=False,
        ),
    ]
