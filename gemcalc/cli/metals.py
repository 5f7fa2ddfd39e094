"""Command face of the metal figures: alloy, band, casting, model."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from typing import Any

from gemcalc.alloys import Alloy, find
from gemcalc.bands import band as band_volume
from gemcalc.casting import BUTTON_PCT, FINISHING_LOSS_PCT, WAX_G_CM3, casting_chain, mass_from_volume
from gemcalc.cli.reading import number, word
from gemcalc.errors import BadInput
from gemcalc.mixture import ELEMENTS, mixture
from gemcalc.model_weights import model_weights
from gemcalc.profiles import PROFILES

DENSITY_LOW, DENSITY_HIGH = 2.0, 22.6


def _alloy(value: object, *, field: str) -> Alloy:
    if not isinstance(value, str) or not value.strip():
        raise BadInput("must be the name of an alloy", field=field)
    try:
        return find(name=value)
    except BadInput as error:
        raise BadInput(error.message, field=field) from None


def _density(data: Mapping[str, Any], *, needed: bool) -> float | None:
    """The density from the supplier's sheet where it is given, otherwise that of the named alloy."""
    given = number(data, "density", low=DENSITY_LOW, high=DENSITY_HIGH, default=None)
    named = data.get("alloy")
    if named not in (None, ""):
        alloy = _alloy(named, field="alloy")
        return float(given) if given is not None else alloy.density_g_cm3
    if given is None and needed:
        raise BadInput("is needed: the name of an alloy here, or its density under density", field="alloy")
    return None if given is None else float(given)


def alloy(data: Mapping[str, Any]) -> dict[str, Any]:
    """
    Density, fineness and nickel status of an alloy, from its composition or its name.

    Args:
        data: ``composition`` {symbol: percent} or ``name``.

    Returns:
        The object to print.

    Raises:
        BadInput: neither is given, or the one that is cannot be used.
    """
    composition, name = data.get("composition"), data.get("name")
    if composition is None:
        if name in (None, ""):
            raise BadInput("is needed: a name, or a composition", field="name")
        row = _alloy(name, field="name")
        parts = row.composition_pct
        fineness = {symbol: round(share * 10, 6) for symbol, share in parts.items()} if parts else {}
        return {
            "name": row.name,
            "density": row.density_g_cm3,
            "fineness_ppt": fineness | {row.metal: row.fineness_ppt},
            "low": row.low_g_cm3,
            "high": row.high_g_cm3,
            "nickel": row.nickel,
            "sources": list(row.sources),
            "note": row.note,
        }
    if not isinstance(composition, dict) or not composition:
        raise BadInput('must be an object of symbols and percents, such as {"Ag": 92.5}', field="composition")
    for symbol in composition:
        if symbol not in ELEMENTS:
            raise BadInput(f"{symbol!r} is not an element of this table", field="composition")
    try:
        shares = {symbol: number(composition, symbol, low=0, high=100.5) for symbol in composition}
    except BadInput as error:
        raise BadInput(f"the share of {error.field} {error.message}", field="composition") from None
    mixed = mixture(composition_pct=shares)
    return {
        "density": mixed.density_g_cm3,
        "fineness_ppt": dict(mixed.fineness_ppt),
        "low": mixed.low_g_cm3,
        "high": mixed.high_g_cm3,
        "nickel": mixed.nickel,
        "sources": list(mixed.sources),
    }


def band(data: Mapping[str, Any]) -> dict[str, Any]:
    """
    Volume and mass of a band.

    Args:
        data: ``profile``, ``width_mm``, ``thickness_mm``, ``inside_diameter_mm``, and what the figure allows.

    Returns:
        The object to print; without an alloy or a density the mass is null.

    Raises:
        BadInput: a field is missing or cannot be used.
    """
    profile = word(data, "profile", choices=list(PROFILES))
    size = {"low": 0.05, "high": 100.0}
    result = band_volume(
        profile=profile,
        width_mm=number(data, "width_mm", **size),
        thickness_mm=number(data, "thickness_mm", **size),
        inside_diameter_mm=number(data, "inside_diameter_mm", low=0.5, high=200.0),
        width_end_mm=number(data, "width_end_mm", **size, default=None),
        thickness_end_mm=number(data, "thickness_end_mm", **size, default=None),
    )
    density = _density(data, needed=False)
    answer: dict[str, Any] = {
        "volume_mm3": result.volume_mm3,
        "mass_g": None
        if density is None
        else mass_from_volume(volume_mm3=result.volume_mm3, density_g_cm3=density),
        "density": density,
        "sources": ["pappus"] if result.centroid_radius_mm is not None else ["pappus", "simpson"],
    }
    if result.centroid_radius_mm is not None:
        answer["centroid_radius_mm"] = result.centroid_radius_mm
    return answer


