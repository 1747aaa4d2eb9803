"""The front door: a shop to ask, with keys or values in and pandas frames out."""
