"""
Figures for one-off rings: stones, halo, metal, sizes.

Pure and typed.
Keyword arguments carry their unit in the name: mm, ct, g, degrees, g/cm3.
Every constant and every formula names its source (see :mod:`gemcalc.sources`).
Nothing here imports Django or any other room of the house; the Django face is ``gemcalc.web``.
"""

ENGINE_VERSION = "1.0"
"""Version of the figures, stored beside every computed output so that it can be recomputed and compared."""
