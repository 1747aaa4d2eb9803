"""What the rules answer when there is no figure to give."""


class PricelabError(ValueError):
    """A sentence for the reader: what was found, why it will not do, how to mend it."""


class NotPossible(PricelabError):
    """The piece cannot be made, or cannot be bought: over the last band, too large, too hot."""


class NoPrice(PricelabError):
    """No price reaches the margin asked for."""


class NoBreakEven(PricelabError):
    """No quantity, or no number of orders or months, pays."""
