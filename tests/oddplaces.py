"""Folders with names as people give them."""

import os

WINDOWS = "Żółw & Мастерская #1 (100 %) 帽子 🧢 %20 'mine'; ~$x"
"""Every kind of sign that Windows allows in a name: spaces, signs of addresses, other letters."""

NAME = WINDOWS if os.name == "nt" else f'{WINDOWS} ? "x" * <y> | \\ z'
"""And what only other systems allow."""
