"""The one place that writes to the screen."""

import sys


def say(text: str = "") -> None:
    """Write a line to the screen."""
    print(text, file=sys.stdout)


def complain(text: str) -> None:
    """Write a line about something that went wrong, apart from the results."""
    print(text, file=sys.stderr)
