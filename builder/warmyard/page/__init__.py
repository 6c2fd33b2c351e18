"""What a reader holds: self-contained pages, payloads, charts, printed sheets."""
