"""Preserving: blanching, tested canning, pickles, drying, the stores and the alarm. Pure rules over facts and numbers."""
