"""What a person can hand over: the price list and the quote on paper and as files.

A client's copy is made from a `ClientCopy` or a `Quote`, which hold prices and words and
nothing else; so there is no cost that could slip into a hidden place.
"""
