"""The drawing sheet: page, paper and DXF."""

from __future__ import annotations

from django.http import HttpResponse
from django.shortcuts import render

from commissions.design import drawings, queries
from commissions.design.models import Revision
from gemcalc import drawing
from studio.papers import PapersUnavailable, make


def _stands(revision: Revision, fingerprint: str | None, void: str = "") -> str:
    """What the sheet says of its own standing: its fingerprint where it was agreed, else that it is not, or no longer."""
    if void:
        return f"{void}: not for the bench"
    if revision.status == "agreed":
        return f"Agreed, fingerprint {fingerprint}" if fingerprint else "Direction agreed, price not yet"
    return {
        "draft": "A draft: not for the bench",
        "sent": "With the client, not agreed: not for the bench",
        "superseded": "Superseded by a later revision: not for the bench",
    }[revision.status]


def sheet_page(request, revision: Revision, *, fingerprint: str | None, void: str = ""):
    """The four views, dimensioned, to scale."""
    views = [(name, drawings.as_svg(scene)) for name, scene in drawings.views(revision)]
    return render(
        request,
        "design/sheet.html",
        {
            "commission": revision.commission,
            "revision": revision,
            "views": views,
            "facts": queries.facts_of(revision),
            "proof": queries.recomputed(revision),
            "stands": _stands(revision, fingerprint, void),
        },
    )


def sheet_paper(revision: Revision, *, fingerprint: str | None, void: str = "") -> HttpResponse:
    """The drawing sheet on paper, all views at one scale, with a bar of 50 mm to check the printer by."""
    reference = revision.commission.reference
    scale, rows = drawings.sheet(revision)
    try:
        paper = make(
            template="print/drawing_sheet.html",
            context={
                "commission": revision.commission,
                "revision": revision,
                "scale": f"{scale:g}",
                "rows": [
                    [(name, drawings.as_svg(scene, scale=scale)) for name, scene in row] for row in rows
                ],
                "rule": drawings.rule(),
                "facts": queries.facts_of(revision),
                "stands": _stands(revision, fingerprint, void),
                "reference": reference,
                "fingerprint": fingerprint if revision.status == "agreed" else "",
            },
        )
    except PapersUnavailable as lacking:
        return HttpResponse(str(lacking), status=503, content_type="text/plain")
    return HttpResponse(
        paper.content,
        content_type="application/pdf",
        headers={
            "Content-Disposition": f'inline; filename="{reference}-{revision.letter}.pdf"',
            "X-Content-Type-Options": "nosniff",
        },
    )


def sheet_drawing(revision: Revision, *, fingerprint: str | None, void: str = "") -> HttpResponse:
    """The four views as DXF, mm, 1:1, with revision and fingerprint under them."""
    reference = revision.commission.reference
    words = [
        f"{reference} revision {revision.letter}",
        _stands(revision, fingerprint, void),
        "mm, 1:1; dimensions in figures come first",
    ]
    return HttpResponse(
        drawing.to_dxf(drawings.whole(revision, words)),
        content_type="image/vnd.dxf",
        headers={
            "Content-Disposition": f'attachment; filename="{reference}-{revision.letter}.dxf"',
            "X-Content-Type-Options": "nosniff",
        },
    )
