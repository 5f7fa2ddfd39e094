"""Reads of the design room."""

from __future__ import annotations

from commissions.design import computing, drawings, proof
from commissions.design.models import Revision, Status
from commissions.record.models import Commission
from gemcalc.rings import ring_of_circumference


def revisions(*, commission: Commission):
    """Every revision, oldest first, with the client's answers."""
    return (
        Revision.objects.filter(commission=commission)
        .select_related("parent")
        .prefetch_related("answers")
        .order_by("id")
    )


def newest(*, commission: Commission) -> Revision | None:
    """The newest revision that is no draft."""
    return Revision.objects.filter(commission=commission).exclude(status=Status.DRAFT).order_by("-id").first()


def sent(*, commission: Commission):
    """Every revision the client was sent, oldest first."""
    return Revision.objects.filter(commission=commission).exclude(status=Status.DRAFT).order_by("id")


def draft(*, commission: Commission) -> Revision | None:
    """The draft that stands, if any."""
    return Revision.objects.filter(commission=commission, status=Status.DRAFT).first()


def agreed(*, commission: Commission) -> Revision | None:
    """The revision whose direction the client has agreed to."""
    return Revision.objects.filter(commission=commission, status=Status.AGREED).order_by("-id").first()


def bundle_part(*, commission: Commission) -> dict | None:
    """The design's part of what is agreed: letter, parameters, and the digest of what was computed from them."""
    revision = agreed(commission=commission)
    if revision is None:
        return None
    part = {
        "revision": revision.letter,
        "parameters": revision.parameters,
        "outputs": computing.digest(revision.outputs),
        "engine": revision.engine,
    }
    if revision.files:
        part["files"] = [[row["kind"], row["name"], row["sha256"]] for row in revision.files]
    return part


def recomputed(revision: Revision) -> proof.Proof:
    """The revision computed anew from its parameters: the stored figures, or what changed."""
    return proof.prove(revision)


def _outer(layout: dict) -> str:
    figures = layout["figures"]
    return f"{figures['width_mm']:.2f} × {figures['length_mm']:.2f} mm"


def _counts(layout: dict) -> str:
    return ", ".join(f"{count} × {size}" for size, count in sorted(layout["figures"]["counts"].items()))


def centre_measures(parameters: dict) -> str:
    """The centre stone's cut and measures in words."""
    centre = parameters["centre"]
    outline, depth = centre["outline"], centre["depth_mm"]
    called = "Outline" if outline["cut"] == "outline" else outline["cut"].capitalize()
    length, width = computing.extent(outline)
    size = f"{length:.2f}" if outline.get("diameter_mm") else f"{length:.2f} × {width:.2f}"
    return f"{called} {size} × {depth:.2f} mm"


def centre_words(parameters: dict) -> str:
    """The centre stone's measures in words, and how sure a scan was of them."""
    scan = parameters["centre"].get("scan")
    words = centre_measures(parameters)
    if scan:
        # No scanner is surer than a hundredth, however well its points lie on the outline.
        within = max(0.01, scan["length_within_mm"], scan["width_within_mm"])
        words += f", scanned, ± {within:.2f} mm"
    return words


def shank_words(shank: dict) -> str:
    """The shank's profile and measures, and how it tapers towards the back."""
    top = (shank["width_mm"], shank["thickness_mm"])
    back = (shank.get("width_end_mm") or top[0], shank.get("thickness_end_mm") or top[1])
    words = f"{shank['profile'].capitalize()}, {top[0]:.2f} × {top[1]:.2f} mm"
    return words if back == top else f"{words} at the top, {back[0]:.2f} × {back[1]:.2f} mm at the back"


def facts_of(revision: Revision) -> list[tuple[str, str]]:
    """The figures of a revision for the studio, name and words."""
    parameters, outputs = revision.parameters, revision.outputs
    layout, metal = outputs.get("layout"), outputs["metal"]
    rows = [("Centre", centre_words(parameters))]
    if layout and layout["feasible"]:
        figures = layout["figures"]
        rows += [
            ("Halo", f"{figures['stones']} stones: {_counts(layout)}; {figures['weight_ct']:.3f} ct"),
            ("Gaps", f"{figures['gap_least_mm']:.3f} to {figures['gap_worst_mm']:.3f} mm"),
            ("Over all", _outer(layout)),
        ]
    claws, shank = parameters["claws"], parameters["shank"]
    rows += [
        ("Claws", f"{len(claws['angles_deg'])} of {claws['wire_mm']:.2f} mm wire"),
        ("Shank", shank_words(shank)),
    ]
    ring = ring_of_circumference(circumference_mm=parameters["circumference_mm"])
    rows += [
        ("Size", f"{parameters['circumference_mm']:.1f} mm inside (US {ring.us_label}, UK {ring.uk_label})"),
        ("Metal", metal["alloy"]),
        (
            "Forecast",
            f"{metal['finished_mg'] / 1000:.2f} g finished, {metal['cast_mg'] / 1000:.2f} g cast, "
            f"{metal['pour_mg'] / 1000:.2f} g to melt",
        ),
    ]
    if parameters.get("engraving"):
        rows.append(("Engraving", parameters["engraving"]))
    return rows


def client_facts_of(revision: Revision) -> list[tuple[str, str]]:
    """The figures of a revision that a client is shown."""
    hidden = {"Gaps", "Forecast"}
    return [row for row in facts_of(revision) if row[0] not in hidden]


def piece_part(*, commission: Commission, person) -> dict | None:
    """What the page of one commission shows of the design."""
    revision = agreed(commission=commission) or newest(commission=commission)
    if revision is None:
        return None
    return {
        "template": "design/piece_part.html",
        "revision": revision,
        "svg": drawings.as_svg(drawings.top(revision)),
        "facts": facts_of(revision),
    }


def mini_drawing(*, commission: Commission) -> str:
    """SVG shapes of the piece for the halo dial; empty before there is a design."""
    revision = agreed(commission=commission) or newest(commission=commission)
    return drawings.mini(revision) if revision else ""


def stops(revision: Revision) -> list[str]:
    """What a check says cannot be made, in its words; empty where nothing says stop."""
    return [row["words"] for row in revision.outputs.get("findings", []) if row["verdict"] == "stop"]
