"""Items: what may be asked, a fresh variant of it, and the mark of a response."""
