"""Pure rules of growing: when to sow, how long it takes, what fits where, and what may follow what."""
