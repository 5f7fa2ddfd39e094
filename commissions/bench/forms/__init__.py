"""What is typed at the bench."""

from commissions.bench.forms.acts import ACT_FORMS, ActForm
from commissions.bench.forms.fields import GramsField
from commissions.bench.forms.studio import (
    AnswerForm,
    BeginForm,
    CheckLineForm,
    LeaveOutForm,
    ReleaseForm,
    TemplateForm,
    TimeForm,
)

__all__ = [
    "ACT_FORMS",
    "ActForm",
    "AnswerForm",
    "BeginForm",
    "CheckLineForm",
    "GramsField",
    "LeaveOutForm",
    "ReleaseForm",
    "TemplateForm",
    "TimeForm",
]
