"""
The rows behind :mod:`gemcalc.alloys`.

Working densities lie inside what suppliers print and what the rule of mixtures gives.
Published tables that are left out on purpose: a factory page with 16.5 g/cm3 for 18 ct, an older page with
23.6 for 950 platinum (denser than pure platinum) and 10.8 for silver: they hide a casting allowance.
"""

from __future__ import annotations

from gemcalc.mixture import NickelStatus

Row = tuple[str, str, float, float, float, float, NickelStatus, dict[str, float] | None, tuple[str, ...], str]

ASK_FOR_SHEET = "Take the density and the nickel statement from your supplier's sheet."

# name, metal, fineness ppt, density, low, high (g/cm3), nickel, composition (percent), sources, note
ROWS: tuple[Row, ...] = (
    ("24ct Au", "Au", 999, 19.32, 19.3, 19.36, "none", {"Au": 100}, ("stuller-sg", "periodictable"), ""),
    ("22ct yellow", "Au", 916, 17.8, 17.6, 17.9, "none",
     {"Au": 91.67, "Ag": 5, "Cu": 2, "Zn": 1.33}, ("rule-of-mixtures", "alloy-memory"), ""),
    ("18ct yellow", "Au", 750, 15.5, 15.2, 15.6, "none",
     {"Au": 75, "Ag": 12.5, "Cu": 12.5}, ("stuller-sg", "romanoff", "au-enterprises"), ""),
    ("18ct rose/red", "Au", 750, 15.1, 14.98, 15.2, "none",
     {"Au": 75, "Ag": 2.75, "Cu": 22.25}, ("stuller-sg", "rule-of-mixtures"), ""),
    ("18ct green", "Au", 750, 15.9, 15.8, 16.0, "none",
     {"Au": 75, "Ag": 25}, ("stuller-sg", "rule-of-mixtures"), ""),
    ("18ct white Ni", "Au", 750, 14.65, 14.5, 14.9, "contains",
     {"Au": 75, "Ni": 17.3, "Cu": 2.2, "Zn": 5.5}, ("stuller-sg", "au-enterprises"), ""),
    ("18ct white Pd", "Au", 750, 16.0, 15.5, 16.45, "unknown", None,
     ("alloy-memory", "rule-of-mixtures"),
     "Most are nickel-free, some hold a little nickel; the sheet decides."),
    ("14ct yellow", "Au", 585, 13.1, 12.9, 13.9, "none",
     {"Au": 58.5, "Ag": 4, "Cu": 31.2, "Zn": 6.3}, ("stuller-sg", "romanoff", "au-enterprises"), ""),
    ("14ct rose/red", "Au", 585, 13.3, 13.2, 13.4, "none",
     {"Au": 58.5, "Ag": 9, "Cu": 32.5}, ("stuller-sg", "tmt"), ""),
    ("14ct green", "Au", 583, 14.2, 14.1, 14.35, "none",
     {"Au": 58.3, "Ag": 41.7}, ("stuller-sg", "rule-of-mixtures"), "583 ‰ is below the 585 mark."),
    ("14ct white Ni", "Au", 585, 12.65, 12.6, 12.9, "contains",
     {"Au": 58.5, "Ni": 17, "Cu": 17, "Zn": 7.5}, ("stuller-sg", "au-enterprises"), ""),
    ("14ct white Pd", "Au", 585, 14.2, 13.7, 14.5, "unknown", None,
     ("alloy-memory", "rule-of-mixtures"),
     "Some palladium white golds hold about 1 % nickel; the sheet decides."),
    ("10ct yellow", "Au", 416.67, 11.6, 11.5, 11.7, "none",
     {"Au": 41.7, "Ag": 11, "Cu": 40.8, "Zn": 6.5}, ("stuller-sg", "au-enterprises"), ""),
    ("9ct yellow", "Au", 375, 11.2, 11.0, 11.4, "none",
     {"Au": 37.5, "Ag": 10, "Cu": 45, "Zn": 7.5}, ("rule-of-mixtures", "alloy-memory"), ""),
    ("9ct white", "Au", 375, 10.8, 10.7, 12.0, "unknown", None,
     ("alloy-memory", "rule-of-mixtures"), "Sold with nickel and without: " + ASK_FOR_SHEET),
    ("Ag925", "Ag", 925, 10.36, 10.3, 10.4, "none", {"Ag": 92.5, "Cu": 7.5}, ("espi", "au-enterprises"), ""),
    ("Ag958", "Ag", 958, 10.42, 10.4, 10.45, "none", {"Ag": 95.8, "Cu": 4.2},
     ("rule-of-mixtures", "alloy-memory"), ""),
    ("germanium sterling", "Ag", 925, 10.28, 10.25, 10.35, "none",
     {"Ag": 92.5, "Cu": 6.3, "Ge": 1.2}, ("rule-of-mixtures", "alloy-memory"), ""),
    ("Pt950Ru", "Pt", 950, 20.7, 20.6, 20.75, "none", {"Pt": 95, "Ru": 5},
     ("romanoff", "platinum-metals-review"), ""),
    ("Pt950Ir", "Pt", 950, 21.5, 21.4, 21.55, "none", {"Pt": 95, "Ir": 5},
     ("rule-of-mixtures", "alloy-memory"), ""),
    ("Pt900Ir", "Pt", 900, 21.54, 21.5, 21.6, "none", {"Pt": 90, "Ir": 10}, ("stuller-sg",), ""),
    ("Pt950Co", "Pt", 950, 20.1, 20.0, 20.8, "none", {"Pt": 95, "Co": 5},
     ("rule-of-mixtures", "stuller-sg"),
     "20.80 is printed widely, but neither mixing nor the crystal lattice supports more than 20.1."),
    ("Pt950Cu", "Pt", 950, 20.0, 19.9, 20.1, "none", {"Pt": 95, "Cu": 5},
     ("rule-of-mixtures", "alloy-memory"), ""),
    ("Pd950Ru", "Pd", 950, 12.0, 11.9, 12.1, "none", {"Pd": 95, "Ru": 5},
     ("romanoff", "platinum-metals-review"), ""),
    ("Pd950Ga", "Pd", 950, 11.5, 11.4, 11.8, "none", {"Pd": 95, "Ga": 5},
     ("rule-of-mixtures", "alloy-memory"), ""),
)  # fmt: skip

