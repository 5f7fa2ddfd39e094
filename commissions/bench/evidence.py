"""What other rooms know that a gate of the bench asks for; each function returns what is missing, in words."""

from __future__ import annotations

from collections.abc import Iterable

from commissions.bench import queries
from commissions.design import queries as design
from commissions.intake.queries import brief_by_reference
from commissions.record.errors import Missing
from commissions.record.models import Commission
from commissions.sourcing import queries as sourcing
from commissions.sourcing.models import StoneState
from commissions.sourcing.queries.stones import GONE
from gemcalc.alloys import find


def alloy_of(*, commission: Commission) -> str:
    """Name of the alloy that was agreed; empty where no design is."""
    revision = design.agreed(commission=commission)
    return find(name=revision.parameters["metal"]).name if revision else ""


def alloy_is_allowed(*, commission: Commission) -> Iterable[Missing]:
    """An allergy that is not ruled out keeps nickel out; a name that does not tell needs a supplier's sheet that does."""
    brief = brief_by_reference(reference=commission.reference)
    answer = ((brief.answers if brief else {}) or {}).get("allergy", {}).get("allergy", "unknown")
    name = alloy_of(commission=commission)
    if not name or answer == "no":
        return
    why = "an allergy is on the brief" if answer == "yes" else "an allergy is not ruled out"
    alloy = find(name=name)
    issued = queries.lots_issued(commission=commission)
    if alloy.nickel == "contains" or any(lot.nickel == "contains" for lot in issued):
        path = f"/studio/commissions/{commission.reference}/design/"
        yield Missing(words=f"{alloy.name} contains nickel, and {why}.", path=path)
    elif alloy.nickel == "unknown" and not (issued and all(lot.nickel == "none" for lot in issued)):
        path = f"/studio/commissions/{commission.reference}/metal/"
        yield Missing(
            words=f"The name {alloy.name} does not tell whether nickel is in it, and {why}: "
            "weigh out a lot whose sheet says there is none.",
            path=path,
        )


def metal_is_as_agreed(*, commission: Commission) -> Iterable[Missing]:
    """Every alloy weighed out to the job is the one that was agreed, so that the mark is true."""
    wanted = alloy_of(commission=commission)
    path = f"/studio/commissions/{commission.reference}/metal/"
    issued = queries.alloys_issued(commission=commission)
    if not issued:
        yield Missing(words="No metal has been weighed out to this job.", path=path)
    for name in issued:
        if wanted and name != wanted:
            yield Missing(
                words=f"{name} was weighed out, and {wanted} was agreed: the mark would be wrong.", path=path
            )


def _stones_path(commission: Commission) -> str:
    return f"/studio/commissions/{commission.reference}/stones/"


def centre_is_measured(*, commission: Commission) -> Iterable[Missing]:
    """The centre stone is chosen, and has been on our own scale and callipers, or the owner works to its report."""
    stone = sourcing.chosen(commission=commission)
    if stone is None:
        yield Missing(words="No centre stone is chosen.", path=_stones_path(commission))
    elif stone.state in GONE:
        yield Missing(
            words=f"The centre stone is not here: {stone.get_state_display().lower()}.",
            path=_stones_path(commission),
        )
    elif sourcing.newest_check_in(stone=stone) is None and not sourcing.working_to_report(stone=stone):
        yield Missing(
            words="The centre stone has not been checked in: nothing is cast to a figure on paper alone.",
            path=f"/studio/stones/{stone.pk}/check-in/",
        )


def melee_is_issued(*, commission: Commission) -> Iterable[Missing]:
    """The halo's stones lie at the job, size by size, before the first seat is cut."""
    for size, count in queries.lacking(commission=commission).items():
        wanted = (queries.needed(commission=commission) or {})[size]
        yield Missing(
            words=f"Halo stones of {size} mm: {wanted} are needed and {wanted - count} are issued to this ring. "
            f"Issue {count} more, by count and weight.",
            path="/studio/stones/lots/",
        )


def centre_fits(*, commission: Commission) -> Iterable[Missing]:
    """What we measured is within tolerance of the design, and the stone is the one it says it is."""
    stone = sourcing.chosen(commission=commission)
    seen = sourcing.newest_check_in(stone=stone) if stone else None
    seat = sourcing.seat_of(commission=commission)
    if seat.voids if seat else seen and not seen.within_tolerance:
        yield Missing(
            words=f"The stone we measured is outside the tolerance of the design. {seat.words if seat else seen.fit_note}",
            path=_stones_path(commission),
        )
    if seen and seen.inscription_fits is False:
        yield Missing(
            words="The inscription on the stone is not the one on its report.", path=_stones_path(commission)
        )
    if stone and stone.state == StoneState.QUARANTINE:
        yield Missing(
            words="The centre stone is set aside until it is cleared.", path=_stones_path(commission)
        )
