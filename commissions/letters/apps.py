from django.apps import AppConfig


class LettersConfig(AppConfig):
    name = "commissions.letters"
    label = "letters"

    def ready(self) -> None:
        from commissions.letters import checks  # noqa: F401  (registers the operator's check)
