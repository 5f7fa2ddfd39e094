"""The boxes of the fit page, and the way between them and a halo's case."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from django import forms

from gemcalc.errors import BadInput
from gemcalc.halo.case import CUTS, Case, read_case
from gemcalc.seat_rows import SEAT_FIGURES
from gemcalc.web.fields import FigureForm, choice, figure, sentence, usual, words
from gemcalc.web.halo import reading
from gemcalc.web.typed import LENGTH, PLAIN

CUT_WORDS = {
    "round": "Round", "oval": "Oval", "superellipse": "Oval, squarer (superellipse)", "cushion": "Cushion",
    "pear": "Pear", "marquise": "Marquise", "emerald": "Emerald, cut corners", "princess": "Princess, sharp corners",
    "heart": "Heart", "outline": "As scanned, point by point",
}  # fmt: skip
SYMMETRIES = [
    ("any", "The highest that can be met"), ("D4", "Both axes and both diagonals"), ("D2", "Both axes"),
    ("D1", "Left and right alike"), ("C1", "None asked"),
]  # fmt: skip
SYMMETRY_WORDS = {
    "D4": "both axes and both diagonals", "D2": "both axes", "D1": "left and right alike", "C1": "none",
}  # fmt: skip
VIEWS = [("setter", "For the setter"), ("client", "For the client")]
MEASURES = {
    "diameter_mm": "diameter", "length_mm": "length", "width_mm": "width", "exponent": "exponent",
    "corner_radius_mm": "corner_radius", "side_bow_mm": "side_bow", "corner_mm": "corner", "lobe_mm": "lobe",
    "points_mm": "points",
}  # fmt: skip
TARGET_BOXES = tuple(f"t_{name}" for name in MEASURES.values() if name != "points")
RULES = {
    "clearance_mm": "clearance", "clearance_max_mm": "clearance_max", "gap_min_mm": "gap_min", "gap_max_mm": "gap_max",
    "gap_wanted_mm": "gap", "size_step_max_mm": "step", "inside_target_max_mm": "inside",
    "outside_target_max_mm": "outside", "row_gap_min_mm": "row_gap_min", "row_gap_max_mm": "row_gap_max",
    "bare_radius_max_mm": "bare", "stone_on_deg": "rays",
}  # fmt: skip


def _end(key: str, high: bool = False) -> str:
    row = SEAT_FIGURES[key]
    value = row.high if high else row.low
    assert value is not None
    return usual(value)


DRAWER = "1 1.05 1.1 1.15 1.2 1.25 1.3 1.35 1.4 1.5 1.6 1.7 1.8"
"""What a drawer usually holds, mm. Source: practice."""


def _used_by(measure: str) -> str:
    """Classes of the cuts that have a measure, as the stylesheet knows them."""
    return " ".join(f"cut-{cut}" for cut in CUTS if measure in _measures(cut))


def _measures(cut: str) -> tuple[str, ...]:
    needed, optional = CUTS[cut]
    return ("points_mm",) if cut == "outline" else (*needed, *optional)


class HaloForm(FigureForm):
    """Boxes of the fit page."""

    cut = choice("Cut", [(cut, CUT_WORDS[cut]) for cut in CUTS], initial="round")
    diameter = figure(LENGTH, "Diameter", required=False)
    length = figure(LENGTH, "Length", required=False)
    width = figure(LENGTH, "Width", required=False)
    exponent = figure(PLAIN, "Exponent", required=False, help_text="2 is an ellipse; larger is squarer.")
    corner_radius = figure(LENGTH, "Corner radius", required=False)
    side_bow = figure(LENGTH, "Bow of the sides", required=False)
    corner = figure(LENGTH, "Cut corner", required=False)
    lobe = figure(LENGTH, "Lobes off centre", required=False)
    points = words("Corners x,y in mm", rows=4, max_length=12000, required=False)

    target = choice(
        "Outer edge", [("", "Follows the stone"), *((c, CUT_WORDS[c]) for c in CUTS if c != "outline")]
    )
    t_diameter = figure(LENGTH, "Diameter", required=False)
    t_length = figure(LENGTH, "Length", required=False)
    t_width = figure(LENGTH, "Width", required=False)
    t_exponent = figure(PLAIN, "Exponent", required=False)
    t_corner_radius = figure(LENGTH, "Corner radius", required=False)
    t_side_bow = figure(LENGTH, "Bow of the sides", required=False)
    t_corner = figure(LENGTH, "Cut corner", required=False)
    t_lobe = figure(LENGTH, "Lobes off centre", required=False)
    inside = figure(LENGTH, "May fall short by", initial="0.15", required=False)
    outside = figure(LENGTH, "May reach over by", initial="0.05", required=False)

    sizes = words(
        "In the drawer",
        rows=2,
        max_length=2000,
        initial=DRAWER,
        help_text="Diameters in mm; with counts: 1.2: 30, 1.3: 40",
    )
    wanted = figure(LENGTH, "Size you would like", required=False)

    clearance = figure(LENGTH, "Clearance from", initial=_end("halo-clearance"), required=False)
    clearance_max = figure(LENGTH, "to", initial=_end("halo-clearance", True), required=False)
    gap_min = figure(LENGTH, "Gaps from", initial=_end("stone-gap"), required=False)
    gap_max = figure(LENGTH, "to", initial=_end("stone-gap", True), required=False)
    gap = figure(LENGTH, "Gap wanted", initial="0.08", required=False)
    step = figure(LENGTH, "Size step at most", initial="0.3", required=False)
    bare = figure(
        LENGTH, "No bare spot over", required=False, help_text="Radius of the largest empty circle."
    )
    rays = words("A stone at", max_length=120, required=False, help_text="12, 3 o'clock, 1:30 or corners")

    rows = choice("Rows", [("1", "One"), ("2", "Two")])
    row_gap_min = figure(LENGTH, "Between rows from", initial="0.05", required=False)
    row_gap_max = figure(LENGTH, "to", initial="0.25", required=False)
    symmetry = choice("Symmetry", SYMMETRIES)
    view = choice("Drawing", VIEWS)

    groups = (
        ("Centre stone", ("cut", *MEASURES.values())),
        ("Outline of the halo", ("target", *TARGET_BOXES, "inside", "outside")),
        ("Melee", ("sizes", "wanted")),
        ("The setter's rules", ("clearance", "clearance_max", "gap_min", "gap_max", "gap", "step", "bare", "rays")),
        ("Rows and symmetry", ("rows", "row_gap_min", "row_gap_max", "symmetry", "view")),
    )  # fmt: skip
    folded = ("The setter's rules", "Rows and symmetry")
    only = (
        {name: f"for {_used_by(key)}" for key, name in MEASURES.items()}
        | {
            f"t_{name}": "for " + _used_by(key).replace("cut-", "target-")
            for key, name in MEASURES.items()
            if name != "points"
        }
        | dict.fromkeys(("inside", "outside"), "for with-target")
        | dict.fromkeys(("row_gap_min", "row_gap_max"), "for two-rows")
    )

    def in_use(self, name: str) -> bool:
        """Whether a box counts for the cuts and rows that are chosen."""
        chosen, outer = self.data.get("cut") or "round", self.data.get("target") or ""
        if name in ("inside", "outside"):
            return bool(outer)
        if name in ("row_gap_min", "row_gap_max"):
            return self.data.get("rows") == "2"
        for key, measure in MEASURES.items():
            if name == measure:
                return chosen in CUTS and key in _measures(chosen)
            if name == f"t_{measure}":
                return outer in CUTS and key in _measures(outer)
        return True

    def typed_pairs(self) -> list[tuple[str, str]]:
        return [(name, value) for name, value in super().typed_pairs() if self.in_use(name)]

    def refuse(self, error: BadInput) -> None:
        """As for every form; the library's own names in its words become those on the page."""
        name = box_of(error.field or "")
        message = error.message
        for field, box in {**MEASURES, **RULES}.items():
            if field in message:
                message = message.replace(field, f"“{self[box].label}”" if box in self.fields else field)
        if name not in self.fields:
            self.add_error(
                None, sentence(message, about=(error.field or "").replace("_mm", "").replace("_", " "))
            )
            return
        said = sentence(message, about=str(self[name].label))
        code = "required" if message.startswith("is needed") else None
        self.add_error(name, forms.ValidationError(said, code=code))


