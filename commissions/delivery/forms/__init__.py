"""What is typed in the delivery room."""

from commissions.delivery.forms.care import (
    AdviceForm,
    CareDone,
    CheckForm,
    JobForm,
    OfferForm,
    TakeInForm,
    WorryForm,
)
from commissions.delivery.forms.kind import KindForm
from commissions.delivery.forms.parcel import (
    AddressForm,
    Arrival,
    ClientArrival,
    Dispatch,
    LimitForm,
    Packing,
    ParcelPhotoForm,
)
from commissions.delivery.forms.ring import Disclose, ReadAgain

__all__ = [
    "AddressForm",
    "AdviceForm",
    "Arrival",
    "CareDone",
    "CheckForm",
    "ClientArrival",
    "Disclose",
    "Dispatch",
    "JobForm",
    "KindForm",
    "LimitForm",
    "OfferForm",
    "Packing",
    "ParcelPhotoForm",
    "ReadAgain",
    "TakeInForm",
    "WorryForm",
]
