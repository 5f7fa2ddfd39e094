"""Rows of the delivery room."""

from commissions.delivery.models.care import Advice, CareDate, CarePhoto, Choice, How, Sign, TakenIn, Worry
from commissions.delivery.models.kind import Consent, KindWords, NameForm, Showing
from commissions.delivery.models.parcel import (
    Address,
    CalendarKey,
    Confirmation,
    Limit,
    ParcelPhoto,
    Shipment,
)
from commissions.delivery.models.ring import (
    Disclosure,
    HowRead,
    KeptPaper,
    RingRecord,
    SecondReading,
    Treated,
)

__all__ = [
    "Address",
    "Advice",
    "CalendarKey",
    "CareDate",
    "CarePhoto",
    "Choice",
    "Confirmation",
    "Consent",
    "Disclosure",
    "How",
    "HowRead",
    "KeptPaper",
    "KindWords",
    "Limit",
    "NameForm",
    "ParcelPhoto",
    "RingRecord",
    "SecondReading",
    "Shipment",
    "Showing",
    "Sign",
    "TakenIn",
    "Treated",
    "Worry",
]
