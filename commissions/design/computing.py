"""From the parameters of a design to every figure that follows: halo, melee, metal, outer size, findings."""

from __future__ import annotations

import copy
import hashlib
import json
import math
from functools import lru_cache

from gemcalc import ENGINE_VERSION
from gemcalc.alloys import find
from gemcalc.bands import band
from gemcalc.casting import casting_chain, mass_from_volume
from gemcalc.halo.case import read_case
from gemcalc.halo.fit import fit as fit_halo
from gemcalc.makeability import Finding, Plan, makeability
from gemcalc.seats import claw_wire

DEFAULT_RULES = {
    "clearance_mm": 0.10,
    "clearance_max_mm": 0.30,
    "gap_min_mm": 0.05,
    "gap_max_mm": 0.15,
    "gap_wanted_mm": 0.08,
    "size_step_max_mm": 0.30,
}
DEFAULT_SIZES_MM = [1.0, 1.1, 1.2, 1.3, 1.4, 1.5, 1.6, 1.7, 1.8]

PATTERN_DENSITY = 1.0
BUTTON_PCT = 10.0
FINISHING_LOSS_PCT = 12.0


def standard(*, centre: dict, depth_mm: float, circumference_mm: float, metal: str) -> dict:
    """
    A whole set of parameters for a halo ring round *centre* (an outline in mm), with the trade's usual
    figures for everything that nobody has decided yet.
    """
    width = float(centre.get("diameter_mm") or centre.get("width_mm") or 6.5)
    wire = claw_wire(stone_mm=min(max(width, 2.0), 9.0))
    wire_mm = round((wire.low + wire.high) / 2, 2)
    return {
        "centre": {
            "outline": centre,
            "depth_mm": depth_mm,
            "species": "diamond",
            "origin": "natural",
            "from": "nominal",
        },
        "halo": {
            "target": None,
            "melee": {"sizes_mm": DEFAULT_SIZES_MM, "stock": None, "wanted_mm": 1.3},
            "rules": dict(DEFAULT_RULES),
            "symmetry": "any",
            "rows": 1,
        },
        "claws": {"angles_deg": [45.0, 135.0, 225.0, 315.0], "wire_mm": wire_mm},
        "shank": {
            "profile": "court",
            "width_mm": 2.2,
            "thickness_mm": 1.8,
            "width_end_mm": 2.0,
            "thickness_end_mm": 1.6,
        },
        "circumference_mm": circumference_mm,
        "metal": metal,
        "head_allowance_mm3": 55.0,
        "engraving": "",
    }


def usual() -> dict:
    """What a first draft begins with, before anything is known of the stone."""
    return standard(
        centre={"cut": "round", "diameter_mm": 6.5},
        depth_mm=4.0,
        circumference_mm=54.0,
        metal="18ct yellow",
    )


def extent(outline: dict) -> tuple[float, float]:
    """Length and width of an outline, mm; those of a scan are what its points reach."""
    if "points_mm" in outline:
        xs, ys = zip(*outline["points_mm"], strict=True)
        return round(max(ys) - min(ys), 3), round(max(xs) - min(xs), 3)
    across = outline.get("diameter_mm")
    return across or outline["length_mm"], across or outline["width_mm"]


def halo_case(parameters: dict) -> dict | None:
    """The halo case of a design, or None for a ring without one."""
    wish = parameters.get("halo")
    return None if not wish else {"centre": parameters["centre"]["outline"], **wish}


def _key(case: dict) -> str:
    return json.dumps(case, sort_keys=True)


@lru_cache(maxsize=64)
def _fitted(key: str) -> str:
    return json.dumps(fit_halo(read_case(json.loads(key))))


def fit(case: dict) -> dict:
    """The verified layout of a case; the same case is fitted once in a process."""
    return json.loads(_fitted(_key(case)))


