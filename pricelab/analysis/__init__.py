"""Break-even, methods compared, the month, a machine, stock, buying and risk."""