ALIASES: dict[str, str] = {
    "24ct": "24ct Au",
    "24ct gold": "24ct Au",
    "24ct yellow": "24ct Au",
    "fine gold": "24ct Au",
    "22ct": "22ct yellow",
    "22ct yellow gold": "22ct yellow",
    "18ct yellow gold": "18ct yellow",
    "18ct rose": "18ct rose/red",
    "18ct red": "18ct rose/red",
    "18ct rose gold": "18ct rose/red",
    "18ct red gold": "18ct rose/red",
    "18ct green gold": "18ct green",
    "18ct white nickel": "18ct white Ni",
    "18ct white palladium": "18ct white Pd",
    "14ct yellow gold": "14ct yellow",
    "14ct rose": "14ct rose/red",
    "14ct red": "14ct rose/red",
    "14ct rose gold": "14ct rose/red",
    "14ct red gold": "14ct rose/red",
    "14ct white nickel": "14ct white Ni",
    "14ct white palladium": "14ct white Pd",
    "10ct yellow gold": "10ct yellow",
    "9ct yellow gold": "9ct yellow",
    "9ct white gold": "9ct white",
    "sterling": "Ag925",
    "sterling silver": "Ag925",
    "silver 925": "Ag925",
    "925 silver": "Ag925",
    "britannia silver": "Ag958",
    "silver 958": "Ag958",
    "platinum 950 ruthenium": "Pt950Ru",
    "950 platinum ruthenium": "Pt950Ru",
    "platinum 950 iridium": "Pt950Ir",
    "platinum 900 iridium": "Pt900Ir",
    "platinum 950 cobalt": "Pt950Co",
    "platinum 950 copper": "Pt950Cu",
    "palladium 950 ruthenium": "Pd950Ru",
    "palladium 950 gallium": "Pd950Ga",
}
"""Other spellings in use. A white gold or a platinum without its partner is not guessed."""
