"""From what was typed to the parameters of a design, and back."""

from __future__ import annotations

import copy

from commissions.design import computing
from gemcalc.errors import BadInput
from gemcalc.halo.case import read_case

SAME_MM = 0.0006
"""A box shows thousandths: an outline that differs by less than they can tell is the one that was there."""

CLAWS = {
    "4": [45.0, 135.0, 225.0, 315.0],
    "6": [30.0, 90.0, 150.0, 210.0, 270.0, 330.0],
    "8": [37.0, 53.0, 127.0, 143.0, 217.0, 233.0, 307.0, 323.0],
}


def outline_of(*, cut: str, length_mm: float, width_mm: float) -> dict:
    """The outline of a cut from its measures, with usual corners where the cut needs them (common practice, no source)."""
    if cut == "round":
        return {"cut": "round", "diameter_mm": round((length_mm + width_mm) / 2, 4)}
    outline = {"cut": cut, "length_mm": length_mm, "width_mm": width_mm}
    if cut == "cushion":
        outline |= {"corner_radius_mm": round(0.3 * width_mm, 3), "side_bow_mm": round(0.03 * width_mm, 3)}
    if cut == "emerald":
        outline |= {"corner_mm": round(0.15 * width_mm, 3)}
    return outline


def parameters_of(cleaned: dict, *, before: dict | None = None) -> dict:
    """The parameters of a design from what was typed; what the form does not ask is kept from *before*."""
    length = float(cleaned["length_mm"])
    width = float(cleaned["width_mm"] or cleaned["length_mm"])
    centre = outline_of(cut=cleaned["cut"], length_mm=length, width_mm=width)
    made = (
        copy.deepcopy(before)
        if before
        else computing.standard(
            centre=centre,
            depth_mm=float(cleaned["depth_mm"]),
            circumference_mm=cleaned["size"],
            metal=cleaned["metal"],
        )
    )
    # A corner or a scan that was there stays as long as the size does.
    old = made["centre"]["outline"]
    scanned = cleaned["cut"] == "outline"
    if scanned and "points_mm" not in old:
        raise BadInput("there is no scan to keep: choose a cut, or send one from the fit", field="centre.cut")
    same = scanned or (
        old.get("cut") == centre["cut"]
        and all(
            abs(old.get(key, 0) - value) < SAME_MM
            for key, value in centre.items()
            if key in ("diameter_mm", "length_mm", "width_mm")
        )
    )
    made["centre"] |= {"outline": old if same else centre, "depth_mm": float(cleaned["depth_mm"])}
    if not same and made["centre"].pop("scan", None):
        made["centre"]["from"] = "nominal"
    if cleaned["halo"]:
        wish = (
            made.get("halo")
            or computing.standard(centre=centre, depth_mm=4, circumference_mm=54, metal=cleaned["metal"])[
                "halo"
            ]
        )
        wish["melee"] = {
            "sizes_mm": cleaned["sizes"],
            "stock": cleaned.get("stock"),
            "wanted_mm": float(cleaned["wanted_mm"]) if cleaned["wanted_mm"] else None,
        }
        clearance = float(cleaned["clearance_mm"] or computing.DEFAULT_RULES["clearance_mm"])
        wish["rules"] |= {"clearance_mm": clearance, "clearance_max_mm": round(clearance + 0.2, 3)}
        if cleaned["shape"] != "kept":
            wish["target"] = _target(cleaned)
        if wish.get("target"):
            for rule in ("inside_target_max_mm", "outside_target_max_mm"):
                wish["rules"].setdefault(rule, 0.12)
        made["halo"] = wish
    else:
        made["halo"] = None
    made["claws"] = {"angles_deg": CLAWS[cleaned["claws"]], "wire_mm": float(cleaned["wire_mm"])}
    made["shank"] = {
        "profile": cleaned["profile"],
        "width_mm": float(cleaned["shank_width_mm"]),
        "thickness_mm": float(cleaned["shank_thickness_mm"]),
        "width_end_mm": float(cleaned["shank_width_end_mm"]),
        "thickness_end_mm": float(cleaned["shank_thickness_end_mm"]),
    }
    made |= {
        "circumference_mm": cleaned["size"],
        "metal": cleaned["metal"],
        "head_allowance_mm3": float(cleaned["head_mm3"]),
        "engraving": cleaned["engraving"],
    }
    return made


