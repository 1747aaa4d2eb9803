"""A price list planned, judged and fixed; where its breaks go; what a change does to it."""
