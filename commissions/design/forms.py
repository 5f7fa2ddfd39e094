"""The parameters of a design as a person types them."""

from __future__ import annotations

import copy

from django import forms

from commissions.design import computing
from gemcalc.alloys import ALLOYS
from gemcalc.errors import BadInput
from gemcalc.profiles import PROFILES
from gemcalc.rings import ring_of_size
from studio.forms import PlainForm

CUTS = [
    ("round", "Round"),
    ("oval", "Oval"),
    ("cushion", "Cushion"),
    ("pear", "Pear"),
    ("marquise", "Marquise"),
    ("emerald", "Emerald"),
    ("princess", "Princess"),
    ("heart", "Heart"),
]
SYSTEMS = [
    ("iso", "Inside circumference, mm"),
    ("us", "United States, Canada"),
    ("uk", "United Kingdom, Ireland, Australia"),
    ("jp", "Japan"),
    ("ch", "Switzerland, Italy"),
]
SHAPES = [("follow", "Follows the stone"), ("round", "Round"), ("cushion", "Cushion")]


class Millimetres(forms.DecimalField):
    """A length in mm, with comma or point."""

    def __init__(self, **kwargs):
        kwargs.setdefault("min_value", 0)
        super().__init__(
            max_digits=7,
            decimal_places=3,
            widget=forms.TextInput(attrs={"inputmode": "decimal", "class": "short"}),
            **kwargs,
        )

    def to_python(self, value):
        if isinstance(value, str):
            value = value.strip().replace(",", ".").removesuffix("mm").strip()
        return super().to_python(value)


class Parameters(PlainForm):
    """One design, from the stone outwards."""

    cut = forms.ChoiceField(label="Centre stone", choices=CUTS)
    length_mm = Millimetres(label="Length or diameter, mm")
    width_mm = Millimetres(
        label="Width, mm", required=False, help_text="The same as the length for a round stone."
    )
    depth_mm = Millimetres(label="Depth, mm")
    halo = forms.BooleanField(label="A halo round it", required=False)
    shape = forms.ChoiceField(label="Outline of the halo", choices=SHAPES, required=False)
    shape_mm = Millimetres(
        label="Size of that outline, mm", required=False, help_text="Only where it does not follow the stone."
    )
    wanted_mm = Millimetres(label="Halo stones, wanted size, mm", required=False)
    sizes = forms.CharField(
        label="Sizes in the drawer, mm",
        required=False,
        max_length=200,
        help_text="For example 1.1 1.2 1.3. Left empty, every tenth from 1.0 to 1.8.",
    )
    clearance_mm = Millimetres(label="Clearance between stone and halo, mm", required=False)
    claws = forms.ChoiceField(label="Claws", choices=[("4", "Four"), ("6", "Six"), ("8", "Eight, in pairs")])
    wire_mm = Millimetres(label="Claw wire, mm")
    profile = forms.ChoiceField(label="Shank", choices=[(name, name.capitalize()) for name in PROFILES])
    shank_width_mm = Millimetres(label="Width at the top, mm")
    shank_thickness_mm = Millimetres(label="Thickness at the top, mm")
    shank_width_end_mm = Millimetres(label="Width at the back, mm")
    shank_thickness_end_mm = Millimetres(label="Thickness at the back, mm")
    system = forms.ChoiceField(label="Ring size in", choices=SYSTEMS)
    size = forms.CharField(label="Ring size", max_length=20, help_text="Such as 54, 6 1/2 or N½")
    metal = forms.ChoiceField(label="Metal", choices=[(name, name) for name in ALLOYS])
    head_mm3 = Millimetres(label="Head and gallery, mm³", help_text="An allowance until there is a model.")
    engraving = forms.CharField(label="Engraving", max_length=40, required=False)
    note = forms.CharField(
        label="Words to the client", max_length=2000, required=False, widget=forms.Textarea(attrs={"rows": 3})
    )

    def clean_size(self):
        try:
            ring = ring_of_size(system=self.cleaned_data.get("system", "iso"), size=self.cleaned_data["size"])
        except BadInput as error:
            raise forms.ValidationError(error.message) from None
        return round(ring.circumference_mm, 3)

    def clean_sizes(self):
        typed = self.cleaned_data["sizes"].replace(",", ".").replace(";", " ").split()
        try:
            return sorted({round(float(word), 3) for word in typed}) or computing.DEFAULT_SIZES_MM
        except ValueError:
            raise forms.ValidationError(
                "Write sizes in mm with a blank between them, such as 1.1 1.2 1.3."
            ) from None


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
    same = old.get("cut") == centre["cut"] and all(
        old.get(key) == value
        for key, value in centre.items()
        if key in ("diameter_mm", "length_mm", "width_mm")
    )
    made["centre"] |= {"outline": old if same else centre, "depth_mm": float(cleaned["depth_mm"])}
    if cleaned["halo"]:
        wish = (
            made.get("halo")
            or computing.standard(centre=centre, depth_mm=4, circumference_mm=54, metal=cleaned["metal"])[
                "halo"
            ]
        )
        wish["melee"] = {
            "sizes_mm": cleaned["sizes"],
            "stock": None,
            "wanted_mm": float(cleaned["wanted_mm"]) if cleaned["wanted_mm"] else None,
        }
        clearance = float(cleaned["clearance_mm"] or computing.DEFAULT_RULES["clearance_mm"])
        wish["rules"] |= {"clearance_mm": clearance, "clearance_max_mm": round(clearance + 0.2, 3)}
        wish["target"] = _target(cleaned)
        if wish["target"]:
            wish["rules"] |= {"inside_target_max_mm": 0.12, "outside_target_max_mm": 0.12}
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
    target = (halo or {}).get("target")
    return {
        "cut": outline["cut"],
        "length_mm": diameter or outline.get("length_mm"),
        "width_mm": diameter or outline.get("width_mm"),
        "depth_mm": parameters["centre"]["depth_mm"],
        "halo": bool(halo),
        "shape": target["cut"] if target else "follow",
        "shape_mm": (target.get("diameter_mm") or target.get("length_mm")) if target else None,
        "wanted_mm": (halo or {}).get("melee", {}).get("wanted_mm"),
        "sizes": " ".join(f"{size:g}" for size in (halo or {}).get("melee", {}).get("sizes_mm", [])),
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


class ClientAnswer(PlainForm):
    """What a client says of a design."""

    words = forms.CharField(
        label="Your words",
        max_length=5000,
        required=False,
        widget=forms.Textarea(attrs={"rows": 4}),
        help_text="Needed when you ask for something or are not sure yet.",
    )


class Reason(PlainForm):
    """Why a new revision is started."""

    reason = forms.CharField(label="Why a new revision", max_length=200)
