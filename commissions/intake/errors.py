"""Why an act on a brief is refused, in the client's words."""


class BriefClosed(Exception):
    """The brief has been sent or has run out: its answers can no longer be changed."""


class NotYet(Exception):
    """The brief cannot be sent yet; ``words`` says why."""

    def __init__(self, words: str) -> None:
        self.words = str(words)
        super().__init__(self.words)