def outputs(parameters: dict) -> dict:
    """
    Everything computed from *parameters*; pure, and the same for the same parameters and engine.

    Raises:
        BadInput: a parameter is out of range; its field is named.
    """
    case = halo_case(parameters)
    layout = fit(case) if case else None
    alloy = find(name=parameters["metal"])
    inside = parameters["circumference_mm"] / math.pi
    shank = band(inside_diameter_mm=inside, **parameters["shank"])
    head = float(parameters["head_allowance_mm3"])
    finished_mm3 = shank.volume_mm3 + head
    # The model is larger than the finished ring by what filing and polishing will take.
    model_mm3 = finished_mm3 / (1 - FINISHING_LOSS_PCT / 100)
    chain = casting_chain(
        pattern_mass_g=mass_from_volume(volume_mm3=model_mm3, density_g_cm3=PATTERN_DENSITY),
        metal_density_g_cm3=alloy.density_g_cm3,
        pattern_density_g_cm3=PATTERN_DENSITY,
        button_pct=BUTTON_PCT,
        finishing_loss_pct=FINISHING_LOSS_PCT,
    )
    return {
        "layout": layout,
        "metal": {
            "alloy": alloy.name,
            "density_g_cm3": alloy.density_g_cm3,
            "fineness_ppt": alloy.fineness_ppt,
            "nickel": alloy.nickel,
            "shank_mm3": round(shank.volume_mm3, 3),
            "head_mm3": head,
            "finished_mg": round(chain.finished_mass_g * 1000),
            "cast_mg": round(chain.cast_mass_g * 1000),
            "pour_mg": round(chain.pour_mass_g * 1000),
            "pattern_mg": round(chain.pattern_mass_g * 1000),
        },
        "findings": [
            {"check": row.check, "verdict": row.verdict, "words": row.words}
            for row in checks(parameters, layout)
            if row.verdict != "good"
        ],
        "engine": ENGINE_VERSION,
    }


def checks(parameters: dict, layout: dict | None) -> list[Finding]:
    """Every check of whether a design can be made, those that went well too (see gemcalc.makeability)."""
    shank = parameters["shank"]
    return makeability(
        plan=Plan(
            stone_mm=extent(parameters["centre"]["outline"])[1] or None,
            claw_wire_mm=parameters["claws"]["wire_mm"],
            stone_gap_mm=layout["figures"]["gap_least_mm"] if layout and layout["feasible"] else None,
            halo_clearance_mm=parameters["halo"]["rules"]["clearance_mm"] if layout else None,
            band_width_mm=min(shank["width_mm"], shank.get("width_end_mm") or 99),
            band_thickness_mm=min(shank["thickness_mm"], shank.get("thickness_end_mm") or 99),
        )
    )


def digest(value: object) -> str:
    """SHA-256 of the canonical JSON of a value."""
    text = json.dumps(value, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    return hashlib.sha256(text.encode()).hexdigest()


WORDS = {
    "centre": "Centre stone",
    "outline": "outline",
    "diameter_mm": "diameter",
    "length_mm": "length",
    "width_mm": "width",
    "depth_mm": "depth",
    "halo": "Halo",
    "melee": "melee",
    "rules": "rules",
    "clearance_mm": "clearance",
    "wanted_mm": "wanted size",
    "claws": "Claws",
    "wire_mm": "wire",
    "angles_deg": "angles",
    "shank": "Shank",
    "profile": "profile",
    "thickness_mm": "thickness",
    "width_end_mm": "width at the back",
    "thickness_end_mm": "thickness at the back",
    "circumference_mm": "Size",
    "metal": "Metal",
    "engraving": "Engraving",
    "target": "outer outline",
    "cut": "cut",
    "from": "measured by",
    "head_allowance_mm3": "Head allowance",
    "origin": "origin",
    "species": "species",
    "sizes_mm": "sizes",
    "points_mm": "measured outline",
    "gap_wanted_mm": "gap wanted",
    "clearance_max_mm": "greatest clearance",
    "stock": "stones in the drawer",
    "symmetry": "symmetry",
}


def differences(before: dict, after: dict) -> list[dict]:
    """What changed from one set of parameters to the next, in words: path, before, after."""
    rows: list[dict] = []
    before, after = _without_scan(before), _without_scan(after)

    def walk(path: list[str], a: object, b: object) -> None:
        if isinstance(a, dict) and isinstance(b, dict):
            for key in sorted({*a, *b}):
                walk([*path, key], a.get(key), b.get(key))
        elif a != b:
            what = ", ".join(WORDS.get(step, step.replace("_", " ")) for step in path)
            if _plain(a) != _plain(b):  # less than is written down is no difference to anybody
                rows.append({"what": what, "before": _plain(a), "after": _plain(b)})

    walk([], before, after)
    return rows


def _without_scan(parameters: dict) -> dict:
    """The parameters without what is known of the scan itself: its outline says what it changes."""
    made = copy.deepcopy(parameters)
    scan = made.get("centre", {}).pop("scan", None)
    if scan:
        made["centre"]["from"] = f"scan {scan['name']}"
    return made


def _plain(value: object) -> str:
    if value is None or value == "":
        return "none"
    if isinstance(value, float):
        return f"{value:.2f}"
    if isinstance(value, list) and value and isinstance(value[0], list):
        return f"an outline of {len(value)} points"
    if isinstance(value, list):
        return ", ".join(_plain(item) for item in value)
    if isinstance(value, dict):
        return ", ".join(f"{WORDS.get(key, key)} {_plain(item)}" for key, item in value.items())
    return str(value)
