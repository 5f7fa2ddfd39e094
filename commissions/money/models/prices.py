"""The studio's own prices and tax codes: dated, with their source, never changed under a quotation that was sent."""

from __future__ import annotations

from django.conf import settings
from django.db import models


class PriceKind(models.TextChoices):
    """What a price is for; the unit follows from it."""

    METAL = "metal", "Fine metal, one troy ounce"
    METAL_MARKUP = "metal-markup", "On the metal, percent"
    STONE_MARKUP = "stone-markup", "On a bought stone, percent"
    MELEE = "melee", "Halo stone of a size, each"
    HOUR = "hour", "Making, one hour"
    STEP = "step", "Step of the making, hours"
    SET_CENTRE = "set-centre", "Setting a centre stone, each"
    SET_HALO = "set-halo", "Setting a halo stone, each"
    FINISHING = "finishing", "Finishing"
    MARKING = "marking", "Marking"
    ENGRAVING = "engraving", "Engraving"
    DELIVERY = "delivery", "Delivery and insurance"


class PriceList(models.Model):
    """The studio's prices in one currency from one day on; a change is a new list."""

    currency = models.CharField(max_length=3)
    from_on = models.DateField()
    source = models.CharField(max_length=200, help_text="where the metal prices come from")
    made_by = models.ForeignKey(settings.AUTH_USER_MODEL, on_delete=models.PROTECT, related_name="+")
    made_at = models.DateTimeField()

    class Meta:
        ordering = ["-from_on", "-id"]

    def __str__(self):
        return f"Prices {self.currency} from {self.from_on}"


class Price(models.Model):
    """
    One price: ``price`` is what the client pays and ``cost`` what it costs us, in whole units of the currency.

    For a percentage ``price`` is the percent; for a step it is the hours.
    """

    price_list = models.ForeignKey(PriceList, on_delete=models.CASCADE, related_name="prices")
    kind = models.CharField(max_length=14, choices=PriceKind.choices)
    name = models.CharField(
        max_length=80, blank=True, help_text="metal symbol, size in mm, or the step's name"
    )
    price = models.DecimalField(max_digits=14, decimal_places=4)
    cost = models.DecimalField(max_digits=14, decimal_places=4, default=0)

    class Meta:
        ordering = ["id"]
        constraints = [
            models.UniqueConstraint(fields=["price_list", "kind", "name"], name="money_one_price_each")
        ]


class TaxCode(models.Model):
    """A tax rate for a country of delivery: the rate is the studio's to set and to check."""

    code = models.CharField(max_length=20, unique=True)
    words = models.CharField(max_length=120)
    rate = models.DecimalField(max_digits=6, decimal_places=3, help_text="percent")
    country = models.CharField(
        max_length=2, blank=True, help_text="country of delivery (ISO 3166); empty for all others"
    )
    source = models.CharField(max_length=200)
    checked_on = models.DateField()
    active = models.BooleanField(default=True)

    class Meta:
        ordering = ["code"]

    def __str__(self):
        return self.code
