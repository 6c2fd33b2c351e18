"""The site: one mkdocs plugin, blocks, cards, the pocket file and the audit of what was built."""
