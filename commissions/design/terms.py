"""Reads of what is included: how many revisions, how many were used, what the next one costs."""

from __future__ import annotations

from dataclasses import dataclass

from django.db.models import F, Q
from django.utils.translation import gettext as _

from commissions.design.models import Revision, RevisionTerm, Status
from commissions.record.models import Commission
from studio import amounts


@dataclass(frozen=True, kw_only=True)
class Included:
    """How the revisions of a commission stand against what its price includes."""

    included: int
    letters: list[str]
    price_minor: int | None
    currency: str

    @property
    def used(self) -> int:
        """Revisions that were sent and count."""
        return len(self.letters)

    @property
    def left(self) -> int:
        """Revisions that are still included."""
        return max(self.included - self.used, 0)

    @property
    def beyond(self) -> bool:
        """Whether the next revision is beyond what is included."""
        return self.used >= self.included

    @property
    def price(self) -> str:
        """What a further revision costs, in words; empty where no price was said."""
        if self.price_minor is None:
            return ""
        return amounts.written(minor=self.price_minor, currency=self.currency)

    @property
    def words(self) -> str:
        """What the client is told before they ask for a change."""
        used = _("%(used)d of %(included)d revisions included are used.") % {
            "used": min(self.used, self.included),
            "included": self.included,
        }
        if not self.price:
            return used
        if self.beyond:
            further = _("The next one costs %(price)s. We ask you before we draw it.")
        else:
            further = _("A further one beyond these costs %(price)s.")
        return f"{used} {further % {'price': self.price}}"


def usual(*, currency: str) -> RevisionTerm | None:
    """What the studio usually includes, in one currency."""
    return RevisionTerm.objects.filter(commission=None, currency=currency).order_by("-id").first()


def included(*, commission: Commission) -> Included | None:
    """How the revisions of a commission stand; None where nothing was said about them yet. Two queries."""
    term = (
        RevisionTerm.objects.filter(
            Q(commission=commission) | Q(commission=None), currency=commission.currency
        )
        .order_by(F("commission").desc(nulls_last=True), "-id")
        .first()
    )
    if term is None:
        return None
    letters = list(
        Revision.objects.filter(commission=commission, uncounted__isnull=True)
        .exclude(status=Status.DRAFT)
        .order_by("id")
        .values_list("letter", flat=True)
    )
    return Included(
        included=term.included, letters=letters, price_minor=term.price_minor, currency=term.currency
    )
