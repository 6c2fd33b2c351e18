"""The kinds of entry: a module each, with the rule by which it may stand and what it changes; its body is in bodies."""
