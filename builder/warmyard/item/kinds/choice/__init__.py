"""Choose one, or several."""
