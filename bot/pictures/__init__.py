"""Pictures for a phone: plot plan, season strip and harvest chart, as PNG bytes. Pure: figures in, bytes out."""
