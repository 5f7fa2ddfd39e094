"""
The templates a new house begins with; the owner changes them as the house works.

The order of the work is common practice of the trade, no source. Times are a starting point to be replaced
by the house's own records.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True)
class Line:
    """One step as it is laid at first; ``minutes`` of planned work."""

    stage: str
    name: str
    words: str = ""
    by: str = ""
    minutes: int = 60
    cautions: str = ""


MODEL = [
    Line(
        stage="model",
        name="Model drawn from the measured stone",
        minutes=120,
        words="Seat, rail and clearances as on the sheet; the stone's own figures, not a stock size.",
    ),
    Line(
        stage="model",
        name="Model grown and checked",
        minutes=60,
        words="Callipers on rail, seat and shank; weigh the model for the metal forecast.",
    ),
]
CASTING = [
    Line(
        stage="casting",
        name="Cast",
        by="caster",
        minutes=30,
        words="Issue metal by weight; alloy on the slip as on the agreement.",
        cautions="casting",
    ),
    Line(
        stage="casting",
        name="Casting checked and weighed",
        minutes=30,
        words="Porosity near claws, sprue side, weight against the forecast.",
    ),
]
MOUNTING = [
    Line(
        stage="mounting",
        name="Cleaned up and assembled",
        minutes=180,
        cautions="torch pickle solder nickel",
        words="Round on the mandrel at the agreed size; rail level; seams closed.",
    ),
    Line(stage="mounting", name="Pre-polished inside the gallery", minutes=60, cautions="dust"),
]
SETTING = [
    Line(
        stage="setting",
        name="Centre tried in its seat",
        minutes=45,
        cautions="vibration",
        words="No gap above or below the girdle against the light; mark at north.",
    ),
    Line(
        stage="setting",
        name="Halo set",
        minutes=180,
        cautions="vibration",
        words="Count equals the sheet; tables level and following one line.",
    ),
    Line(
        stage="setting",
        name="Centre set",
        minutes=60,
        words="Close the claws in opposing order, tightened in two rounds.",
    ),
    Line(
        stage="setting",
        name="Stones counted",
        minutes=15,
        words="Issued is set, returned, broken and lost together.",
    ),
]
FINISHING = [
    Line(
        stage="finishing",
        name="Polished and cleaned",
        minutes=90,
        cautions="dust plating",
        words="Under the gallery as well; strain the bath and count after it.",
    ),
]
MARKING = [
    Line(
        stage="marking",
        name="Engraved and marked",
        by="assay",
        minutes=30,
        words="Read the engraving letter by letter; fineness mark as the alloy.",
    ),
]
CHECKING = [
    Line(
        stage="checking",
        name="Check sheet",
        minutes=60,
        words="Every line, on the clean ring, by a second person or after a night.",
    ),
    Line(
        stage="checking",
        name="Final photographs",
        minutes=45,
        words="The fixed set: face-up with scale, profiles, inside with marks, each claw.",
    ),
]
HAND_MADE = [
    Line(stage="mounting", name="Metal drawn, rolled and weighed out", minutes=90, cautions="torch pickle"),
    Line(
        stage="mounting",
        name="Collet, rail and shank made",
        minutes=360,
        cautions="torch pickle solder",
        words="Collet to the measured stone; rail concentric; shank round at the agreed size.",
    ),
    Line(stage="mounting", name="Assembled and soldered", minutes=180, cautions="torch pickle solder nickel"),
    Line(stage="mounting", name="Pre-polished inside the gallery", minutes=60, cautions="dust"),
]
OUTSIDE = [
    Line(
        stage="setting",
        name="Centre and halo set",
        by="setter",
        minutes=30,
        words="Slip with stones by count and weight; no client's name leaves the house.",
    ),
    Line(
        stage="setting",
        name="Back from the setter: counted and checked",
        minutes=45,
        words="Count, weigh, and look at every stone before it goes on.",
    ),
]
SMALL = [
    Line(
        stage="mounting",
        name="Looked over and measured",
        minutes=30,
        words="Size on the mandrel, every claw and stone under the loupe, photographed before anything is done.",
    ),
    Line(
        stage="mounting",
        name="Resized or repaired",
        minutes=120,
        cautions="torch pickle solder",
        words="Never stretch a ring set with stones. Keep heat from stones that do not bear it, or take them out.",
    ),
    Line(
        stage="setting",
        name="Every stone tried again",
        minutes=60,
        cautions="vibration",
        words="Halo and shoulders after any change of size: touched, tightened where it moves, counted.",
    ),
]

TEMPLATES = {
    "Cast halo ring": (
        "A mount cast from a model, set in the house.",
        [*MODEL, *CASTING, *MOUNTING, *SETTING, *FINISHING, *MARKING, *CHECKING],
    ),
    "Hand-made mount": (
        "Made from sheet and wire: no model, no casting.",
        [*HAND_MADE, *SETTING, *FINISHING, *MARKING, *CHECKING],
    ),
    "Cast, with an outside setter": (
        "A cast mount that leaves the house to be set.",
        [*MODEL, *CASTING, *MOUNTING, *OUTSIDE, *FINISHING, *MARKING, *CHECKING],
    ),
    "Resize or repair": (
        "A small job on a ring that is finished.",
        [*SMALL, *FINISHING, *CHECKING],
    ),
}

FINAL_SHOTS = [
    ("face-up", "Face-up with a mm scale"),
    ("profile-left", "Left profile"),
    ("profile-right", "Right profile"),
    ("through-finger", "Through the finger hole"),
    ("three-quarter", "Three-quarter"),
    ("hand", "On a hand, for scale"),
    ("inside", "Inside, with marks and engraving"),
    ("claws", "Claws, close"),
    ("halo", "Halo, each quarter, close"),
    ("on-scale", "Ring on the scale, reading legible"),
]
"""The fixed set of final photographs; common practice of the trade, no source."""

SHOT_CAPTIONS = dict(FINAL_SHOTS)
