"""What a client may see: a catalogue without costs, and what an order is offered at."""
