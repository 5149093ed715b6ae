"""Keeping: pure rules on seed age, household quantities and what may lie beside what in a store."""
