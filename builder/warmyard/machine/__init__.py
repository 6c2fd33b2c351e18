"""The machine model: its start sequence, what can fail, and which check to make next."""
