"""What day it is: the one place that looks at the machine's clock."""

from datetime import date, datetime


def today() -> date:
    """The day on the shop's own calendar."""
    return datetime.now().astimezone().date()
