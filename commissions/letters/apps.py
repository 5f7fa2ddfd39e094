from django.apps import AppConfig


class LettersConfig(AppConfig):
    name = "commissions.letters"
    label = "letters"
