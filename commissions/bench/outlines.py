"""
Faint outlines that show how a photograph is to be framed: one drawing for each kind of view.

The drawings (``templates/bench/outlines``) fill a square of 24 by 24 about its middle; they are guides and to no
scale. Which shot takes which view is common practice of the trade, no source.
"""

from __future__ import annotations

OF_SHOT = {
    "face-up": ("top", "From straight above, the mm scale along the lower edge."),
    "profile-left": ("side", "From its left, level with the girdle; shank round, not leaning."),
    "profile-right": ("side", "From its right, level with the girdle; shank round, not leaning."),
    "through-finger": ("through", "Through the finger hole; the gallery in the middle of it."),
    "three-quarter": ("three-quarter", "From the front and above, as it is held out to be looked at."),
    "hand": ("hand", "On a finger, the hand flat, for its size. No face, no other ring."),
    "inside": ("inside", "Into the shank, so that every letter and mark can be read."),
    "claws": ("close", "One claw fills the circle; each claw in turn."),
    "halo": ("quarter", "A quarter of the halo fills the frame; each quarter in turn."),
    "on-scale": ("scale", "Ring and reading together; the figures sharp."),
    "": ("step", "The ring fills the outline."),
}
"""Which view each shot takes, and what to look for, in a sentence."""


def view_of(shot: str) -> str:
    """The view of a shot; the plain one where it has none of its own."""
    return OF_SHOT.get(shot, OF_SHOT[""])[0]


def words_of(shot: str) -> str:
    """What to look for when this shot is taken."""
    return OF_SHOT.get(shot, OF_SHOT[""])[1]


def outline_of(shot: str) -> str:
    """The template of a shot's outline."""
    return f"bench/outlines/{view_of(shot)}.svg"
