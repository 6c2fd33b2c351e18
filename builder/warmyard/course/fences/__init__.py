"""The kinds of fence: a module each, with what stands in it and its rule; its writer is web/fences, same name."""