def casting(data: Mapping[str, Any]) -> dict[str, Any]:
    """
    Masses from pattern to finished mount.

    Args:
        data: ``pattern_mass_g``, ``alloy`` or ``density``, and the allowances.

    Returns:
        The object to print.

    Raises:
        BadInput: a field is missing or cannot be used.
    """
    pattern = number(data, "pattern_mass_g", low=0.001, high=10_000)
    density = _density(data, needed=True)
    assert density is not None  # needed=True has refused its absence
    chain = casting_chain(
        pattern_mass_g=pattern,
        metal_density_g_cm3=density,
        pattern_density_g_cm3=number(data, "pattern_density", low=0.5, high=3, default=WAX_G_CM3),
        shrinkage_linear_pct=number(data, "shrinkage_linear_pct", low=0, high=10, default=0.0),
        button_pct=number(data, "button_pct", low=0, high=500, default=BUTTON_PCT),
        finishing_loss_pct=number(data, "finishing_loss_pct", low=0, high=90, default=FINISHING_LOSS_PCT),
    )
    return {
        "cast_mass_g": chain.cast_mass_g,
        "pour_mass_g": chain.pour_mass_g,
        "finished_mass_g": chain.finished_mass_g,
        "density": density,
        "links": [
            {"name": link.name, "mass_g": link.mass_g, "allowance": link.allowance, "source": link.source}
            for link in chain.links
        ],
        "sources": sorted({link.source for link in chain.links}),
    }


def model(data: Mapping[str, Any]) -> dict[str, Any]:
    """
    Volume and masses of a model file.

    Args:
        data: ``path`` of the file, ``alloys`` by name.

    Returns:
        The object to print.

    Raises:
        BadInput: the file or a name cannot be used.
    """
    # numpy is loaded only here: a band's weight must not pay for it.
    from gemcalc.models import measure_file

    path, names = data.get("path"), data.get("alloys", [])
    if not isinstance(path, str) or not path.strip() or "\0" in path:
        raise BadInput("must be the path of a model file", field="path")
    if not isinstance(names, list):
        raise BadInput("must be a list of names of alloys", field="alloys")
    alloys = {str(name): _alloy(name, field="alloys") for name in names}
    unit = word(data, "unit", choices=["mm", "cm", "m", "inch"], default=None)
    try:
        found = measure_file(path=Path(path), unit=unit)
    except BadInput as error:
        raise BadInput(error.message, field=error.field or "path") from None
    rows = model_weights(
        volume_mm3=found.volume_mm3,
        alloys=alloys.values(),
        button_pct=number(data, "button_pct", low=0, high=500, default=BUTTON_PCT),
        finishing_loss_pct=number(data, "finishing_loss_pct", low=0, high=90, default=FINISHING_LOSS_PCT),
    )
    # Under the names that were asked for, however they were spelt.
    weights = dict(zip(alloys, rows, strict=True))
    return {
        "watertight": found.watertight,
        "sound": found.sound,
        "volume_mm3": found.volume_mm3,
        "area_mm2": found.area_mm2,
        "size_mm": list(found.size_mm),
        "triangles": found.triangles,
        "bodies": found.bodies,
        "mass_g": {name: row.mass_g for name, row in weights.items()},
        "pour_mass_g": {name: row.pour_mass_g for name, row in weights.items()},
        "finished_mass_g": {name: row.finished_mass_g for name, row in weights.items()},
        "faults": list(found.faults),
        "notes": list(found.notes),
        "sources": ["divergence-theorem"],
    }