def box_of(field: str) -> str:
    """
    The box in which a field of a case is typed.

    >>> box_of("centre.length_mm"), box_of("target.corner_mm"), box_of("melee.stock.1.30"), box_of("rules.gap_min_mm")
    ('length', 't_corner', 'sizes', 'gap_min')
    """
    part, _, rest = field.partition(".")
    first = rest.split(".")[0]
    if part in ("centre", "target"):
        box = MEASURES.get(first, {"cut": "cut"}.get(first, ""))
        return box if part == "centre" else {"cut": "target", "": "target"}.get(box, f"t_{box}")
    if part == "melee":
        return "wanted" if first == "wanted_mm" else "sizes"
    if part == "rules":
        return RULES.get(first, "")
    return {"stone_on_deg": "rays"}.get(field, field)


def _outline(data: Mapping[str, Any], cut: str, lead: str) -> dict[str, Any]:
    out: dict[str, Any] = {"cut": cut}
    for measure in _measures(cut):
        if measure == "points_mm":
            out[measure] = reading.corners_typed(data["points"])
        else:
            out[measure] = data[f"{lead}{MEASURES[measure]}"]
    return out


def case_of(data: Mapping[str, Any]) -> Case:
    """
    The case that the boxes ask for.

    Raises:
        BadInput: something is missing or impossible, named as in a case.
    """
    sizes, stock = reading.drawer_typed(data["sizes"])
    rules = {key: data[name] for key, name in RULES.items() if name != "rays" and data[name] is not None}
    for key, name in RULES.items():
        if key not in rules and HaloForm.base_fields[name].initial is not None:
            rules[key] = float(HaloForm.base_fields[name].initial)
    rules["stone_on_deg"] = reading.rays_typed(data["rays"])
    # The wanted gap keeps within limits that somebody has narrowed without touching it.
    if data["gap"] is None or data["gap"] == float(HaloForm.base_fields["gap"].initial):
        rules["gap_wanted_mm"] = min(max(rules["gap_wanted_mm"], rules["gap_min_mm"]), rules["gap_max_mm"])
    return read_case(
        {
            "centre": _outline(data, data["cut"], ""),
            "target": _outline(data, data["target"], "t_") if data["target"] else None,
            "melee": {"sizes_mm": sizes, "stock": stock, "wanted_mm": data["wanted"]},
            "rules": rules,
            "symmetry": data["symmetry"],
            "rows": int(data["rows"]),
        }
    )


