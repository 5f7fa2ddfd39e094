"""
Cautions shown at the step where work can hurt.

Common practice of the trade, no source; each defers to local rules, the maker's data sheet and training.
"""

CAUTIONS = {
    "torch": (
        "Torch: eye protection, hair and sleeves tied back, bottles chained and upright, leak test, "
        "extinguisher at hand. Follow your supplier's sheet and local fire rules."
    ),
    "pickle": (
        "Pickle and acids: acid into water, never water into acid. Gloves, eye protection, cover and extraction. "
        "Quench first, rinse well, and dispose as the data sheet and local rules say."
    ),
    "dust": (
        "Polishing dust: extraction and a fitted mask, hair and cuffs tied back, hold the work so that a snatch "
        "throws it away from you. Never polish chain on an unguarded spindle."
    ),
    "solder": (
        "Solder: no lead or cadmium in anything that is worn. Use only solder whose data sheet says so, "
        "with extraction. Grey soft solder on old work is lead: it eats into precious metal when heated. Take it off "
        "cold, with gloves, and keep its dust out of the air and out of the filings."
    ),
    "nickel": (
        "Nickel: ask what the alloy and the solder release on skin. An allergy on the brief means no nickel at all; "
        "local limits apply even without one."
    ),
    "plating": (
        "Plating: a cyanide-free bath only, extraction, gloves and eye protection; keep acids far from any bath. "
        "Bath data sheet and local rules decide, also on disposal."
    ),
    "vibration": (
        "Vibration and eyes: rest your hand between passes, keep tools sharp, light and lens at the right height. "
        "Tingling or numb fingers are a reason to stop and to tell somebody."
    ),
    "casting": (
        "Casting: dry flask and crucible, face shield, apron, closed shoes. Investment dust harms lungs: mix it "
        "damp and with extraction. Follow the maker's burn-out sheet."
    ),
}


def for_step(keys: str) -> list[tuple[str, str]]:
    """
    The cautions whose *keys*, parted by spaces, a step names, each as its subject and its words; unknown keys are
    passed over.

    >>> for_step("vibration unheard-of")[0][0]
    'Vibration and eyes'
    """
    found = [CAUTIONS[key].partition(": ") for key in keys.split() if key in CAUTIONS]
    return [(subject, words) for subject, _colon, words in found]
