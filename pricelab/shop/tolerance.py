"""When two figures count as equal."""

TOLERANCE = 1e-9
"""Lengths, money and shares are decimals, held as binary floats: what differs by less is equal.

A side that equals its limit fits, 1.1 × 1.1 is on a band's end of 1.21, a margin of exactly the
target meets it. Far finer than any figure a shop writes, far coarser than the noise of floats.
"""
