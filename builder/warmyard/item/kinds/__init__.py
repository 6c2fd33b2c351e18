"""The kinds of item: a folder each, with its schema, its rules, its draw, its marking, and its part of the runtime.

A kind is there when its folder is: `item/kind_table.py` finds `kind.py` in each. DEVELOPERS.md says what a folder
holds; nothing outside a folder names a concrete kind.
"""
