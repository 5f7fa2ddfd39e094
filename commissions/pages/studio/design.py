"""Where the drawing table meets later rooms: the drawer, the measured stone, the price, the fingerprint."""

from __future__ import annotations

from django.views.decorators.http import require_GET, require_http_methods

from commissions.design.views.common import commission_of, revision_of
from commissions.design.views.draft import draft_page
from commissions.design.views.model import model_page
from commissions.design.views.sheet import sheet_drawing, sheet_page, sheet_paper
from commissions.money import queries as money
from commissions.sourcing import queries as sourcing
from studio.people.access import staff


@staff("owner", "jeweller")
@require_http_methods(["GET", "POST"])
def draft(request, reference: str):
    """Draft the next revision, with what the drawer holds beside what the halo takes."""
    return draft_page(request, commission_of(reference), drawer=sourcing.drawer_stock)


@staff("owner", "jeweller")
@require_http_methods(["GET", "POST"])
def model_check(request, reference: str, letter: str):
    """Lay a model over the stone: the one that was checked in, or the one the revision has in its seat."""
    revision = revision_of(reference, letter)
    return model_page(request, revision, girdles=_girdles(revision))


def _girdles(revision) -> list[tuple[str, dict]]:
    """The stone's girdle in words and as an outline, the likeliest first: a scan, our measures, the seat."""
    centre = revision.parameters["centre"]
    scan, seat = centre.get("scan"), centre["outline"]
    found: list[tuple[str, dict]] = []
    if scan:
        found.append((f"the seat of revision {revision.letter}, from the scan {scan['name']}", seat))
    stone = sourcing.chosen(commission=revision.commission)
    seen = sourcing.newest_check_in(stone=stone) if stone else None
    if seen is not None:
        found.append((f"{stone.name} as measured on {seen.at:%d %B %Y}", seen.outline))
    elif stone is not None:
        found.append((f"{stone.name} as reported", stone.outline))
    if not scan:
        found.append((f"the seat of revision {revision.letter}", seat))
    return found


def _standing(revision) -> dict[str, str | None]:
    """The fingerprint of what was agreed with this revision, and whether that approval is void."""
    if revision.status != "agreed":
        return {"fingerprint": None, "void": ""}
    commission = revision.commission
    seat = sourcing.seat_of(commission=commission)
    void = "The stone was measured: revision needed, approval void" if seat and seat.voids else ""
    if (
        not void
        and money.standing_approval(commission=commission)
        and money.approval_differences(commission=commission)
    ):
        void = "What was agreed has changed: approval void"
    return {"fingerprint": money.fingerprint_now(commission=commission), "void": void}


@staff()
@require_GET
def sheet(request, reference: str, letter: str):
    """The drawing sheet as a page."""
    revision = revision_of(reference, letter)
    return sheet_page(request, revision, **_standing(revision))


@staff()
@require_GET
def sheet_pdf(request, reference: str, letter: str):
    """The drawing sheet as PDF."""
    revision = revision_of(reference, letter)
    return sheet_paper(revision, **_standing(revision))


@staff()
@require_GET
def sheet_dxf(request, reference: str, letter: str):
    """The drawing sheet as DXF."""
    revision = revision_of(reference, letter)
    return sheet_drawing(revision, **_standing(revision))
