"""What time it is: the one place that looks at the machine's clock."""

from datetime import date, datetime


def now() -> datetime:
    """The time on the shop's own clock."""
    return datetime.now().astimezone()


def today() -> date:
    """The day on the shop's own calendar."""
    return now().date()
