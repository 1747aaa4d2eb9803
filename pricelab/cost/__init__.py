"""What an order costs, line by line, and the price that leaves a margin."""
