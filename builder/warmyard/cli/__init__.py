"""One file per verb: parse, call one function, print; the only layer that reads the clock."""
