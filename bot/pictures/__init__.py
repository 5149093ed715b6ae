"""Pictures for a phone: the plot plan, the season strip and the harvest chart, as PNG bytes. Pure: figures in, bytes out."""
