"""A CAD model's volume, and its mass in every alloy."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from gemcalc.alloys import ALLOYS
from gemcalc.casting import BUTTON_PCT, FINISHING_LOSS_PCT
from gemcalc.drawing import Scene, beside
from gemcalc.drawing.dimension import across, upright
from gemcalc.drawing.scene import finish, label, line
from gemcalc.errors import BadInput
from gemcalc.model_weights import model_weights
from gemcalc.models import KINDS, UNITS_MM, measure_upload
from gemcalc.web.answer import Answer, Fact, Finding, Headline, Table, drawn, span
from gemcalc.web.fields import choice, figure, usual
from gemcalc.web.typed import PERCENT
from gemcalc.web.uploads.page import Upload, UploadForm, file_box, refused

ENDINGS = ",".join(f".{kind}" for kind in KINDS)


class Model(UploadForm):
    """Boxes for a CAD model."""

    file = file_box("The model", ENDINGS)
    unit = choice(
        "Drawn in", [("", "Millimetres, unless the file says"), *((unit, unit) for unit in UNITS_MM)]
    )
    alloy = choice("Alloy", [(name, name) for name in ALLOYS], initial="18ct yellow")
    button = figure(PERCENT, "Button and sprue", initial=usual(BUTTON_PCT), required=False)
    loss = figure(
        PERCENT,
        "Filed and polished away",
        initial=usual(FINISHING_LOSS_PCT),
        required=False,
        help_text="0 for a model drawn at its finished size.",
    )
    names = {"button_pct": "button", "finishing_loss_pct": "loss"}


def weigh(data: Mapping[str, Any]) -> tuple[Answer, dict[str, str]]:
    """A model's volume and masses."""
    try:
        found = measure_upload(upload=data["file"], filename=data["file"].name, unit=data["unit"] or None)
    except BadInput as error:
        raise refused("file", error) from None
    rows = model_weights(
        volume_mm3=max(found.volume_mm3, 0.0),
        alloys=ALLOYS.values(),
        button_pct=BUTTON_PCT if data["button"] is None else data["button"],
        finishing_loss_pct=FINISHING_LOSS_PCT if data["loss"] is None else data["loss"],
    )
    chosen = next(row for row in rows if row.alloy == data["alloy"])
    findings = [Finding(verdict="stop", words=words) for words in found.faults]
    findings += [Finding(verdict="look", words=words) for words in found.notes]
    if found.sound:
        findings.insert(0, Finding(verdict="good", words="Closed, and every face agrees about the outside."))
    x, y, z = found.size_mm
    answer = Answer(
        headlines=[Headline(label=f"As cast in {chosen.alloy}", value=f"{chosen.mass_g:.2f}", unit="g",
                            range=f"from {span(chosen.low_g, chosen.high_g, places=2, unit='g')}"
                            if found.sound else "a guess: the model is not sound"),
                   Headline(label="Volume", value=f"{found.volume_mm3:.2f}", unit="mm³")],
        findings=findings,
        drawings=[drawn(_boxes(x, y, z), "The box round the model from the front and from above, mm.")],
        facts=[Fact(label="Box", value=f"{x:.2f} × {y:.2f} × {z:.2f} mm"),
               Fact(label="Surface", value=f"{found.area_mm2:.1f} mm²"),
               Fact(label="Triangles", value=f"{found.triangles:,}"),
               Fact(label="Bodies", value=str(found.bodies))],
        tables=[Table(caption="In every alloy", head=("Alloy", "cast g", "with button g", "finished g"),
                      rows=[(row.alloy, f"{row.mass_g:.2f}", f"{row.pour_mass_g:.2f}", f"{row.finished_mass_g:.2f}")
                            for row in rows])],
        caution="The file is measured and not kept. Stones modelled as solids weigh as metal here: hide them before you export.",
        sources=("divergence-theorem", "romanoff-button", "teague", "practice"),
    )  # fmt: skip
    return answer, {}


def _boxes(x: float, y: float, z: float) -> Scene:
    size = min(max(0.05 * max(x, y, z), 0.02), 40.0)
    views = [_face(x, z, "front", size), _face(x, y, "above", size)]
    return beside(
        views,
        gap_mm=1.5 * size,
        title="The box round the model",
        description=f"{x:.2f} by {y:.2f} by {z:.2f} mm",
    )


def _face(width: float, height: float, words: str, size: float) -> Scene:
    items = [line("metal", (0.0, 0.0), (width, 0.0), (width, height), (0.0, height), closed=True)]
    items += across(0.0, width, -1.2 * size, f"{width:.2f}", size, from_y=(0.0, 0.0))
    items += upright(0.0, height, width + 1.2 * size, f"{height:.2f}", size, from_x=(width, width))
    items.append(label(words, width / 2, height + 0.6 * size, size, kind="note"))
    return finish(items, title=words, description=words, margin=0.5 * size, weight=max(0.02, 20 * size / 9.3))


PAGE = Upload(
    name="model",
    title="A CAD model's weight",
    does="Volume of an STL, OBJ, 3MF or PLY, what is wrong with it, and its mass in every alloy.",
    act="Weigh the model",
    form=Model,
    answer=weigh,
)