def _target(cleaned: dict) -> dict | None:
    shape, size = cleaned["shape"], cleaned["shape_mm"]
    if shape in ("", "follow") or not size:
        return None
    size = float(size)
    if shape == "round":
        return {"cut": "round", "diameter_mm": size}
    return {
        "cut": "cushion",
        "length_mm": size,
        "width_mm": size,
        "corner_radius_mm": round(0.326 * size, 3),
        "side_bow_mm": 0.0,
    }


def typed_from(parameters: dict, *, note: str = "") -> dict:
    """What the form shows for a set of parameters."""
    outline, halo, shank = parameters["centre"]["outline"], parameters.get("halo"), parameters["shank"]
    diameter = outline.get("diameter_mm")
    length, width = computing.extent(outline)
    target = (halo or {}).get("target")
    return {
        "cut": outline["cut"],
        "length_mm": round(diameter or length, 3),
        "width_mm": round(diameter or width, 3),
        "depth_mm": parameters["centre"]["depth_mm"],
        "halo": bool(halo),
        "shape": _shape(target),
        "shape_mm": (target.get("diameter_mm") or target.get("length_mm")) if target else None,
        "wanted_mm": (halo or {}).get("melee", {}).get("wanted_mm"),
        "sizes": " ".join(f"{size:g}" for size in (halo or {}).get("melee", {}).get("sizes_mm", [])),
        "stock": " ".join(
            f"{size}:{count}" for size, count in ((halo or {}).get("melee", {}).get("stock") or {}).items()
        ),
        "clearance_mm": (halo or {}).get("rules", computing.DEFAULT_RULES)["clearance_mm"],
        "claws": str(len(parameters["claws"]["angles_deg"])),
        "wire_mm": parameters["claws"]["wire_mm"],
        "profile": shank["profile"],
        "shank_width_mm": shank["width_mm"],
        "shank_thickness_mm": shank["thickness_mm"],
        "shank_width_end_mm": shank.get("width_end_mm") or shank["width_mm"],
        "shank_thickness_end_mm": shank.get("thickness_end_mm") or shank["thickness_mm"],
        "system": "iso",
        "size": f"{parameters['circumference_mm']:g}",
        "metal": parameters["metal"],
        "head_mm3": parameters["head_allowance_mm3"],
        "engraving": parameters.get("engraving", ""),
        "note": note,
    }


def _shape(target: dict | None) -> str:
    if not target:
        return "follow"
    return target["cut"] if target["cut"] in ("round", "cushion") else "kept"


def with_case(parameters: dict, case: dict) -> dict:
    """
    The parameters with the centre and halo of a halo case, as it came from the fit; a case with nothing but
    a centre changes the centre alone.

    Raises:
        BadInput: the case cannot be read; its field is named.
    """
    made = copy.deepcopy(parameters)
    if set(case) == {"centre"}:
        case = {**(made.get("halo") or computing.usual()["halo"]), **case}
        halo = made.get("halo")
        read_case(case)
        _seated(made, case["centre"])
        made["halo"] = halo
        return made
    read_case(case)
    _seated(made, case["centre"])
    made["halo"] = {
        "target": case.get("target"),
        "melee": {"stock": None, "wanted_mm": None, **case["melee"]},
        "rules": {**computing.DEFAULT_RULES, **case["rules"]},
        "symmetry": case.get("symmetry", "any"),
        "rows": case.get("rows", 1),
    }
    return made


def _seated(parameters: dict, outline: dict) -> None:
    """Put another outline into the seat; what was known of a scan goes with the one that was there."""
    if parameters["centre"]["outline"] != outline and parameters["centre"].pop("scan", None):
        parameters["centre"]["from"] = "nominal"
    parameters["centre"]["outline"] = outline
