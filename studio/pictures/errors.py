"""Why a picture is refused, in words for the person who sent it."""


class PictureRefused(Exception):
    """A file that is not taken in; ``words`` says why and what to do instead."""

    def __init__(self, words) -> None:
        self.words = str(words)
        super().__init__(self.words)
