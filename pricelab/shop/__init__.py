"""What the shop buys, how it works and what it charges: checked values, and the tier look-up."""
