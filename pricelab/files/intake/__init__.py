"""A supplier's price sheet, pasted or chosen as a file, read into a grid with its doubts."""
