"""How a form is drawn: our own field part, with words before and the error beside the field."""

from django import forms
from django.forms.renderers import TemplatesSetting


class Renderer(TemplatesSetting):
    field_template_name = "parts/field.html"


class PlainForm(forms.Form):
    """A form that turns off the browser's own bubbles, so that errors read the same everywhere."""

    use_required_attribute = False
    error_css_class = "wrong"
