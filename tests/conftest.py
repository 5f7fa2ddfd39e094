from tests.cast import *  # noqa: F403
