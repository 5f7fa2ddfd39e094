"""Template words for amounts and quantities."""

from django import template

from studio import amounts, quantities

register = template.Library()


@register.filter
def money(minor, currency):
    """Amount of *minor* units in *currency*, with its code."""
    return "" if minor is None or not currency else amounts.written(minor=minor, currency=currency)


@register.filter
def figures(minor, currency):
    """The same amount without its code, for a column that names the currency once."""
    written = money(minor, currency)
    return written.replace(currency, "").strip("\u00a0 ") if written else ""


register.filter("mm", quantities.mm)
register.filter("ct", quantities.ct)
register.filter("grams", quantities.g)
