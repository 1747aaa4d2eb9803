"""What a person sees and touches: the notebooks' controls, and the pages they open in."""
