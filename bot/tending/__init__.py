"""Looking after the growing plot: pure rules over facts and numbers, no chat."""
