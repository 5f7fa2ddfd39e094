"""What stands in one model part of a 3MF, gathered while its XML streams past."""

from __future__ import annotations

from array import array
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from gemcalc.errors import BadInput
from gemcalc.meshes.limits import MAX_TRIANGLES, refuse

Matrix = np.ndarray[Any, Any]

IDENTITY: Matrix = np.eye(4)

MAX_XML_DEPTH = 32
MAX_PIECES = 20_000
MAX_NUMBERS = 3 * MAX_TRIANGLES
MAX_ELEMENTS = 2 * MAX_TRIANGLES


@dataclass
class Piece:
    """One object of a model part: a mesh, or other objects put together."""

    vertices: array[float] = field(default_factory=lambda: array("d"))
    triangles: array[int] = field(default_factory=lambda: array("q"))
    components: list[tuple[str, str, Matrix]] = field(default_factory=list)


@dataclass
class ModelPart:
    """One ``.model`` file: its unit, its objects and what of them is built."""

    unit: str = "millimeter"
    pieces: dict[str, Piece] = field(default_factory=dict)
    items: list[tuple[str, str, Matrix]] = field(default_factory=list)


def _matrix(text: str | None) -> Matrix:
    if not text:
        return IDENTITY
    try:
        values = [float(value) for value in text.split()]
    except ValueError:
        values = []
    if len(values) != 12 or not np.isfinite(values).all():
        raise refuse("a part of this 3MF is placed with something that is not twelve numbers")
    matrix = np.eye(4)
    matrix[:, :3] = np.reshape(values, (4, 3))
    return matrix


class Target:
    """Receives the XML as events, so that no tree of a million nodes is ever built."""

    def __init__(self) -> None:
        self.part = ModelPart()
        self._piece = Piece()
        self._depth = 0
        self._pieces = 0
        self._elements = 0
        self.events = 0

    def start(self, tag: str, attributes: dict[str, str]) -> None:
        """Take what one opening tag tells."""
        self.events += 1
        self._elements += 1
        self._depth += 1
        if self._elements > MAX_ELEMENTS:
            raise refuse(
                f"the model inside this 3MF has more than {MAX_ELEMENTS:,} entries: export a coarser mesh"
            )
        if self._depth > MAX_XML_DEPTH:
            raise refuse("the model inside this 3MF is nested too deeply")
        if len(self._piece.triangles) > MAX_NUMBERS or len(self._piece.vertices) > MAX_NUMBERS:
            raise refuse(
                f"a part of this 3MF has more than {MAX_TRIANGLES:,} corners or triangles: export it coarser"
            )
        name = tag.rpartition("}")[2]
        try:
            if name == "vertex":
                self._piece.vertices.extend(
                    (float(attributes["x"]), float(attributes["y"]), float(attributes["z"]))
                )
            elif name == "triangle":
                self._piece.triangles.extend(
                    (int(attributes["v1"]), int(attributes["v2"]), int(attributes["v3"]))
                )
            else:
                self._other(name, attributes)
        except BadInput:
            raise
        except KeyError as missing:
            raise refuse(f"something called {name!r} in this 3MF lacks its {missing.args[0]}") from None
        except (ValueError, OverflowError):
            raise refuse(f"something called {name!r} in this 3MF holds what is not a number") from None

    def _other(self, name: str, attributes: dict[str, str]) -> None:
        if name in ("object", "component", "item"):
            self._pieces += 1
            if self._pieces > MAX_PIECES:
                raise refuse(f"this 3MF has more than {MAX_PIECES:,} parts")
        if name == "model":
            self.part.unit = attributes.get("unit", "millimeter")
        elif name == "object":
            self._piece = self.part.pieces.setdefault(attributes["id"], Piece())
        elif name in ("component", "item"):
            # The path attribute belongs to an extension, so its name comes with that extension's address.
            path = next((text for key, text in attributes.items() if key.rpartition("}")[2] == "path"), "")
            placed = (path, attributes["objectid"], _matrix(attributes.get("transform")))
            (self.part.items if name == "item" else self._piece.components).append(placed)

    def end(self, tag: str) -> None:
        """Leave one tag."""
        self._depth -= 1

    def data(self, text: str) -> None:
        """Text between tags means nothing in a model, but shows that the reading goes on."""
        self.events += 1

    def comment(self, text: str) -> None:
        """Neither does a comment."""
        self.events += 1

    def close(self) -> None:
        """The end of the XML."""
