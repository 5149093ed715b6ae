"""The plot record: events, the state folded from them, and the store."""
