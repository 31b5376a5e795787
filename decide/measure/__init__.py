"""Pure functions from numbers to quantities and dates; every number of the trade comes in as a parameter."""
