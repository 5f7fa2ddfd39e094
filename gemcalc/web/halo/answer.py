"""A fitted halo in words, figures and drawings."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any
from urllib.parse import urlencode

import numpy as np

from gemcalc.drawing import Scene, TopOptions, setting_order, to_svg, top_view
from gemcalc.errors import BadInput
from gemcalc.halo.layout import carats
from gemcalc.web.answer import Answer, Drawing, Fact, Finding, Headline, Table, drawn
from gemcalc.web.halo.fitting import Fitted
from gemcalc.web.halo.form import SYMMETRY_WORDS, boxes_of, changed

ENOUGH_BARE_MM = 0.3
"""Radius of an empty spot from which an eye finds it, mm. Source: practice."""

CLOSE = 0.25
"""Share of its cost by which a bound may miss a halo and still be worth telling."""

CAUTION = (
    "Carats are those of well-cut round brilliants: weigh the real stones before they are priced. "
    "The setter who holds the stone decides."
)


def scene_of(found: Fitted, *, view: str) -> Scene:
    """The drawing of a sound halo, or of the bare stone and its target where there is none."""
    variant = "client" if view == "client" or not found.feasible else "setter"
    if found.feasible:
        return top_view(found.plain, found.layout, variant=variant)
    shows = TopOptions(numbers=False, beads=False, gaps=False, sizes=False, overall=False)
    return top_view(found.plain, None, options=shows, title="The stone without a halo")


def answer_of(found: Fitted, *, view: str) -> Answer:
    """Everything the page says of a halo, but for what is near it."""
    drawing = _drawing(found, view)
    if not found.feasible:
        return Answer(findings=[_refusal(found)], drawings=[drawing], sources=("exact-geometry", "practice"))
    figures = found.layout["figures"]
    return Answer(
        headlines=_headlines(found),
        findings=_findings(found),
        drawings=[drawing],
        facts=_facts(found),
        tables=[_sizes(found)],
        why=_why(found),
        caution=CAUTION,
        sources=("exact-geometry", "practice", *(("shapely",) if figures else ())),
    )


def _headlines(found: Fitted) -> list[Headline]:
    figures = found.layout["figures"]
    return [
        Headline(label="Stones", value=str(figures["stones"])),
        Headline(label="Gaps", value=_gaps(figures), unit="mm"),
        Headline(label="Melee", value=f"{figures['weight_ct']:.3f}", unit="ct"),
        Headline(label="Across", value=f"{figures['width_mm']:.2f} × {figures['length_mm']:.2f}", unit="mm"),
    ]


def _gaps(figures: Mapping[str, Any]) -> str:
    least, worst = f"{figures['gap_least_mm']:.3f}", f"{figures['gap_worst_mm']:.3f}"
    return least if least == worst else f"{least} to {worst}"


def _drawing(found: Fitted, view: str) -> Drawing:
    words = "Top view, mm; numbered from twelve o'clock as it is set. The bar is 10 mm."
    if view == "client":
        words = "Top view, mm. The bar is 10 mm."
    if not found.feasible:
        words = "The stone by itself, mm."
        if found.plain["target"]:
            words = "The stone, and dashed the outline that the halo should follow, mm."
    return drawn(scene_of(found, view=view), words)


def _findings(found: Fitted) -> list[Finding]:
    figures = found.layout["figures"]
    out = []
    if figures["bare_radius_mm"] > ENOUGH_BARE_MM:
        out.append(Finding(verdict="look", words=f"There is a bare spot of radius {figures['bare_radius_mm']:.2f} mm, "
                           "which breaks no rule but which an eye finds. Limit it under the setter's rules."))  # fmt: skip
    return out


def _refusal(found: Fitted) -> Finding:
    sure = found.layout.get("proof", {}).get("impossible")
    words = "No sound halo can be made with these stones and rules" if sure else "No sound halo was found"
    return Finding(verdict="stop", words=f"{words}. What would make one stands below.")


def _facts(found: Fitted) -> list[Fact]:
    figures = found.layout["figures"]
    facts = [
        Fact(label="Gap between stones", value=f"{figures['gap_mean_mm']:.3f} mm on average",
             note=f"least {figures['gap_least_mm']:.3f}, worst {figures['gap_worst_mm']:.3f}"),
        Fact(label="Centre to halo", value=f"{figures['clearance_mean_mm']:.3f} mm on average",
             note=f"worst {figures['clearance_worst_mm']:.3f}"),
        Fact(label="Largest bare spot", value=f"radius {figures['bare_radius_mm']:.3f} mm"),
        Fact(label="Alike about", value=SYMMETRY_WORDS.get(found.layout["symmetry"], found.layout["symmetry"])),
        Fact(label="Open metal inside", value=f"{figures['inner_gap_area_mm2']:.2f} mm²"),
    ]  # fmt: skip
    if "outer_gap_area_mm2" in figures:
        facts.append(Fact(label="Open to the outline", value=f"{figures['outer_gap_area_mm2']:.2f} mm²"))
    return facts


def _sizes(found: Fitted) -> Table:
    stock = found.plain["melee"].get("stock")
    rows = []
    for size, count in found.layout["figures"]["counts"].items():
        each = float(carats(np.array([float(size)]))[0])
        left = [] if stock is None else [str(stock.get(size, 0))]
        rows.append((f"{size} mm", str(count), *left, f"{each:.4f}", f"{each * count:.3f}"))
    head = ("Size", "Stones", *(() if stock is None else ("In the drawer",)), "ct each", "ct")
    return Table(caption="To set", head=head, rows=rows)


def _why(found: Fitted) -> list[str]:
    proof = found.layout["proof"]
    cost, bound = found.layout["figures"]["cost"], proof["bound"]
    if proof["optimal"]:
        proved = "Proved: under this symmetry no other halo from this drawer fits these rules better."
    elif rows := proof.get("rows"):
        proved = (
            f"The inner row by itself: {_row_proof(rows[0])} The outer row round it: {_row_proof(rows[1])}"
        )
    elif cost > 0 and (cost - bound) / cost < CLOSE:
        proved = (
            "As good as proved: under this symmetry no other halo from this drawer can be better by more "
            f"than {max(100 * (cost - bound) / cost, 0.1):.1f} %, counted in what an eye notices."
        )
    else:
        proved = (
            "The best of all that were found; that there is none better is not proved where stones may float."
        )
    return [proved, "Before it was shown, another program, which knows nothing of the search, measured every gap, "
                    "clearance and overlap of this drawing and found no rule broken."]  # fmt: skip


def _row_proof(row: Mapping[str, Any]) -> str:
    """What is known of one of two rows."""
    cost, bound = row["cost"], row["bound"]
    if row["optimal"]:
        return "proved, none fits better."
    if cost > 0 and (cost - bound) / cost < CLOSE:
        return f"none can be better by more than {max(100 * (cost - bound) / cost, 0.1):.1f} %."
    return "the best of all that were found, not proved."


def nearby(
    found: Fitted, near: list[dict[str, Any]], *, path: str, kept: Mapping[str, str]
) -> list[dict[str, Any]]:
    """What is near, each with the address that carries the change."""
    rows = []
    for one in near:
        plain = changed(found.plain, one["case"])
        figures = one["layout"]["figures"]
        small = top_view(plain, one["layout"], variant="mini")
        rows.append(
            {
                "words": one["change"][:1].upper() + one["change"][1:],
                "address": address(path, plain, kept),
                "svg": to_svg(small, css_class="same-scale"),
                "stones": figures["stones"],
                "gaps": f"{_gaps(figures)} mm",
                "carats": f"{figures['weight_ct']:.3f} ct",
            }
        )
    return rows


def address(path: str, plain: Mapping[str, Any], kept: Mapping[str, str]) -> str:
    """Address of the fit page with a case filled in; *kept* goes along."""
    pairs = boxes_of(plain) | {name: value for name, value in kept.items() if value}
    return f"{path}?{urlencode(pairs, safe=',:')}"


def commission_address(found: Fitted, reference: str) -> str:
    """Where a halo is taken into a commission's design."""
    case = json.dumps(found.plain, sort_keys=True, separators=(",", ":"))
    return f"/studio/commissions/{reference}/design/draft/?{urlencode({'case': case})}"


def order_rows(found: Fitted) -> list[dict[str, Any]]:
    """The stones in the order in which they are set, for the printed sheet."""
    return [
        {"number": stone["number"], "size": f"{stone['diameter_mm']:.2f}", "x": f"{stone['x_mm']:+.3f}",
         "y": f"{stone['y_mm']:+.3f}", "row": stone.get("row") or 1}
        for stone in setting_order(found.layout)
    ]  # fmt: skip


def must_be_sound(found: Fitted) -> Fitted:
    """The same, where there is something to print."""
    if not found.feasible:
        raise BadInput("there is no sound halo to hand out for this case")
    return found
