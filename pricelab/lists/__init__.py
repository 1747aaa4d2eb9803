"""A price list planned, judged and mended; where its breaks go; what a change does to it."""