def boxes_of(plain: Mapping[str, Any]) -> dict[str, str]:
    """What would have to be typed for a plain case; boxes that are as usual are left out."""
    boxes: dict[str, str] = {"symmetry": plain["symmetry"], "rows": str(plain["rows"])}
    for part, lead, choice_name in (("centre", "", "cut"), ("target", "t_", "target")):
        outline = plain.get(part)
        if not outline:
            continue
        boxes[choice_name] = outline["cut"]
        for key, value in outline.items():
            if key == "points_mm":
                boxes["points"] = reading.corners_written(value)
            elif key != "cut":
                boxes[f"{lead}{MEASURES[key]}"] = usual(value)
    boxes["sizes"] = reading.drawer_written(plain["melee"])
    if plain["melee"].get("wanted_mm") is not None:
        boxes["wanted"] = usual(plain["melee"]["wanted_mm"])
    for key, name in RULES.items():
        value = plain["rules"].get(key)
        if key == "stone_on_deg":
            boxes[name] = reading.rays_written(value or ())
        elif value is not None:
            boxes[name] = usual(value)
    fields = HaloForm.base_fields
    return {name: value for name, value in boxes.items() if value != str(fields[name].initial or "")}


def changed(plain: Mapping[str, Any], change: Mapping[str, Any]) -> dict[str, Any]:
    """A plain case with an alternative's changed keys put in."""
    out = dict(plain)
    for key, value in change.items():
        if key in ("melee", "rules"):
            merged = {**plain[key], **value}
            out[key] = {name: one for name, one in merged.items() if one is not None or name == "stock"}
        else:
            out[key] = value
    return out
