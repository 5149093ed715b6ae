"""Preserving: blanching, tested canning, pickles, drying, the stores and the alarm; pure rules over facts."""
