"""The forms of the figures: boxes that read what people type, and errors in their words."""

from __future__ import annotations

from decimal import Decimal

from django import forms

from gemcalc.errors import BadInput
from gemcalc.web import typed
from studio.fields import Words
from studio.forms import PlainForm

CONTINUES = (
    "must ",
    "is ",
    "are ",
    "has ",
    "have ",
    "needs ",
    "of ",
    "lie ",
    "leave ",
    "do ",
    "could ",
    "crosses ",
)
"""How the library's messages start where they continue the name of the field."""


def sentence(message: str, *, about: str = "") -> str:
    """The library's message as a sentence, led by the field's name where it continues one."""
    whole = f"{about} {message}" if about and message.startswith(CONTINUES) else message
    return whole[:1].upper() + whole[1:] + ("" if whole.endswith((".", "!", "?")) else ".")


class Figure(forms.CharField):
    """A figure as typed; a float in the unit of its kind, or the exact decimal."""

    def __init__(self, kind: typed.Kind, *, exact: bool = False, whole: bool = False, **more):
        self.kind, self.exact, self.whole = kind, exact, whole
        more.setdefault("max_length", 60)
        attrs = {"inputmode": "text", "autocomplete": "off", "class": "figure-box", "spellcheck": "false"}
        more.setdefault("widget", forms.TextInput(attrs=attrs))
        super().__init__(**more)

    def clean(self, value):
        text = super().clean(value)
        if text in self.empty_values:
            return None
        try:
            figure = typed.figure_typed(text, kind=self.kind)
        except BadInput as error:
            raise forms.ValidationError(sentence(error.message, about=str(self.label or ""))) from None
        if self.whole:
            if figure != figure.to_integral_value():
                raise forms.ValidationError(f"{self.label} must be a whole number.")
            return int(figure)
        return figure if self.exact else float(figure)


def figure(kind: typed.Kind, label: str, **more) -> Figure:
    """A box for one figure, its unit beside it."""
    return Figure(kind, label=label, **more)


def choice(label: str, choices, *, initial: str = "", **more) -> forms.ChoiceField:
    """A list to choose from; left alone it keeps its first or *initial* choice."""
    listed = list(choices)
    more.setdefault("required", False)
    return forms.ChoiceField(label=label, choices=listed, initial=initial or listed[0][0], **more)


def words(label: str, *, rows: int = 0, max_length: int = 200, **more) -> forms.CharField:
    """A box for words, with *rows* lines where it may hold several."""
    attrs = {"autocomplete": "off", "spellcheck": "false"} | (
        {"rows": rows, "class": "lines"} if rows else {}
    )
    widget = forms.Textarea(attrs=attrs) if rows else forms.TextInput(attrs=attrs)
    return Words(label=label, widget=widget, max_length=max_length, **more)


class FigureForm(PlainForm):
    """
    A form whose values live in the address.

    Boxes that were left alone take their usual value; the usual value is shown in them.
    """

    groups: tuple[tuple[str, tuple[str, ...]], ...] = ()
    """Headings and the names under each; none means one group without a heading."""

    folded: tuple[str, ...] = ()
    """Headings of groups that stay folded until something in them is typed or wrong."""

    only: dict[str, str] = {}
    """Classes of fields that belong to one choice alone, by name (see figures.css)."""

    names: dict[str, str] = {}
    """Library's field name to the name of the box, where they differ."""

    def __init__(self, data=None, *args, **more):
        super().__init__(self._filled(data) if data is not None else None, *args, **more)
        for name, field in self.fields.items():
            field.template_name = "figures/field.html"
            field.widget_classes = self.only.get(name, "")
            field.suffix = field.kind.unit if isinstance(field, Figure) else ""

    def _filled(self, data):
        filled = data.copy()
        for name, field in self.base_fields.items():
            if field.initial is not None and name not in filled and not isinstance(field, forms.BooleanField):
                filled[name] = field.initial
        return filled

    @property
    def grouped(self):
        """Heading, fields, whether they may be folded away, and whether they stand open; for the template."""
        groups = self.groups or (("", tuple(self.fields)),)
        touched = {name for name, _ in self.typed_pairs()} | set(self.errors if self.is_bound else ())
        return [
            {
                "heading": heading,
                "fields": [self[name] for name in names],
                "folds": heading in self.folded,
                "open": bool(touched & set(names)),
            }
            for heading, names in groups
        ]

    @property
    def wanting(self) -> list[str]:
        """Labels of needed boxes that are still empty."""
        return [
            str(self[name].label)
            for name, errors in self.errors.as_data().items()
            if name in self.fields and any(error.code == "required" for error in errors)
        ]

    def refuse(self, error: BadInput) -> None:
        """Put the library's error beside the box at fault."""
        name = self.names.get(error.field or "", error.field or "")
        if name not in self.fields and (stem := name.rpartition("_")[0]) in self.fields:
            name = stem
        if name in self.fields:
            self.add_error(name, sentence(error.message, about=str(self[name].label)))
        else:
            about = (error.field or "").replace("_mm", "").replace("_", " ")
            self.add_error(None, sentence(error.message, about=about))

    def typed_pairs(self) -> list[tuple[str, str]]:
        """What was typed, for an address: without empty boxes and without what is usual anyway."""
        pairs = []
        for name, field in self.fields.items():
            value = (self.data.get(name) or "").strip() if self.is_bound else ""
            usual = "" if field.initial is None else str(field.initial)
            if isinstance(field, forms.FileField) or value == usual or (not value and not usual):
                continue
            pairs.append((name, value))
        return pairs


def usual(value: float | Decimal) -> str:
    """A figure as it stands in a box."""
    return f"{value:.6f}".rstrip("0").rstrip(".")
