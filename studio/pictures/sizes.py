"""The sizes in which a picture is shown."""

EDGES = (2000, 1000, 320)
"""Longest edges of the renditions, px: for the page at its largest, for letters and lists, for a thumb."""
